"""Rule kinds about how firmly the frame holds: loose parts, movement of gaps, stress of pins.

Middle of the clamp band; absolute values are rough, so limits are few and mostly notes.
"""

from collections.abc import Callable, Iterator

from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.checks.register import lean_kind, resting_kind
from fixplan.checks.rules import Rule
from fixplan.checks.texts import beyond, finding, number
from fixplan.errors import UnstableFrame
from fixplan.frame.bodies import Body, holding, runs_past_gap
from fixplan.frame.hold import LoadHold, Results, must_hold, quick_hold
from fixplan.frame.loads import load_list
from fixplan.frame.peaks import give_by_part, part_words

SUBJECT = "Frame"
TOLD_SHARE = 0.2


def _results(case: Case) -> Results | None:
    """Results of a frame that can be solved; None without one."""
    if not holding(case).frames:
        return None
    try:
        return quick_hold(case)
    except UnstableFrame:
        return None


@resting_kind("frame-loose")
def frame_loose(rule: Rule, case: Case) -> Iterator[Finding]:
    """A frame with a part that is free to move."""
    return _loose(rule, case, quick_hold)


@lean_kind("frame-loose")
def frame_loose_alone(rule: Rule, case: Case) -> Iterator[Finding]:
    """The same without the firmness of its gaps."""
    return _loose(rule, case, must_hold)


def _loose(rule: Rule, case: Case, solve: Callable[[Case], object]) -> Iterator[Finding]:
    held = holding(case)
    problem = " ".join(held.loose)
    if not problem and held.frames:
        try:
            solve(case)
        except UnstableFrame as found:
            problem = str(found)
    if problem:
        meant = held.loose_parts or {bar.id for bar in case.bars}
        subjects = tuple(bar.id for bar in case.bars if bar.id in meant)
        yield finding(
            rule, rule.severity, subjects, SUBJECT, rule.text, problem=problem.rstrip(".")
        )


@resting_kind("frame-gap-movement")
def frame_gap_movement(rule: Rule, case: Case) -> Iterator[Finding]:
    """A gap that moves too far under the pull of the muscles, or further than can be calculated."""
    results = _results(case)
    load = results.load(load_list().hold.id) if results else None
    if results is None or load is None or load.load.force_n <= 0:
        return
    for gap, moved, withdrawn in zip(results.gaps, load.movements, load.withdrawn, strict=True):
        subjects = _pins_of(gap.gap.proximal, gap.gap.distal)
        passed = beyond(rule, moved.shift_mm)
        text, severity = rule.texts["beyond"], rule.severities.get("beyond", rule.severity)
        if not withdrawn:
            if passed is None:
                continue
            text, severity = rule.text, passed[0]
        yield finding(
            rule,
            severity,
            subjects,
            SUBJECT,
            text,
            measured=None if withdrawn or passed is None else moved.shift_mm,
            limit=None if withdrawn or passed is None else passed[1],
            gap=gap.gap.words,
            force=number(load.load.force_n),
            give=_most_give(results, load),
        )


def _pins_of(*pieces: Body) -> tuple[str, ...]:
    return tuple(pin.id for piece in pieces for pin in piece.pins)


def _most_give(results: Results, load: LoadHold) -> str:
    """The part that gives most, if one stands out."""
    shares = give_by_part(results.solved, load.peaks.column)
    part, share = next(iter(shares.items()))
    if share < TOLD_SHARE:
        return "the give is shared by many parts"
    return f"{100 * share:.0f} % of the give is in {part_words(part)}"


@resting_kind("pin-stress")
def pin_stress(rule: Rule, case: Case) -> Iterator[Finding]:
    """The hardest worked pin under the loads that the rule names."""
    results = _results(case)
    if results is None:
        return
    told = [one for one in results.loads if one.load.id in rule.loads and one.peaks.pin]
    if not told:
        return
    worst = max(told, key=lambda one: one.peaks.pin_share)
    share = 100 * worst.peaks.pin_share
    passed, pin = beyond(rule, share), worst.peaks.pin
    if passed is not None and pin is not None:
        yield finding(
            rule,
            passed[0],
            (pin.part,),
            part_words(pin.part).capitalize(),
            rule.texts["beyond"] if share > rule.numbers["yield"] else rule.text,
            measured=share,
            limit=passed[1],
            pin=part_words(pin.part).capitalize(),
            place=pin.place,
            load=worst.load.name,
        )


@resting_kind("frame-one-bar")
def frame_one_bar(rule: Rule, case: Case) -> Iterator[Finding]:
    """A joint spanned by a single bar where two are stiffer (FR-03)."""
    for frame in holding(case).frames:
        bars = [b for b in case.bars if b.id in frame.parts and runs_past_gap(b, frame.bodies)]
        spanned = [gap for gap in frame.gaps if gap.joint == rule.target]
        if spanned and len(frame.gaps) == 1 and len(bars) == 1:
            words = f"Bar {bars[0].number}"
            subjects = (bars[0].id,)
            yield finding(rule, rule.severity, subjects, words, rule.text, bar=words)
