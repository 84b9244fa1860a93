"""Starting frames: one click lays a pattern of the trade's own on the case as it is drawn.

Pins are slid along the bone in steps and then turned until the judge finds nothing that this mends;
where the bone does not allow it, a sentence says so. No pin is laid on a stop: what cannot be held
without one is left out and told, or the frame is refused. Bars are moved out until off the skin.
"""

from collections.abc import Callable, Mapping

import msgspec

from fixplan.case import edits
from fixplan.case.fragments import fragments
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, PinAnchor
from fixplan.errors import EditError
from fixplan.frame.faults import bar_faults_mm, bar_stops
from fixplan.frame.foot_frames import lay_foot_columns
from fixplan.frame.giving_way import cleared, replaced_words, shares_fragment, untouched
from fixplan.frame.order import pins_in_words
from fixplan.frame.patterns import Pattern, layout, pattern, size_of
from fixplan.frame.pelvis_frames import lay_front_bar
from fixplan.frame.shaft_frames import lay_per_fragment, lay_single_bar
from fixplan.frame.sketch import Sketch
from fixplan.frame.spanning_frames import lay_ankle_delta, lay_joint_spanning
from fixplan.frame.standing import joined_words, standing_bars, standing_pins, stood_on_words
from fixplan.frame.verdicts import Judge

SHAFT = {"per-fragment": lay_per_fragment, "single-bar": lay_single_bar}
WHOLE: dict[str, Callable[[Sketch, Pattern], None]] = {
    "ankle-delta": lay_ankle_delta,
    "joint-spanning": lay_joint_spanning,
    "foot-columns": lay_foot_columns,
    "front-bar": lay_front_bar,
}


class LaidFrame(msgspec.Struct, frozen=True):
    """The case with its frame, and a sentence for each place where the bone did not allow it.

    `replaced`: what of an earlier frame gave way, in sentences; empty when nothing did.
    """

    case: Case
    statements: tuple[str, ...]
    replaced: str = ""


def lay_frame(case: Case, pattern_id: str, judge: Judge, bone: str | None = None) -> LaidFrame:
    """Lay a starting frame; pins in the fragments that it takes, and their bars, give way to it.

    Pins of its bones stay where the frame puts none in their fragment and can be laid beside them.

    `bone` picks the bone of a shaft pattern where two are broken. Raises EditError for an unknown
    pattern or one of another limb, when a shaft pattern finds no fracture to start from, and where
    no place for a bar is without a stop.
    """
    chosen = pattern(pattern_id)
    _fits(case, chosen)
    bones = chosen.bones
    if chosen.kind in SHAFT:
        bones = (_broken_bone(case, chosen, bone),)
    sketch = _joined_on(case, chosen, bones, judge) or _anew(case, chosen, bones, judge)
    statements = (*sketch.statements, *_opened(sketch))
    return LaidFrame(sketch.case, statements, replaced_words(case, sketch.bare, sketch.case))


def _joined_on(case: Case, chosen: Pattern, bones: tuple[str, ...], judge: Judge) -> Sketch | None:
    """The pattern joined to bars that stand beside its joint already; None where it cannot be."""
    bars = standing_bars(case, chosen)
    if not bars:
        return None
    bare = cleared(case, tuple(bone for bone in bones if bone not in bars))
    found: list[tuple[float, Sketch]] = []
    for stays in (True, False):
        try:
            sketch = _tried(bare, chosen, bones, judge, kept_bars=bars, stays=stays)
        except EditError:
            continue
        sketch.statements.append(joined_words(case, sketch.case, bars))
        faults_mm = bar_faults_mm(sketch.case, tuple(bar.id for bar in sketch.case.bars))
        if faults_mm <= 0:
            return sketch
        found.append((faults_mm, sketch))
    return min(found, key=lambda one: one[0])[1] if found else None


def _anew(case: Case, chosen: Pattern, bones: tuple[str, ...], judge: Judge) -> Sketch:
    """The pattern on pins of its own; on those that stand there where it finds no other place."""
    try:
        sketch = _laid(case, chosen, bones, judge)
    except EditError:
        pins = standing_pins(case, chosen) if chosen.spans else {}
        if not pins:
            raise
        return _stood_on(case, chosen, bones, judge, pins)
    if staying := untouched(case, sketch.bare, sketch.case, sketch.laid_pins):
        sketch = _beside(case, chosen, bones, judge, staying) or sketch
    return sketch


def _stood_on(
    case: Case,
    chosen: Pattern,
    bones: tuple[str, ...],
    judge: Judge,
    pins: Mapping[str, tuple[str, ...]],
) -> Sketch:
    """The pattern on pins that stand in its bones already; the bars on them give way."""
    kept = frozenset(pin for group in pins.values() for pin in group)
    bare = cleared(case, bones, kept)
    for bar in bare.bars:
        if any(isinstance(one, PinAnchor) and one.pin in kept for one in bar.anchors):
            bare = edits.remove(bare, bar.id) if bar in bare.bars else bare
    sketch = _tried(bare, chosen, bones, judge, kept_pins=pins)
    sketch.statements.append(stood_on_words(case, pins))
    return sketch


def _laid(
    case: Case,
    chosen: Pattern,
    bones: tuple[str, ...],
    judge: Judge,
    staying: frozenset[str] = frozenset(),
) -> Sketch:
    """The pattern on the case without the pins of its bones, but with those that stay.

    Pins from any customary bearing may leave no straight way for a bar; then the usual ones alone.
    """
    bare = cleared(case, bones, staying)
    try:
        return _tried(bare, chosen, bones, judge)
    except EditError:
        return _tried(bare, chosen, bones, judge, widely=False)


def _tried(
    case: Case,
    chosen: Pattern,
    bones: tuple[str, ...],
    judge: Judge,
    *,
    widely: bool = True,
    kept_bars: Mapping[str, str] = {},
    kept_pins: Mapping[str, tuple[str, ...]] = {},
    stays: bool = True,
) -> Sketch:
    sketch = _sketch(case, chosen, bones, judge)
    sketch.widely, sketch.stays = widely, stays
    sketch.kept_bars, sketch.kept_pins = kept_bars, kept_pins
    if chosen.kind in SHAFT:
        SHAFT[chosen.kind](sketch, bones[0])
        sketch.statements += _short_of_pins(sketch, chosen, bones[0])
    else:
        WHOLE[chosen.kind](sketch, chosen)
    _can_be_built(sketch.case, chosen)
    return sketch


def _beside(
    case: Case, chosen: Pattern, bones: tuple[str, ...], judge: Judge, staying: frozenset[str]
) -> Sketch | None:
    """The pattern laid beside pins that stay; None where it finds no place beside them."""
    try:
        sketch = _laid(case, chosen, bones, judge, staying)
    except EditError:
        return None
    return None if shares_fragment(sketch.case, sketch.laid_pins, staying) else sketch


def _can_be_built(case: Case, chosen: Pattern) -> None:
    """Raises EditError for bars that meet skin, pins or each other wherever they are laid."""
    if faults := bar_stops(case):
        raise EditError(
            f'The starting frame "{chosen.name}" cannot be built on this limb as it is broken: '
            f"{faults[0]}. Choose another frame, or place pins and bars by hand."
        )


def _short_of_pins(sketch: Sketch, chosen: Pattern, bone: str) -> list[str]:
    """Says where a side of the fracture has no pin, and what else the pattern offers then."""
    pieces = fragments(sketch.case, bone)
    laid = [pin.level_mm for pin in sketch.case.pins if pin.id in sketch.laid_pins]
    counts = [sum(p.from_mm <= level <= p.to_mm for level in laid) for p in (pieces[0], pieces[-1])]
    said = (
        ["The frame does not hold this fracture yet: one side has no pin."] if 0 in counts else []
    )
    if min(counts) < 2 and bone in chosen.instead:
        said.append(chosen.instead[bone])
    return said


def _fits(case: Case, chosen: Pattern) -> None:
    """Raises EditError for a pattern of another limb, or a front bar on a half pelvis."""
    if chosen.limb != case.limb:
        raise EditError(
            f'The starting frame "{chosen.name}" is for the {chosen.limb}, this case is of the '
            f"{case.limb}; choose another."
        )
    if chosen.kind == "front-bar" and case.side != "both":
        raise EditError(
            f'The starting frame "{chosen.name}" needs both sides; set the side of the case to '
            "both."
        )


def _sketch(case: Case, chosen: Pattern, bones: tuple[str, ...], judge: Judge) -> Sketch:
    """The case in the size of frame of the pattern or of the bone."""
    segment = limb_of_case(case).bones[bones[0]].segment
    laid = layout(chosen.size or size_of(segment))
    return Sketch(case, judge, laid, chosen.open_from_share)


def _opened(sketch: Sketch) -> tuple[str, ...]:
    """Says which of the laid pins go in through an open approach."""
    opened = [pin for pin in sketch.case.pins if pin.open_approach and pin.id in sketch.laid_pins]
    if not opened:
        return ()
    verb = "goes" if len(opened) == 1 else "go"
    words = pins_in_words(opened).capitalize()
    return (f"{words} {verb} in through an open approach: see and protect nerve and tendon.",)


def _broken_bone(case: Case, chosen: Pattern, bone: str | None) -> str:
    broken = {fracture.bone for fracture in case.fractures}
    pinned = {pin.bone for pin in case.pins}
    found = [one for one in chosen.bones if one in broken and bone in (None, one)]
    if not found:
        asked = bone or chosen.bones_in_words
        raise EditError(
            f"No fracture of the {asked} is drawn; draw it first, the frame starts from it."
        )
    return next((one for one in found if one not in pinned), found[0])
