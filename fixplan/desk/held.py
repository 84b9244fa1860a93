"""Where bars are held, on the page: from an anchor to a scene point and back. No Qt."""

from typing import Literal

from msgspec.structs import replace

from fixplan.case import edits
from fixplan.case.records import Anchor, Bar, BarAnchor, Pin, PinAnchor
from fixplan.desk.drawn import DrawnSheet
from fixplan.errors import EditError
from fixplan.frame.joining import bar_paths
from fixplan.frame.patterns import layout
from fixplan.geometry.paths import pin_path
from fixplan.sheet.shapes import Point
from fixplan.sheet.views import ViewFrame

Line = tuple[Point, Point]
End = Literal["outer", "far"]
SHORTEST_MM = 1e-3
REACH_MM = 100.0


def pin_out_line(drawn: DrawnSheet, frame: ViewFrame, pin: Pin, end: End) -> Line:
    """Scene points of a pin's skin puncture and of 100 mm further out, at one of its ends."""
    path = pin_path(drawn.limb, pin)
    skin = path.skin_mm if end == "outer" else path.far_skin_mm
    further = skin + REACH_MM if end == "outer" else skin - REACH_MM
    points = [path.point(skin), path.point(further)]
    a, b = drawn.at_of(frame, path.segment, points)
    return a, b


def anchor_at(drawn: DrawnSheet, frame: ViewFrame, anchor: Anchor) -> Point:
    """The scene point at which a bar is held."""
    if isinstance(anchor, PinAnchor):
        pin = edits.found_as(drawn.case, anchor.pin, Pin)
        line = pin_out_line(drawn, frame, pin, anchor.end)
        return _between(line, anchor.out_mm / REACH_MM)
    bar = edits.found_as(drawn.case, anchor.bar, Bar)
    return _between(bar_line(drawn, frame, bar), anchor.at_mm / _span_mm(drawn, bar))


def bar_line(drawn: DrawnSheet, frame: ViewFrame, bar: Bar) -> Line:
    """Scene points of a bar's two anchors."""
    first, second = bar.anchors
    return anchor_at(drawn, frame, first), anchor_at(drawn, frame, second)


def moved_anchor(drawn: DrawnSheet, frame: ViewFrame, anchor: Anchor, at: Point) -> Anchor:
    """The anchor moved along what holds it, to where the scene point is nearest.

    Unchanged where that runs straight away from the viewer.
    """
    if isinstance(anchor, PinAnchor):
        pin = edits.found_as(drawn.case, anchor.pin, Pin)
        share = share_along(pin_out_line(drawn, frame, pin, anchor.end), at)
        return anchor if share is None else replace(anchor, out_mm=REACH_MM * share)
    bar = edits.found_as(drawn.case, anchor.bar, Bar)
    share = share_along(bar_line(drawn, frame, bar), at)
    return anchor if share is None else replace(anchor, at_mm=_span_mm(drawn, bar) * share)


def anchor_on(drawn: DrawnSheet, frame: ViewFrame, subject: str, at: Point) -> Anchor:
    """A hold on a pin or bar near a scene point; inside the skin: at the usual gap outside it."""
    if subject.startswith("bar-"):
        return moved_anchor(drawn, frame, BarAnchor(bar=subject, at_mm=0.0), at)
    pin = edits.found_as(drawn.case, subject, Pin)
    usual_mm = layout().out_mm
    hold = PinAnchor(pin=subject, end=_nearer_end(drawn, frame, pin, at), out_mm=usual_mm)
    moved = moved_anchor(drawn, frame, hold, at)
    if isinstance(moved, PinAnchor) and moved.out_mm <= 0:
        return hold
    return moved


def share_along(line: Line, at: Point) -> float | None:
    """How far along a line (0 to 1) a point is nearest; None when the line is seen end on."""
    (ax, ay), (bx, by) = line
    dx, dy = bx - ax, by - ay
    length2 = dx * dx + dy * dy
    if length2 < SHORTEST_MM**2:
        return None
    return ((at[0] - ax) * dx + (at[1] - ay) * dy) / length2


def _nearer_end(drawn: DrawnSheet, frame: ViewFrame, pin: Pin, at: Point) -> End:
    if pin.kind == "half":
        return "outer"
    outer = pin_out_line(drawn, frame, pin, "outer")[0]
    far = pin_out_line(drawn, frame, pin, "far")[0]
    return "outer" if _gap2(outer, at) <= _gap2(far, at) else "far"


def _span_mm(drawn: DrawnSheet, bar: Bar) -> float:
    """Distance of a bar's two anchors along it."""
    path = bar_paths(drawn.case).get(bar.id)
    if path is None:
        raise EditError(f"Bar {bar.number} cannot be laid yet; mend its anchors first.")
    return max(path.joints[1].along_mm - path.joints[0].along_mm, SHORTEST_MM)


def _between(line: Line, share: float) -> Point:
    (ax, ay), (bx, by) = line
    return (ax + share * (bx - ax), ay + share * (by - ay))


def _gap2(a: Point, b: Point) -> float:
    return (a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2
