"""The tool that tells distances: a line in a view or the section, in mm of the schematic limb."""

from math import hypot

from fixplan.desk.drawn import Place
from fixplan.desk.tools.base import Marks, Tool
from fixplan.errors import EditError
from fixplan.sheet.section_frame import SectionFrame
from fixplan.sheet.views import ViewFrame

MOVED = 0.6
"""How far the mouse must go, in grab distances, for a press and a release to be one drag."""


class TapeTool(Tool):
    """Drag from one point to another, or click both; the last line stays until the next one."""

    name = "tape"
    hint = (
        "Schematic distance: drag from one point of the drawing to another. It compares places and "
        "measures no patient; Esc takes it away."
    )

    _start: Place | None = None
    _end: Place | None = None
    _runs = False

    def press(self, place: Place) -> None:
        """Begin at the place, or end there what was begun by a click."""
        if self._runs:
            self._end, self._runs = place, False
            return
        if place.frame is None and place.section is None:
            raise EditError("There is nothing to measure here; begin in a view or in the section.")
        self._start = self._end = place
        self._runs = True

    def drag(self, place: Place) -> None:
        """Draw the tape out."""
        if self._runs:
            self._end = place

    def release(self, place: Place) -> None:
        """End a drag; after a click the tape follows until the next one."""
        if self._runs and self._start is not None:
            self._end = place
            dx, dy = place.at[0] - self._start.at[0], place.at[1] - self._start.at[1]
            self._runs = hypot(dx, dy) <= MOVED * place.grab_mm

    def hover(self, place: Place) -> None:
        """The tape follows the mouse or the caret."""
        self.drag(place)

    def finish(self) -> bool:
        """Enter ends the tape where it is."""
        ran, self._runs = self._runs, False
        return ran

    def cancel(self) -> bool:
        """Take the tape away."""
        was_there = self._start is not None
        self._start = self._end = None
        self._runs = False
        return was_there

    def marks(self) -> Marks:
        """The tape and what it measures."""
        if self._start is None or self._end is None:
            return Marks()
        return Marks(
            trail=(self._start.at, self._end.at), words=self.words(), words_at=self._end.at
        )

    def words(self) -> str:
        """Length, and what of it runs along and across; empty while there is none."""
        start, end = self._start, self._end
        if start is None or end is None or start.at == end.at:
            return ""
        if start.section is not None:
            return _in_section(start.section, start, end)
        return "" if start.frame is None else self._in_view(start.frame, start, end)

    def _in_view(self, frame: ViewFrame, start: Place, end: Place) -> str:
        drawn = self.bench.drawn
        u, level = drawn.drawn_in(frame, start.segment, end.at)
        across, along = abs(u - start.drawn[0]), abs(level - start.drawn[1])
        length = hypot(across, along)
        seen = f"schematic distance {length:.0f} mm as seen in the {frame.view} view"
        if drawn.shows_level(start):
            return f"{seen}: {along:.0f} along, {across:.0f} across"
        return f"{seen}: {along:.0f} by {across:.0f}"


def _in_section(section: SectionFrame, start: Place, end: Place) -> str:
    (x0, y0), (x1, y1) = section.from_page(*start.at), section.from_page(*end.at)
    length = hypot(x1 - x0, y1 - y0)
    across, deep = abs(x1 - x0), abs(y1 - y0)
    told = f"schematic distance {length:.0f} mm in the section"
    return f"{told}: {across:.0f} across, {deep:.0f} front to back"
