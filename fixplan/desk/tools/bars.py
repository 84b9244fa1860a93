"""Gestures on a bar, and the tool that lays one by sweeping across pins or by picking two."""

from typing import ClassVar

from msgspec.structs import replace

from fixplan.case import edits
from fixplan.case.records import Anchor, Bar, BarAnchor, Case, PinAnchor
from fixplan.desk.bench import Bench
from fixplan.desk.drawn import Place
from fixplan.desk.held import anchor_on, moved_anchor, pin_out_line, share_along
from fixplan.desk.tools.base import Gesture, Handle, Marks, Tool
from fixplan.errors import EditError
from fixplan.frame.bar_size import usual_bar_mm
from fixplan.frame.joining import laid_bars
from fixplan.sheet.shapes import Point


class MoveBar(Gesture):
    """Move a bar nearer to the skin or away from it, at both its pins alike."""

    text: ClassVar[str] = "Move a bar"

    def case_at(self, place: Place) -> Case:
        """The bar further out by whole millimetres, as far as this view shows it."""
        bar = edits.found_as(self.before, self.subject, Bar)
        steps = [self._out_mm(anchor, place) for anchor in bar.anchors]
        known = [step for step in steps if step is not None]
        if not known:
            return self.before
        step = self.bench.snapped(sum(known) / len(known), is_free=place.is_free)
        return edits.slide_bar(self.before, self.subject, step)

    def _out_mm(self, anchor: Anchor, place: Place) -> float | None:
        if not isinstance(anchor, PinAnchor):
            return None
        pin = self._drawn.case.pins[[p.id for p in self._drawn.case.pins].index(anchor.pin)]
        line = pin_out_line(self._drawn, self.frame, pin, anchor.end)
        start, now = share_along(line, self.start.at), share_along(line, place.at)
        return None if start is None or now is None else 100.0 * (now - start)


class MoveAnchor(Gesture):
    """Move one hold of a bar along the pin or the bar that it is on."""

    text: ClassVar[str] = "Move a clamp"

    def __init__(
        self, bench: Bench, subject: str, segment: str, start: Place, handle: Handle
    ) -> None:
        super().__init__(bench, subject, segment, start)
        self._index = handle.number

    def case_at(self, place: Place) -> Case:
        """The bar with that hold at the place, by whole millimetres."""
        bar = edits.found_as(self.before, self.subject, Bar)
        anchors = list(bar.anchors)
        moved = moved_anchor(self._drawn, self.frame, anchors[self._index], place.at)
        anchors[self._index] = self._snapped(moved, place)
        return edits.change(self.before, self.subject, anchors=tuple(anchors))

    def _snapped(self, anchor: Anchor, place: Place) -> Anchor:
        free = place.is_free
        if isinstance(anchor, PinAnchor):
            return replace(anchor, out_mm=self.bench.snapped(anchor.out_mm, is_free=free))
        return replace(anchor, at_mm=self.bench.snapped(anchor.at_mm, is_free=free))


class BarTool(Tool):
    """Sweep across pins to lay a bar along them, or pick two; between two bars: a link bar."""

    name = "bar"
    hint = "Sweep across pins to join them, or click one after another; two bars make a link bar."

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._first: Place | None = None
        self._subject = ""
        self._passed: list[str] = []
        self._trail: list[Point] = []

    def press(self, place: Place) -> None:
        """Begin on a pin or bar, or end on a second one."""
        subject = self._holding_at(place)
        if subject is None:
            raise EditError("A bar is held by pins or bars; press on one of them.")
        if self._first is None:
            self._first, self._subject = place, subject
            self._trail = [place.at]
        else:
            self._pass(place)

    def drag(self, place: Place) -> None:
        """Collect the pins that are swept across."""
        if self._first is not None:
            self._trail.append(place.at)
            self._pass(place)

    def hover(self, place: Place) -> None:
        """The line follows the mouse while a second pin is awaited."""
        if self._first is not None:
            self._trail = [self._first.at, place.at]

    def release(self, place: Place) -> None:
        """Lay the bar once a second pin or bar is reached; else wait for a click on one."""
        if self._first is None:
            return
        last = self._holding_at(place)
        if last is None or last == self._subject:
            if self._passed and last is None:
                last = self._passed[-1]
            else:
                return
        case = self._case_with_bar(self._first, self._subject, last, place)
        self.cancel()
        document = self.bench.document
        document.commit("Lay a bar", case)
        self.bench.selection.select(case.bars[-1].id)

    def cancel(self) -> bool:
        """Forget what was begun."""
        ran = self._first is not None
        self._first, self._subject, self._passed, self._trail = None, "", [], []
        return ran

    def marks(self) -> Marks:
        """The sweep so far and the pins it has met."""
        if self._first is None:
            return Marks()
        met = [self._subject, *self._passed]
        words = " + ".join(subject.replace("-", " ") for subject in met)
        return Marks(trail=tuple(self._trail), words=words)

    def _holding_at(self, place: Place) -> str | None:
        near = self.bench.drawn.subjects_near(place.at, place.grab_mm)
        return next((id_ for id_ in near if id_.startswith(("pin-", "bar-"))), None)

    def _pass(self, place: Place) -> None:
        for subject in self.bench.drawn.subjects_near(place.at, place.grab_mm):
            fits = subject.startswith("pin-") and subject != self._subject
            if fits and subject not in self._passed:
                self._passed.append(subject)

    def _case_with_bar(self, start: Place, first: str, last: str, end: Place) -> Case:
        if start.frame is None or end.frame is None:
            raise EditError("A bar is laid inside the front or the side view; sweep there.")
        drawn = self.bench.drawn
        ends = (
            anchor_on(drawn, start.frame, first, start.at),
            anchor_on(drawn, end.frame, last, end.at),
        )
        anchors = (_whole(ends[0]), _whole(ends[1]))
        also = tuple(pin for pin in self._passed if pin not in (first, last))
        before = self.bench.document.case
        thick_mm = usual_bar_mm(before, anchors, also)
        bar = Bar(id="bar", number=1, anchors=anchors, also=also, diameter_mm=thick_mm)
        case = edits.add_bar(before, bar)
        problem = laid_bars(case).problems.get(case.bars[-1].id)
        if problem is not None:
            raise EditError(problem)
        return case


def _whole(anchor: Anchor) -> Anchor:
    """The hold at a whole millimetre."""
    if isinstance(anchor, BarAnchor):
        return replace(anchor, at_mm=float(round(anchor.at_mm)))
    return replace(anchor, out_mm=float(round(anchor.out_mm)))
