"""How thick a bar that is drawn by hand is taken, from the pins that are to hold it."""

from collections.abc import Iterable

from fixplan.case.limbs import segment_of
from fixplan.case.records import Anchor, BarAnchor, Case
from fixplan.frame.patterns import layout, size_of
from fixplan.frame.stock import clamp_for, parts


def usual_bar_mm(case: Case, anchors: Iterable[Anchor], also: Iterable[str] = ()) -> float:
    """Diameter (mm) of a bar on these anchors and pins.

    That of the bars that hold it, else the thinnest that its pins' segments take; a thinner one
    where no clamp takes a pin on that. With nothing known, the large one.
    """
    anchors = tuple(anchors)
    known = {bar.id: bar.diameter_mm for bar in case.bars}
    held = [known[a.bar] for a in anchors if isinstance(a, BarAnchor) and a.bar in known]
    if held:
        return min(held)
    names = {a.pin for a in anchors if not isinstance(a, BarAnchor)}.union(also)
    pins = [pin for pin in case.pins if pin.id in names]
    sizes = [layout(size_of(segment_of(case, pin.bone) or "")).bar_mm for pin in pins]
    most = min(sizes, default=layout().bar_mm)
    for bar_mm in sorted({bar.diameter_mm for bar in parts().bars.values()}, reverse=True):
        if bar_mm <= most and all(clamp_for("pin", pin.diameter_mm, bar_mm) for pin in pins):
            return bar_mm
    return most
