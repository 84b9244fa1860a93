"""The tool that selects things and takes hold of them: by a handle, or by the thing itself."""

from fixplan.case import edits
from fixplan.case.records import Bar, Case, Pin
from fixplan.desk.bench import Bench
from fixplan.desk.drawn import Place
from fixplan.desk.handles import handles_of
from fixplan.desk.subjects import thing_of
from fixplan.desk.tools.bars import MoveAnchor, MoveBar
from fixplan.desk.tools.base import Gesture, Handle, Held, Marks, Tool
from fixplan.desk.tools.moves import (
    MoveEnd,
    MoveThing,
    MoveVertex,
    outline_ref,
    segment_of,
)
from fixplan.desk.tools.pins import MovePin, TurnPin
from fixplan.desk.tools.section import (
    ON_SCREEN_ONLY,
    MoveSection,
    TurnInSection,
    gesture_in_section,
    plane_is_at,
    turn_handle,
)


class SelectTool(Tool):
    """Click a thing to select it, drag it or its handles to move it."""

    name = "select"
    hint = "Click a thing to select it; drag it or its handles. Arrow keys nudge, Tab goes on."
    has_caret = False

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._gesture: Held | None = None

    def press(self, place: Place) -> None:
        """Take hold of a handle of the selected thing, else of what lies here."""
        handle = self._handle_at(place)
        if handle is not None:
            self._gesture = self._gesture_by(handle, place)
            return
        if place.section is not None:
            self._press_in_section(place)
            return
        if place.subject is None and plane_is_at(self.bench, place):
            self.bench.selection.select(None)
            self._gesture = MoveSection(self.bench, place)
            return
        self.bench.selection.select(place.subject)
        if place.subject is not None and place.frame is not None:
            self._gesture = self._gesture_on(place.subject, place)

    def _press_in_section(self, place: Place) -> None:
        """Take hold of the section's pin; beside it nothing changes."""
        self._gesture = gesture_in_section(self.bench, place)
        if self._gesture is not None:
            self.bench.selection.select(place.subject)

    def drag(self, place: Place) -> None:
        """Move what is held."""
        if self._gesture is not None:
            self._gesture.drag(place)

    def release(self, place: Place) -> None:  # noqa: ARG002 (the last preview counts)
        """Let go: the change is made."""
        gesture, self._gesture = self._gesture, None
        if gesture is not None:
            gesture.release()

    def cancel(self) -> bool:
        """Let go without a change."""
        gesture, self._gesture = self._gesture, None
        if gesture is not None:
            gesture.cancel()
        return gesture is not None

    def nudge(self, right: int, down: int, step_mm: float) -> bool:
        """Move the selected thing by a step: down is distal, right is outward for a bar."""
        document = self.bench.document
        thing = thing_of(document.case, self.bench.selection.subject)
        if thing is None:
            return False
        case = self._nudged(thing.id, right, down, step_mm)
        document.commit("Move", case, merge_key=f"nudge {thing.id}")
        return True

    def double(self, place: Place) -> bool:
        """A double click on an outline's point takes it away."""
        return self.delete_point_at(place)

    def delete_point_at(self, place: Place) -> bool:
        """Take away the outline point under a place. Raises EditError when too few would stay."""
        handle = self._handle_at(place)
        subject = self.bench.selection.subject
        if handle is None or handle.kind != "vertex" or subject is None:
            return False
        document = self.bench.document
        part, name = outline_ref(handle)
        case = edits.delete_vertex(document.case, subject, name, handle.number, part)
        document.commit("Delete a point", case)
        return True

    def marks(self) -> Marks:
        """Handles of the selected thing, and what the gesture says."""
        shown = self.bench.document.shown
        thing = thing_of(shown, self.bench.selection.subject)
        words = "" if self._gesture is None else self._gesture.words()
        handles = (*handles_of(thing, self.bench.drawn), *turn_handle(self.bench))
        return Marks(handles=handles, words=words)

    def _handle_at(self, place: Place) -> Handle | None:
        """The nearest handle within the grab distance; points before the gaps between them."""
        near = [
            (handle.kind == "between", _gap2(handle, place), index, handle)
            for index, handle in enumerate(self.marks().handles)
            if _gap2(handle, place) <= place.grab_mm**2
        ]
        return min(near)[3] if near else None

    def _gesture_by(self, handle: Handle, place: Place) -> Held:
        subject = self.bench.selection.subject or ""
        section = self.bench.drawn.section
        if handle.part == ON_SCREEN_ONLY and section is not None:
            return TurnInSection(self.bench, subject, place, section)
        part = int(handle.part.split(":")[0]) if ":" in handle.part else 0
        segment = self._segment(subject, part)
        start = place._replace(frame=handle.frame)
        if handle.kind == "turn":
            return TurnPin(self.bench, subject, segment, start)
        if handle.part == "anchors":
            return MoveAnchor(self.bench, subject, segment, start, handle)
        if handle.kind == "move":
            return MoveEnd(self.bench, subject, segment, start, handle)
        return MoveVertex(self.bench, subject, segment, start, handle)

    def _gesture_on(self, subject: str, place: Place) -> Gesture:
        thing = thing_of(self.bench.document.case, subject)
        segment = self._segment(subject)
        if isinstance(thing, Pin):
            return MovePin(self.bench, subject, segment, place)
        if isinstance(thing, Bar):
            return MoveBar(self.bench, subject, segment, place)
        return MoveThing(self.bench, subject, segment, place)

    def _segment(self, subject: str, part: int = 0) -> str:
        bones = {name: bone.segment for name, bone in self.bench.drawn.limb.bones.items()}
        return segment_of(self.bench.document.case, subject, bones, part)

    def _nudged(self, subject: str, right: int, down: int, step_mm: float) -> Case:
        case = self.bench.document.case
        thing = thing_of(case, subject)
        if isinstance(thing, Bar):
            return edits.slide_bar(case, subject, right * step_mm)
        if isinstance(thing, Pin):
            return edits.slide_pin(case, subject, down * step_mm, right * step_mm)
        frame = self.bench.drawn.view_frame("front")
        return edits.move(case, subject, "front", right * step_mm * frame.mirror, down * step_mm)


def _gap2(handle: Handle, place: Place) -> float:
    dx, dy = handle.at[0] - place.at[0], handle.at[1] - place.at[1]
    return dx * dx + dy * dy
