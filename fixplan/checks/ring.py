"""Rule kinds of the pelvic ring: what a front frame does not hold, what is not told of the back."""

from collections.abc import Iterable, Iterator

from fixplan.case.records import Case
from fixplan.case.rings import UNSTABLE, Half, backs_of
from fixplan.checks.finding import Finding
from fixplan.checks.register import case_kind
from fixplan.checks.rules import Rule
from fixplan.checks.texts import beyond, finding, listed, pins_words


@case_kind("front-frame-alone")
def front_frame_alone(rule: Rule, case: Case) -> Iterator[Finding]:
    """What a front frame does to the back of the ring, by what is told to be torn there."""
    if case.limb != rule.target or not case.pins:
        return
    state = _state(case)
    severity = rule.severities.get(state, rule.severity)
    text = rule.texts.get(state, rule.text)
    yield finding(rule, severity, *_frame(case), text, torn=_torn_words(case))


@case_kind("back-of-ring-unknown")
def back_of_ring_unknown(rule: Rule, case: Case) -> Iterator[Finding]:
    """A frame on a ring whose back was not looked at, on one side or on both."""
    if case.limb != rule.target or not case.pins:
        return
    halves = _halves(case, ("not known",))
    if halves:
        where = "" if len(halves) == len(backs_of(case.ring)) else f" on the {listed(halves)}"
        yield finding(rule, rule.severity, *_frame(case), rule.text, where=where)


@case_kind("open-symphysis")
def open_symphysis(rule: Rule, case: Case) -> Iterator[Finding]:
    """A symphysis that stands open where no back of the ring is told as torn."""
    gap_mm = case.ring.symphysis_mm
    if case.limb != rule.target or gap_mm is None or _torn(case):
        return
    if passed := beyond(rule, gap_mm):
        yield finding(rule, passed[0], (), "Symphysis", rule.text, measured=gap_mm, limit=passed[1])


def _frame(case: Case) -> tuple[tuple[str, ...], str]:
    """What the finding is about, and in words: the bars, for each pin by itself is right."""
    if case.bars:
        return tuple(bar.id for bar in case.bars), "Frame"
    return tuple(pin.id for pin in case.pins), pins_words(case.pins)


def _state(case: Case) -> str:
    """`through`, `front` or `intact` by the worse side; empty where that is not known."""
    told = set(backs_of(case.ring).values())
    if told & UNSTABLE:
        return "through"
    if "torn in front" in told:
        return "front"
    return "intact" if told == {"intact"} else ""


def _torn(case: Case) -> list[Half]:
    return _halves(case, ("torn in front", *UNSTABLE))


def _torn_words(case: Case) -> str:
    """What is torn and where: `torn through on the right`, `torn in front on both sides`."""
    backs = backs_of(case.ring)
    if backs["right"] == backs["left"]:
        return f"{backs['right']} on both sides"
    return listed([f"{backs[half]} on the {half}" for half in _torn(case)])


def _halves(case: Case, states: Iterable[str]) -> list[Half]:
    wanted = set(states)
    return [half for half, state in backs_of(case.ring).items() if state in wanted]
