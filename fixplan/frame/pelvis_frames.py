"""Starting frames of the pelvis: pins on both sides, joined by a bar across the front."""

from collections.abc import Iterable

from fixplan.case.limbs import limb_of_case, pose_of_case
from fixplan.case.records import Case, PinAnchor
from fixplan.frame.bar_choices import Group, across_pins, at_outs, moved_out
from fixplan.frame.defaults import pinned_levels
from fixplan.frame.faults import bar_faults_mm
from fixplan.frame.joining import bar_paths
from fixplan.frame.patterns import Pattern
from fixplan.frame.runs import put_pair, same_sides, stretch_of
from fixplan.frame.sketch import Sketch
from fixplan.frame.skin_gap import midline_gap_mm
from fixplan.frame.sliding import Run, steps

SPINE = "asis_right"
ACROSS_BELLY = (
    "The bar between crest pins crosses the belly above the spines; where a laparotomy is likely, "
    "choose the low pins, or plan to swing it away."
)


def lay_front_bar(sketch: Sketch, chosen: Pattern) -> None:
    """One or two pins in each hip bone and what joins them across the front.

    One pin a side: a single bar between them. Two: a short bar on each pair, linked.
    """
    groups = [_pins(sketch, chosen, bone) for bone in chosen.bones]
    if all(len(group) == 1 for group in groups):
        out = sketch.laid.out_mm
        first, second = (PinAnchor(pin=group[0], out_mm=out) for group in groups)
        bar = sketch.put_bar(first, second)
        sketch.settle((bar,), _fronts(sketch, bar))
        _make_room(sketch, chosen, bar, (bar,))
        return
    right, left = (sketch.holder(group) for group in groups)
    bar = sketch.link_across(right, left)
    _make_room(sketch, chosen, bar, (right, left, bar))
    spine = limb_of_case(sketch.case).landmark(SPINE)
    if bar in bar_paths(sketch.case) and _level_mm(sketch.case, bar) < spine.level_mm:
        sketch.statements.append(ACROSS_BELLY)


def _pins(sketch: Sketch, chosen: Pattern, bone: str) -> Group:
    """The pins of one side, in the part of the bone that the pattern names."""
    whole = limb_of_case(sketch.case).bones[bone]
    low, high = pinned_levels(limb_of_case(sketch.case), bone)
    shares = chosen.levels_share
    top, bottom = (whole.from_mm + share * (whole.to_mm - whole.from_mm) for share in shares)
    low, high = max(low, top), min(high, bottom)
    run = Run(bone, whole.title, low, high, sketch.laid.apart_mm)
    if chosen.pins_a_side > 1:
        return put_pair(sketch, run, same_sides(sketch, run))
    stretch = stretch_of(sketch, run)
    levels = steps((low + high) / 2, low, 2.0) + steps((low + high) / 2, high, 2.0)[1:]
    places = [stretch.best(levels, side) for side, _ in same_sides(sketch, run)]
    best = min(places, key=lambda place: place.verdict[:3])
    return (sketch.put_pin(stretch, best, run.where),)


def _fronts(sketch: Sketch, bar: str) -> Iterable[Case]:
    """The case with the front bar further and further out, away from the groins first."""
    for out_mm in sketch.laid.outs_mm:
        case = at_outs(sketch.case, bar, out_mm, out_mm)
        yield from sorted((case, across_pins(case, bar)), key=lambda one: _level_mm(one, bar))


def _make_room(sketch: Sketch, chosen: Pattern, front: str, bars: Group) -> None:
    """Takes the bars further out until the front one leaves room over the belly, if that fits."""
    if chosen.belly_mm is None:
        return
    faults_mm = bar_faults_mm(sketch.case, bars)
    for out_mm in (0.0, *sketch.laid.outs_mm):
        case = moved_out(sketch.case, bars, out_mm)
        if _has_room(case, front, chosen.belly_mm) and bar_faults_mm(case, bars) <= faults_mm:
            sketch.case = case
            return


def _has_room(case: Case, front: str, belly_mm: tuple[float, float]) -> bool:
    room_mm, half_mm = belly_mm
    path = bar_paths(case).get(front)
    gap_mm = None if path is None else midline_gap_mm(pose_of_case(case), path, half_mm)
    return gap_mm is not None and gap_mm >= room_mm


def _level_mm(case: Case, bar: str) -> float:
    """How far down the middle of a bar lies."""
    path = bar_paths(case)[bar]
    return (path.start_mm[2] + path.end_mm[2]) / 2
