"""Starting frames across a joint: knee-spanning, and the ankle delta with its heel pin."""

from collections.abc import Iterable
from itertools import product
from typing import Literal

from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import BarAnchor, Case, PinAnchor
from fixplan.frame.bar_choices import link_places, moved_out, with_bar
from fixplan.frame.defaults import customary_bearings, customary_kind, pinned_levels
from fixplan.frame.joining import bar_paths
from fixplan.frame.patterns import Pattern
from fixplan.frame.pin_lines import End
from fixplan.frame.runs import put_pair, same_sides, spanning_run
from fixplan.frame.sketch import Sketch
from fixplan.frame.sliding import Stretch, steps


def lay_knee_spanning(sketch: Sketch, chosen: Pattern) -> None:
    """Two pins each in femur and tibia, a short bar on each pair, a link across the knee."""
    bones = limb_of_case(sketch.case).bones
    start = bones["femur"].to_mm - chosen.femur_from_knee_mm
    upper = spanning_run(sketch, "femur", start, sketch.laid.fracture_mm)
    start = bones["tibia"].from_mm + chosen.tibia_from_knee_mm
    lower = spanning_run(sketch, "tibia", start, chosen.tibia_from_fracture_mm)
    thigh = sketch.holder(put_pair(sketch, upper, chosen.femur_bearings_deg))
    leg = sketch.holder(put_pair(sketch, lower, chosen.tibia_bearings_deg))
    sketch.link(thigh, leg, wound_between=False)


def lay_joint_spanning(sketch: Sketch, chosen: Pattern) -> None:
    """Pins in two bones at a joint, a bar on each pair, a link across the joint."""
    bones = limb_of_case(sketch.case).bones
    above, below = chosen.bones
    start = bones[above].to_mm - chosen.from_joint_mm[above]
    upper = spanning_run(sketch, above, start, sketch.laid.fracture_mm, chosen.spread_mm)
    start = bones[below].from_mm + chosen.from_joint_mm[below]
    lower = spanning_run(sketch, below, start, sketch.laid.fracture_mm, chosen.spread_mm)
    holders = [
        sketch.holder(put_pair(sketch, run, same_sides(sketch, run))) for run in (upper, lower)
    ]
    sketch.link(holders[0], holders[1], wound_between=False)


def lay_ankle_delta(sketch: Sketch, chosen: Pattern) -> None:
    """Two pins in the tibia on a short bar, a heel through-pin, a bar on each side between them."""
    start = limb_of_case(sketch.case).bones["tibia"].to_mm - chosen.tibia_from_ankle_mm
    run = spanning_run(sketch, "tibia", start, sketch.laid.fracture_mm, chosen.tibia_spread_mm)
    apex = sketch.holder(put_pair(sketch, run, chosen.tibia_bearings_deg))
    hang_on_leg(sketch, apex, put_heel_pin(sketch))


def hang_on_leg(sketch: Sketch, apex: str, heel: str) -> None:
    """A bar on each side from the heel pin to the short bar on the tibia's pins, or its lone pin.

    The lateral bar has least room, so it is laid first and the short bar moves out for it.
    """
    lateral = put_side_bar(sketch, apex, heel, "far")
    held = (apex,) if apex in bar_paths(sketch.case) else ()
    outs = sketch.laid.outs_mm
    sketch.settle((lateral, *held), side_bar_choices(sketch, lateral, apex, outs))
    medial = put_side_bar(sketch, apex, heel, "outer")
    further = outs[:1] if held else outs
    sketch.settle((medial, *held, lateral), side_bar_choices(sketch, medial, apex, further))


def put_side_bar(sketch: Sketch, apex: str, heel: str, end: End) -> str:
    """A bar from a short bar, or a pin, to an end of the heel pin; returns its id."""
    heel_hold = PinAnchor(pin=heel, end=end, out_mm=sketch.laid.out_mm)
    return sketch.put_bar(sketch.anchor(apex, 0.0), heel_hold)


def put_heel_pin(sketch: Sketch) -> str:
    """The heel pin in the first clear place of the calcaneus, from mid-height."""
    limb = limb_of_case(sketch.case)
    low, high = pinned_levels(limb, "calcaneus")
    middle = (low + high) / 2
    step = sketch.laid.step_mm
    levels = (*steps(middle, high, step), *steps(middle, low, step)[1:])
    bearings = customary_bearings(limb, "calcaneus", middle)
    stretch = Stretch(sketch.case, "calcaneus", customary_kind("calcaneus"), sketch.judge)
    return sketch.put_pin(stretch, stretch.best(levels, bearings[0]), "calcaneus")


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
