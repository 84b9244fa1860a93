"""The tool on which all drawing of outlines and lines rests: click points, or sweep round."""

from collections.abc import Mapping
from math import hypot
from typing import ClassVar

import numpy as np

from fixplan.case.records import Case
from fixplan.case.scalars import Outline
from fixplan.desk.bench import Bench
from fixplan.desk.drawn import Place
from fixplan.desk.tools.base import Marks, Tool
from fixplan.errors import EditError, GeometryError
from fixplan.sheet.shapes import Point
from fixplan.sheet.views import ViewFrame

SWEEP_TOLERANCE_MM = 1.0
"""How near to the hand's way a swept outline stays, where a screen pixel is no larger."""
SWEPT_GRABS = 3.0
"""A drag longer than so many grab distances is a sweep; a shorter one is a click."""


class PointsTool(Tool):
    """Click points one after another; Enter, a double click or the first point ends it.

    Or press and drag: the sweep of one drag is the outline or line, ended when the button comes up.
    """

    text: ClassVar[str] = ""

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._points: list[Point] = []
        self._sweep: list[Point] = []
        self._swept_mm = 0.0
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
        self._begin_at(place)
        self._sweep, self._swept_mm = [place.at], 0.0
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
        """The line follows the mouse, which leaves its sweep behind."""
        self._hovered = place.at
        if self._sweep and self._sweep[-1] != place.at:
            (x, y), (to_x, to_y) = self._sweep[-1], place.at
            self._swept_mm += hypot(to_x - x, to_y - y)
            self._sweep.append(place.at)

    def release(self, place: Place) -> None:
        """Make what was swept; after a mere click, go on with points."""
        sweep, self._sweep = self._sweep, []
        if self._frame is None or self._swept_mm <= SWEPT_GRABS * place.grab_mm:
            return
        drawn = [self._free_drawn(at) for at in sweep]
        before, self._points = self._points[:-1], []
        frame, segment = self._frame, self._segment
        self.cancel()
        self._make(segment, frame, self._smooth([*before, *drawn], place.pixel_in_limb_mm))

    def finish(self) -> bool:
        """Make what was drawn, once it has enough points."""
        if self._frame is None:
            return False
        needed = 2 if self.is_line else 3
        if len(self._points) < needed:
            raise EditError(f"It has {len(self._points)} points; click at least {needed}.")
        self._make(self._segment, self._frame, tuple(self._points))
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
        self._points, self._sweep, self._frame, self._hovered = [], [], None, None
        return ran

    def marks(self) -> Marks:
        """The points so far and the line to the mouse, or the sweep."""
        if self._frame is None:
            return Marks()
        trail = self.bench.drawn.at_in(self._frame, self._segment, self._points)
        if len(self._sweep) > 1:
            trail = [*trail[:-1], *self._sweep]
        elif self._hovered is not None:
            trail.append(self._hovered)
        count = len(self._points)
        words = f"{count} points" if len(self._sweep) < 2 else "let go to close"
        return Marks(trail=tuple(trail), is_closed=not self.is_line, words=words)

    def _begin_at(self, place: Place) -> None:
        if place.frame is None and self._frame is None:
            raise EditError("Nothing can be drawn here; click inside the front or the side view.")
        if self._frame is None and place.frame is not None:
            self._frame, self._segment = place.frame, place.segment

    def _make(self, segment: str, frame: ViewFrame, points: Outline) -> None:
        document = self.bench.document
        segment, points = self._on_segment(document.case, segment, frame, points)
        case = self.case_with(document.case, segment, frame, points)
        self.cancel()
        document.commit(self.text, case)
        self._select_new(case)

    def _on_segment(
        self, case: Case, begun_on: str, frame: ViewFrame, points: Outline
    ) -> tuple[str, Outline]:
        """The segment that what was drawn lies on, and its points there; not where it began."""
        from fixplan.geometry.zone_views import segments_covered

        pose, view = self.bench.drawn.pose, frame.view
        uv = pose.uv_of(begun_on, view, np.array(points))
        shown = tuple((float(u), float(v)) for u, v in uv)
        segment = self.segment_among(
            case, frame, segments_covered(pose, view, shown, is_line=self.is_line)
        )
        if segment == begun_on:
            return segment, points
        moved = pose.drawn_of(segment, view, uv)
        return segment, tuple((float(u), float(level)) for u, level in moved)

    def segment_among(self, case: Case, frame: ViewFrame, shares: Mapping[str, float]) -> str:
        """Which of the segments that something was drawn over it belongs to: the most covered."""
        del case, frame
        return next(iter(shares))

    def _smooth(self, points: list[Point], pixel_mm: float) -> Outline:
        """What a sweep stands for. Raises EditError when it goes round nothing."""
        from fixplan.geometry.strokes import swept_line, swept_outline

        smooth = swept_line if self.is_line else swept_outline
        try:
            return smooth(points, max(SWEEP_TOLERANCE_MM, pixel_mm))
        except GeometryError as problem:
            raise EditError(str(problem)) from problem

    def _free_drawn(self, at: Point) -> Point:
        if self._frame is None:
            return at
        return self.bench.drawn.drawn_in(self._frame, self._segment, at)

    def _drawn(self, place: Place) -> Point:
        if self._frame is None:
            return place.drawn
        u, level = self._free_drawn(place.at)
        free = place.is_free
        return (self.bench.snapped(u, is_free=free), self.bench.snapped(level, is_free=free))

    def _is_on_first(self, place: Place) -> bool:
        if self.is_line or len(self._points) < 3 or self._frame is None:
            return False
        ((x, y),) = self.bench.drawn.at_in(self._frame, self._segment, self._points[:1])
        return (x - place.at[0]) ** 2 + (y - place.at[1]) ** 2 <= place.grab_mm**2

    def _select_new(self, case: Case) -> None:
        raise NotImplementedError
