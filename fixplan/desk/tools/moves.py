"""Gestures that move a drawn thing, one of its ends, or one of its points."""

from typing import ClassVar

from fixplan.case import edits
from fixplan.case.records import Candidate, Case, Fracture
from fixplan.case.scalars import Point
from fixplan.case.vertices import OutlineName
from fixplan.case.within import level_within_mm
from fixplan.desk.bench import Bench
from fixplan.desk.drawn import Place
from fixplan.desk.handles import ENDS
from fixplan.desk.tools.base import Gesture, Handle
from fixplan.errors import EditError
from fixplan.limb.kinds import limb_kind

OUTLINES: dict[str, OutlineName] = {
    "front": "front",
    "side": "side",
    "outline": "outline",
    "line": "line",
}


class MoveThing(Gesture):
    """Move a whole fracture, wound, injury, splint or candidate along and across the limb."""

    text: ClassVar[str] = "Move"

    def case_at(self, place: Place) -> Case:
        """The thing moved by whole millimetres."""
        across, along = (
            self.bench.snapped(step, is_free=place.is_free) for step in self.moved_by(place)
        )
        return edits.move(self.before, self.subject, self.frame.view, across, along)


class MoveEnd(Gesture):
    """Move one end of a fracture, a plate, a nail or a splint along the bone."""

    text: ClassVar[str] = "Move the end"

    def __init__(
        self, bench: Bench, subject: str, segment: str, start: Place, handle: Handle
    ) -> None:
        super().__init__(bench, subject, segment, start)
        self._field = ENDS[handle.number]
        self._part = int(handle.part.rstrip(":")) if handle.part else None
        self._level_mm = self._level_before()

    def _level_before(self) -> float:
        thing: object = edits.found(self.before, self.subject)
        if isinstance(thing, Candidate) and self._part is not None:
            thing = thing.parts[self._part]
        level: float = getattr(thing, self._field)
        return level

    def case_at(self, place: Place) -> Case:
        """That end at the place's level; EditError when it would pass the other end.

        A fracture's end stops where its bone does.
        """
        level = self._level_mm + self.moved_by(place)[1]
        fields = {self._field: self.bench.snapped(level, is_free=place.is_free)}
        thing: object = edits.found(self.before, self.subject)
        if isinstance(thing, Fracture):
            fields = {n: level_within_mm(self.before, thing.bone, v) for n, v in fields.items()}
        if self._part is None:
            return edits.change(self.before, self.subject, **fields)
        return edits.change_part(self.before, self.subject, self._part, **fields)


class MoveVertex(Gesture):
    """Move one point of an outline; a handle between two points adds one there first."""

    text: ClassVar[str] = "Move a point"

    def __init__(
        self, bench: Bench, subject: str, segment: str, start: Place, handle: Handle
    ) -> None:
        super().__init__(bench, subject, segment, start)
        self.part, self.name = outline_ref(handle)
        self._index = handle.number
        self._adds = handle.kind == "between"
        self._at = self._drawn.drawn_in(self.frame, segment, handle.at)

    def case_at(self, place: Place) -> Case:
        """The outline with its point at the place; EditError when it would cross itself."""
        to = self._point_at(place)
        if self._adds:
            return edits.insert_vertex(
                self.before, self.subject, self.name, self._index, to, self.part
            )
        return edits.move_vertex(self.before, self.subject, self.name, self._index, to, self.part)

    def _point_at(self, place: Place) -> Point:
        du, dv = self.moved_by(place)
        free = place.is_free
        return (
            self.bench.snapped(self._at[0] + du, is_free=free),
            self.bench.snapped(self._at[1] + dv, is_free=free),
        )


def outline_ref(handle: Handle) -> tuple[int | None, OutlineName]:
    """Which part of a candidate (None: the thing itself) and which outline a handle belongs to."""
    part, _, name = handle.part.rpartition(":")
    return (int(part) if part else None, OUTLINES[name])


def segment_of(case: Case, subject: str, bone_segments: dict[str, str], part: int = 0) -> str:
    """The segment in whose frame a thing (or one part of a candidate) is stored."""
    thing: object = edits.found(case, subject)
    if isinstance(thing, Candidate):
        if not thing.parts:
            return _standing(case)
        thing = thing.parts[part]
    bone = getattr(thing, "bone", None)
    if bone is not None:
        if bone not in bone_segments:
            raise EditError(f"This limb has no {bone}; type its place in its card.")
        return bone_segments[bone]
    segment: str = getattr(thing, "segment", "") or _standing(case)
    return segment


def _standing(case: Case) -> str:
    """The segment whose frame serves for what is stored in none, as bars are."""
    return limb_kind(case.limb).standing(case.side)
