"""Tools that draw an outline or a line by clicking its points: wound, injury, later fixation."""

from typing import ClassVar

from fixplan.case import edits
from fixplan.case.records import (
    Candidate,
    Case,
    CorridorPart,
    FreeOutline,
    Incision,
    Injury,
    Outline,
    Wound,
)
from fixplan.desk.bench import LINE_WOUNDS, Bench
from fixplan.desk.drawn import Place
from fixplan.desk.tools.base import Marks, Tool
from fixplan.errors import EditError
from fixplan.sheet.shapes import Point
from fixplan.sheet.views import ViewFrame


class PointsTool(Tool):
    """Click points one after another; Enter, a double click or the first point ends it."""

    text: ClassVar[str] = ""

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._points: list[Point] = []
        self._frame: ViewFrame | None = None
        self._segment = ""
        self._hovered: Point | None = None

    @property
    def is_line(self) -> bool:
        """Whether an open line is drawn, not a closed outline."""
        return False

    def case_with(self, case: Case, segment: str, frame: ViewFrame, points: Outline) -> Case:
        """The case with what was drawn. Raises EditError."""
        raise NotImplementedError

    def press(self, place: Place) -> None:
        """Add a point; on the first point, close."""
        if place.frame is None and self._frame is None:
            raise EditError("Nothing can be drawn here; click inside the front or the side view.")
        if self._frame is None and place.frame is not None:
            self._frame, self._segment = place.frame, place.segment
        if self._is_on_first(place):
            self.finish()
            return
        point = self._drawn(place)
        if point not in self._points[-1:]:
            self._points.append(point)

    def hover(self, place: Place) -> None:
        """The line follows the mouse."""
        self._hovered = place.at

    def drag(self, place: Place) -> None:
        """The line follows the mouse."""
        self._hovered = place.at

    def finish(self) -> bool:
        """Make what was drawn, once it has enough points."""
        if self._frame is None:
            return False
        needed = 2 if self.is_line else 3
        if len(self._points) < needed:
            raise EditError(f"It has {len(self._points)} points; click at least {needed}.")
        document = self.bench.document
        case = self.case_with(document.case, self._segment, self._frame, tuple(self._points))
        self.cancel()
        document.commit(self.text, case)
        self._select_new(case)
        return True

    def step_back(self) -> bool:
        """Take the last point back."""
        if not self._points:
            return False
        self._points.pop()
        if not self._points:
            self.cancel()
        return True

    def cancel(self) -> bool:
        """Forget the points."""
        ran = bool(self._points)
        self._points, self._frame, self._hovered = [], None, None
        return ran

    def marks(self) -> Marks:
        """The points so far and the line to the mouse."""
        if self._frame is None:
            return Marks()
        trail = self.bench.drawn.at_in(self._frame, self._segment, self._points)
        if self._hovered is not None:
            trail.append(self._hovered)
        count = len(self._points)
        return Marks(trail=tuple(trail), is_closed=not self.is_line, words=f"{count} points")

    def _drawn(self, place: Place) -> Point:
        if self._frame is None:
            return place.drawn
        u, level = self.bench.drawn.drawn_in(self._frame, self._segment, place.at)
        free = place.is_free
        return (self.bench.snapped(u, is_free=free), self.bench.snapped(level, is_free=free))

    def _is_on_first(self, place: Place) -> bool:
        if self.is_line or len(self._points) < 3 or self._frame is None:
            return False
        ((x, y),) = self.bench.drawn.at_in(self._frame, self._segment, self._points[:1])
        return (x - place.at[0]) ** 2 + (y - place.at[1]) ** 2 <= place.grab_mm**2

    def _select_new(self, case: Case) -> None:
        raise NotImplementedError


class WoundTool(PointsTool):
    """Draw a wound, or a line on the skin, on one face of a view."""

    name = "wound"
    text = "Draw a wound"
    hint = "Click round the wound; Enter or a click on the first point closes it."

    @property
    def is_line(self) -> bool:
        """Fasciotomies and planned extensions are lines."""
        return self.bench.options.wound in LINE_WOUNDS

    def case_with(self, case: Case, segment: str, frame: ViewFrame, points: Outline) -> Case:
        """The case with one more wound."""
        options = self.bench.options
        wound = Wound(
            id="wound",
            kind=options.wound,
            segment=segment,
            view=frame.view,
            face=options.face,
            outline=() if self.is_line else points,
            line=points if self.is_line else (),
            half_width_mm=options.half_width_mm if self.is_line else 0.0,
        )
        return edits.add_wound(case, wound)

    def _select_new(self, case: Case) -> None:
        self.bench.selection.select(case.wounds[-1].id)


class InjuryTool(PointsTool):
    """Draw a zone of injury; drawn in the second view too, it joins the selected injury."""

    name = "injury"
    text = "Draw an injury"
    hint = "Click round the injured zone; with an injury selected, its outline in the other view."

    def case_with(self, case: Case, segment: str, frame: ViewFrame, points: Outline) -> Case:
        """The selected injury with its missing outline, or one more injury."""
        joined = self._joined(case, segment, frame)
        if joined is not None:
            name = "front" if frame.view == "front" else "side"
            return edits.set_outline(case, joined.id, name, points)  # type: ignore[arg-type]
        injury = Injury(
            id="injury",
            segment=segment,
            grade=self.bench.options.grade,
            front=points if frame.view == "front" else (),
            side=points if frame.view == "side" else (),
        )
        return edits.add_injury(case, injury)

    def _joined(self, case: Case, segment: str, frame: ViewFrame) -> Injury | None:
        """The selected injury, when it lies in this segment and has no outline in this view."""
        found = [
            injury
            for injury in case.injuries
            if injury.id == self.bench.selection.subject
            and injury.segment == segment
            and not (injury.front if frame.view == "front" else injury.side)
        ]
        return found[0] if found else None

    def _select_new(self, case: Case) -> None:
        if self.bench.selection.subject not in {injury.id for injury in case.injuries}:
            self.bench.selection.select(case.injuries[-1].id)
            return
        before = self.bench.document.case
        if before.injuries[-1].id != self.bench.selection.subject:
            self.bench.selection.select(case.injuries[-1].id)


class LaterTool(PointsTool):
    """Draw space to be kept free for later fixation: an outline, or a line for an incision."""

    name = "later"
    text = "Draw later fixation"
    hint = "Pick a plate or nail at the right, or click round the space to be kept free."

    @property
    def is_line(self) -> bool:
        """An incision is a line."""
        return self.bench.options.later_is_line

    def case_with(self, case: Case, segment: str, frame: ViewFrame, points: Outline) -> Case:
        """The case with one more candidate of one part."""
        part = self._part(segment, frame, points)
        kind = "incision" if self.is_line else "free outline"
        candidate = Candidate(id="later", kind=kind, parts=(part,))  # type: ignore[arg-type]
        return edits.add_candidate(case, candidate)

    def _part(self, segment: str, frame: ViewFrame, points: Outline) -> CorridorPart:
        if self.is_line:
            options = self.bench.options
            return Incision(
                segment=segment,
                view=frame.view,
                face=options.face,
                line=points,
                half_width_mm=options.half_width_mm,
            )
        front = points if frame.view == "front" else ()
        return FreeOutline(
            segment=segment, front=front, side=points if frame.view == "side" else ()
        )

    def _select_new(self, case: Case) -> None:
        self.bench.selection.select(case.candidates[-1].id)
