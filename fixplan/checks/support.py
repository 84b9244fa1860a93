"""Rule kinds about what the frame leaves loose: the foot and the heel."""

from collections.abc import Iterator

from fixplan.case.limbs import bar_systems, limb_of_case
from fixplan.case.records import Case, Support
from fixplan.checks.finding import Finding
from fixplan.checks.register import case_kind
from fixplan.checks.rules import Rule
from fixplan.checks.texts import finding
from fixplan.limb.kinds import limb_kind

SUBJECT = "Frame"


@case_kind("foot-held")
def foot_held(rule: Rule, case: Case) -> Iterator[Finding]:
    """A frame on the leg that leaves the foot free, unless a drawn splint or foot bar holds it."""
    pins = _frame_on(case, rule.target)
    if pins and not _is_cleared(rule, case):
        yield finding(rule, rule.severity, pins, SUBJECT, rule.text)


@case_kind("heel-lifted")
def heel_lifted(rule: Rule, case: Case) -> Iterator[Finding]:
    """A frame on the leg, or from the leg to the foot, without a drawn heel stand."""
    pins = _frame_on(case, "leg") or _frame_on(case, "ankle")
    if pins and not _is_cleared(rule, case):
        yield finding(rule, rule.severity, pins, SUBJECT, rule.text)


def _is_cleared(rule: Rule, case: Case) -> bool:
    return any(
        support.kind in rule.cleared_by
        and (support.kind != "splint" or _reaches_foot(rule, case, support))
        for support in case.supports
    )


def _reaches_foot(rule: Rule, case: Case, splint: Support) -> bool:
    """Whether a splint comes down to the ankle, or as near to it as the rule's `short_mm`."""
    row = limb_kind(case.limb)
    if splint.segment != row.splinted:
        return splint.segment in row.beyond(row.heel)
    ankle_mm = limb_of_case(case).landmark(rule.landmark).level_mm
    return splint.to_mm >= ankle_mm - rule.numbers["short_mm"]


def _frame_on(case: Case, target: str) -> tuple[str, ...]:
    """Pins of the bar system that spans the ankle, or that holds the leg without the foot."""
    row = limb_kind(case.limb)
    leg, foot = row.splinted, {*row.beyond(row.heel)}
    bones = limb_of_case(case).bones
    segment = {pin.id: bones[pin.bone].segment for pin in case.pins if pin.bone in bones}
    for system in bar_systems(case):
        held = {segment.get(pin, "") for pin in system}
        spans_ankle = leg in held and bool(held & foot)
        if leg in held and foot and spans_ankle == (target == "ankle"):
            return system
    return ()
