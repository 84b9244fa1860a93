"""Starting frames across a joint: two bones and a link, or hung on a heel pin."""

from collections.abc import Iterable
from itertools import product
from typing import Literal

from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import BarAnchor, Case, PinAnchor
from fixplan.frame.bar_choices import Group, link_places, moved_out, with_bar
from fixplan.frame.defaults import customary_bearings, customary_kind, pinned_levels
from fixplan.frame.joining import bar_paths
from fixplan.frame.patterns import Pattern
from fixplan.frame.pin_lines import End
from fixplan.frame.runs import put_pair, same_sides, spanning_run
from fixplan.frame.sketch import Sketch
from fixplan.frame.sliding import Stretch, steps

STAYS_MM = (0.0,)
"""No further out than it stands."""


def lay_joint_spanning(sketch: Sketch, chosen: Pattern) -> None:
    """Pins in two bones at a joint, a bar on each pair, a link across the joint."""
    above, below = chosen.bones
    upper, lower = (
        held_off_joint(sketch, chosen, bone, upper=bone == above) for bone in (above, below)
    )
    sketch.link(upper, lower, wound_between=False)


def held_off_joint(sketch: Sketch, chosen: Pattern, bone: str, *, upper: bool) -> str:
    """What carries the frame at a bone: a bar or pins that stood before, else pins of its own."""
    if bone in sketch.kept_bars:
        return sketch.kept_bars[bone]
    group = sketch.kept_pins.get(bone) or pinned_off_joint(sketch, chosen, bone, upper=upper)
    return sketch.holder(group)


def pinned_off_joint(sketch: Sketch, chosen: Pattern, bone: str, *, upper: bool) -> Group:
    """Pins in a bone above (`upper`) or below a joint, at the pattern's distance from it."""
    whole, off_mm = limb_of_case(sketch.case).bones[bone], chosen.from_joint_mm[bone]
    start = whole.to_mm - off_mm if upper else whole.from_mm + off_mm
    clear = chosen.from_fracture_mm.get(bone, sketch.laid.fracture_mm)
    run = spanning_run(sketch, bone, start, clear, chosen.spread_mm)
    return put_pair(sketch, run, chosen.bearings_deg.get(bone) or same_sides(sketch, run))


def lay_ankle_delta(sketch: Sketch, chosen: Pattern) -> None:
    """Two pins in the leg on a short bar, a heel through-pin, a bar on each side between them."""
    apex = held_off_joint(sketch, chosen, chosen.apex, upper=True)
    hang_on_leg(sketch, apex, put_heel_pin(sketch, chosen.heel))


def hang_on_leg(sketch: Sketch, apex: str, heel: str) -> None:
    """A bar on each side from the heel pin to the short bar on the leg's pins, or its lone pin.

    The lateral bar has least room, so it is laid first and the short bar moves out for it.
    """
    lateral = put_side_bar(sketch, apex, heel, "far")
    held = sketch.movable(apex)
    outs = sketch.laid.outs_mm if sketch.moves(apex) else STAYS_MM
    sketch.settle((lateral, *held), side_bar_choices(sketch, lateral, apex, outs))
    medial = put_side_bar(sketch, apex, heel, "outer")
    further = outs[:1] if held else outs
    sketch.settle((medial, *held, lateral), side_bar_choices(sketch, medial, apex, further))


def put_side_bar(sketch: Sketch, apex: str, heel: str, end: End) -> str:
    """A bar from a short bar, or a pin, to an end of the heel pin; returns its id."""
    heel_hold = PinAnchor(pin=heel, end=end, out_mm=sketch.laid.out_mm)
    return sketch.put_bar(sketch.anchor(apex, 0.0), heel_hold)


def put_heel_pin(sketch: Sketch, bone: str) -> str:
    """The heel pin in the first clear place of its bone, from mid-height."""
    limb = limb_of_case(sketch.case)
    low, high = pinned_levels(limb, bone)
    middle = (low + high) / 2
    step = sketch.laid.step_mm
    levels = (*steps(middle, high, step), *steps(middle, low, step)[1:])
    bearings = customary_bearings(limb, bone, middle)
    stretch = Stretch(sketch.case, bone, customary_kind(bone), sketch.judge)
    return sketch.put_pin(stretch, stretch.best(levels, bearings[0]), bone)


def side_bar_choices(
    sketch: Sketch, bar_id: str, apex: str, outs_mm: tuple[float, ...]
) -> Iterable[Case]:
    """The case with a side bar further and further out, at places on the short bar or lone pin."""
    path = bar_paths(sketch.case).get(apex)
    places = (0.0,) if path is None else link_places(path.joints[1].along_mm, 1, sketch.laid)
    for top, heel in product(outs_mm, sketch.laid.outs_mm):
        held = moved_out(sketch.case, (apex,), top)
        for at_mm in places:
            yield from _side_bars(held, bar_id, at_mm, (top, heel))


def _side_bars(
    case: Case, bar_id: str, at_mm: float, outs_mm: tuple[float, float]
) -> Iterable[Case]:
    bar = next(one for one in case.bars if one.id == bar_id)
    first, second = (
        replace(a, at_mm=at_mm) if isinstance(a, BarAnchor) else replace(a, out_mm=out_mm)
        for a, out_mm in zip(bar.anchors, outs_mm, strict=True)
    )
    lays: tuple[Literal[1], Literal[-1]] = (1, -1)
    return (with_bar(case, replace(bar, anchors=(first, second), lay=lay)) for lay in lays)
