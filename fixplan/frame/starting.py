"""Starting frames: one click lays a pattern of the trade's own on the case as it is drawn.

Pins are slid along the bone in steps and then turned until the judge finds nothing that this mends;
where the bone does not allow it, a sentence says so. Bars are moved out until they keep off the skin.
"""

from collections.abc import Callable

import msgspec

from fixplan.case import edits
from fixplan.case.fragments import Fragment, fragments
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, PinAnchor
from fixplan.errors import EditError
from fixplan.frame.defaults import customary_bearings, customary_kind, pinned_levels
from fixplan.frame.groups import usable_mm
from fixplan.frame.lining_up import lined_up
from fixplan.frame.joining import bar_paths
from fixplan.frame.patterns import Pattern, frames, layout, pattern
from fixplan.frame.sketch import Group, Sketch, with_pin
from fixplan.frame.sliding import Judge, Pair, Stretch, find_pair, steps


class LaidFrame(msgspec.Struct, frozen=True):
    """The case with its frame, and a sentence for each place where the bone did not allow it."""

    case: Case
    statements: tuple[str, ...]


class Run(msgspec.Struct, frozen=True):
    """A stretch of bone for one group of pins: from the level of the near pin to the far end (mm)."""

    bone: str
    where: str
    near_mm: float
    far_mm: float
    inner_end: int


def lay_frame(case: Case, pattern_id: str, judge: Judge, bone: str | None = None) -> LaidFrame:
    """Lay a starting frame; pins that already stand in its bones, and their bars, give way to it.

    `bone` picks the bone of a shaft pattern where two are broken. Raises EditError for an unknown
    pattern, or when a shaft pattern finds no fracture to start from.
    """
    chosen = pattern(pattern_id)
    bones = (
        chosen.bones
        if "spanning" in chosen.kind or "delta" in chosen.kind
        else (_broken_bone(case, chosen, bone),)
    )
    sketch = Sketch(_cleared(case, bones), judge)
    _LAYING[chosen.kind](sketch, chosen, bones)
    return LaidFrame(sketch.case, tuple(sketch.statements))


def _cleared(case: Case, bones: tuple[str, ...]) -> Case:
    for pin in case.pins:
        if pin.bone in bones:
            case = edits.remove(case, pin.id)
    return case


def _broken_bone(case: Case, chosen: Pattern, bone: str | None) -> str:
    broken = {fracture.bone for fracture in case.fractures}
    found = [b for b in chosen.bones if b in broken and bone in (None, b)]
    pinned = {pin.bone for pin in case.pins}
    if not found:
        asked = bone or " or ".join(chosen.bones)
        raise EditError(
            f"No fracture of the {asked} is drawn; draw it first, the frame starts from it."
        )
    return next((b for b in found if b not in pinned), found[0])


def _shaft_runs(sketch: Sketch, bone: str) -> list[Run]:
    """Stretches for the pins of each fragment; what is too short is said and left out."""
    pieces = fragments(sketch.case, bone)
    runs = []
    for piece in pieces:
        middle = piece not in (pieces[0], pieces[-1])
        where = f"{piece.name} of the {bone}"
        if middle and usable_mm(sketch.case, piece) < frames().groups.bridged_mm:
            sketch.statements.append(f"The {where} is short and is bridged without pins.")
            continue
        run = _run(
            sketch.case, piece, first=piece == pieces[0], last=piece == pieces[-1], where=where
        )
        if run is None:
            sketch.statements.append(
                f"The {where} has no room for a pin {layout().fracture_mm:.0f} mm from the fracture; "
                "span the joint instead."
            )
        else:
            runs.append(run)
    return runs


def _run(case: Case, piece: Fragment, *, first: bool, last: bool, where: str) -> Run | None:
    """Levels of a fragment from its fracture outward, off the fracture and within the pinned part."""
    low_limit, high_limit = pinned_levels(limb_of_case(case), piece.bone)
    clear = layout().fracture_mm
    low = max(low_limit, piece.from_mm + (0.0 if first else clear))
    high = min(high_limit, piece.to_mm - (0.0 if last else clear))
    if low > high:
        return None
    if first and not last:
        return Run(piece.bone, where, high, low, 1)
    return Run(piece.bone, where, low, high, 0)


def _pinned(sketch: Sketch, run: Run, bearings_deg: tuple[float, ...]) -> Group:
    """Two pins in a stretch, or one where there is no room for two; says so."""
    stretch = Stretch(sketch.case, run.bone, customary_kind(run.bone), sketch.judge)
    pair = find_pair(stretch, run.near_mm, run.far_mm, bearings_deg)
    return _put(sketch, stretch, pair, run)


def _put(sketch: Sketch, stretch: Stretch, pair: Pair, run: Run) -> Group:
    group = sketch.put_pair(stretch, pair, run.where)
    if len(group) < 2:
        sketch.statements.append(
            f"The {run.where} has {abs(run.far_mm - run.near_mm):.0f} mm for pins, "
            "too little for two; it holds one."
        )
    return group


def _bearings(case: Case, run: Run) -> tuple[float, ...]:
    return customary_bearings(limb_of_case(case), run.bone, run.near_mm)


def _per_fragment(sketch: Sketch, _: Pattern, bones: tuple[str, ...]) -> None:
    runs = _shaft_runs(sketch, bones[0])
    groups = [_pinned(sketch, run, _bearings(sketch.case, run)) for run in runs]
    holders = [sketch.holder(group) for group in groups]
    for upper, lower in zip(holders, holders[1:], strict=False):
        sketch.link(upper, lower, (1, 0))


def _single_bar(sketch: Sketch, _: Pattern, bones: tuple[str, ...]) -> None:
    runs = _shaft_runs(sketch, bones[0])
    if len(runs) < 2:
        raise EditError(
            f"One straight bar needs room for pins on both sides of the {bones[0]} fracture; "
            "span the joint instead."
        )
    groups = _in_one_plane(sketch, runs)
    pins = [pin for group in groups for pin in group]
    out = layout().out_mm
    bar = sketch.put_bar(
        PinAnchor(pin=pins[0], out_mm=out), PinAnchor(pin=pins[-1], out_mm=out), tuple(pins[1:-1])
    )
    sketch.settle((bar,), (_all_lined_up(case, bar) for case in sketch.lays(bar)))


def _in_one_plane(sketch: Sketch, runs: list[Run]) -> list[Group]:
    """All pins from one side: the first customary side on which every fragment has clear places."""
    stretches = [Stretch(sketch.case, r.bone, customary_kind(r.bone), sketch.judge) for r in runs]
    tried = []
    for bearing in _bearings(sketch.case, runs[0]):
        pairs = [
            find_pair(s, r.near_mm, r.far_mm, (bearing,))
            for s, r in zip(stretches, runs, strict=True)
        ]
        tried.append(pairs)
        if all(pair.is_clear for pair in pairs):
            break
    best = min(tried, key=lambda pairs: sum(pair.badness for pair in pairs))
    return [_put(sketch, s, p, r) for s, p, r in zip(stretches, best, runs, strict=True)]


def _all_lined_up(case: Case, bar_id: str) -> Case:
    """The case with every pin that the bar passes turned to meet it, as far as that can be done."""
    path = bar_paths(case).get(bar_id)
    if path is None:
        return case
    for pin in [p for p in case.pins if p.id in path.bar.also]:
        try:
            case = with_pin(case, lined_up(case, path, pin))
        except EditError:
            continue
    return case


def _knee_spanning(sketch: Sketch, chosen: Pattern, _: tuple[str, ...]) -> None:
    limb = limb_of_case(sketch.case)
    femur, tibia = fragments(sketch.case, "femur")[0], fragments(sketch.case, "tibia")[-1]
    whole = limb.bones["femur"]
    upper = _spanning_run(
        sketch.case, femur, start=whole.to_mm - chosen.femur_from_knee_mm, knee_below=True
    )
    lower = _spanning_run(
        sketch.case,
        tibia,
        start=limb.bones["tibia"].from_mm + chosen.tibia_from_knee_mm,
        knee_below=False,
    )
    groups = [
        _pinned(sketch, upper, chosen.femur_bearings_deg),
        _pinned(sketch, lower, chosen.tibia_bearings_deg),
    ]
    holders = [sketch.holder(group) for group in groups]
    sketch.link(holders[0], holders[1], (1, 0))


def _spanning_run(case: Case, piece: Fragment, *, start: float, knee_below: bool) -> Run:
    """Stretch that begins at a level, or off the fracture if that is further, away from the joint."""
    low_limit, high_limit = pinned_levels(limb_of_case(case), piece.bone)
    clear = layout().fracture_mm
    broken = len(fragments(case, piece.bone)) > 1
    where = f"{piece.name} of the {piece.bone}" if broken else piece.bone
    if knee_below:
        near = min(start, piece.to_mm - clear) if broken else start
        return Run(piece.bone, where, near, low_limit, 1)
    near = max(start, piece.from_mm + clear) if broken else start
    return Run(piece.bone, where, near, high_limit, 0)


_LAYING: dict[str, Callable[[Sketch, Pattern, tuple[str, ...]], None]] = {
    "per-fragment": _per_fragment,
    "single-bar": _single_bar,
    "knee-spanning": _knee_spanning,
}
