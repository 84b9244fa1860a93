"""Starting frames of the foot: its two columns held out from the heel, with or without the leg."""

from collections.abc import Iterable
from itertools import product

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, PinAnchor
from fixplan.frame.bar_choices import across_pins, at_outs
from fixplan.frame.defaults import customary_bearings, customary_kind, pinned_levels
from fixplan.frame.patterns import Pattern
from fixplan.frame.runs import other_sides
from fixplan.frame.sketch import Sketch
from fixplan.frame.sliding import Place, Run, Stretch, steps
from fixplan.frame.spanning_frames import hang_on_leg, pinned_off_joint, put_heel_pin


def lay_foot_columns(sketch: Sketch, chosen: Pattern) -> None:
    """A heel through-pin, a pin in the bone of each column, and a bar along each side.

    With an apex: two pins in that bone on a short bar, from which a bar runs to each end of the
    heel pin.
    """
    above = pinned_off_joint(sketch, chosen, chosen.apex, upper=True) if chosen.apex else None
    apex = None if above is None else sketch.holder(above)
    heel = put_heel_pin(sketch, chosen.heel)
    toes = [put_far_pin(sketch, bone) for bone in chosen.columns]
    for toe, end in zip(toes, chosen.columns.values(), strict=True):
        heel_hold = PinAnchor(pin=heel, end=end, out_mm=sketch.laid.out_mm)
        bar = sketch.put_bar(heel_hold, PinAnchor(pin=toe, out_mm=sketch.laid.out_mm))
        sketch.settle((bar,), _outs(sketch, bar))
    if apex is not None:
        hang_on_leg(sketch, apex, heel)


def put_far_pin(sketch: Sketch, bone: str) -> str:
    """One pin in a bone, from the middle of where it is pinned, then to either side.

    From all customary bearings where no place is clear from the usual ones.
    """
    limb = limb_of_case(sketch.case)
    low, high = pinned_levels(limb, bone)
    middle, step = (low + high) / 2, sketch.laid.step_mm
    levels = (*steps(middle, high, step), *steps(middle, low, step)[1:])
    kind = customary_kind(bone)
    stretch = Stretch(sketch.case, bone, kind, sketch.judge, sketch.laid)
    usual = dict.fromkeys(customary_bearings(limb, bone, middle))
    run = Run(bone, limb.bones[bone].title, low, high, high - low)
    first = next(iter(usual))
    wide = sorted(
        (side for side, _ in other_sides(sketch, run) if side not in usual),
        key=lambda side: abs((side - first + 180.0) % 360.0 - 180.0),
    )
    places: list[Place] = []
    for sides in (usual, wide):
        for side in sides:
            places.append(stretch.best(levels, side))
            if places[-1].verdict.is_clear:
                return sketch.put_pin(stretch, places[-1], limb.bones[bone].title)
    best = min(places, key=lambda place: place.verdict[:3])
    return sketch.put_pin(stretch, best, limb.bones[bone].title)


def _outs(sketch: Sketch, bar: str) -> Iterable[Case]:
    """The case with a bar further and further out at each of its ends, on either side of them."""
    outs = sketch.laid.outs_mm
    for first, second in sorted(product(outs, outs), key=sum):
        case = at_outs(sketch.case, bar, first, second)
        yield case
        yield across_pins(case, bar)
