"""What could not be checked, said as such: never counted as passed."""

from collections.abc import Iterator

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Pin
from fixplan.case.remembered import remembered
from fixplan.case.unknown import unknown_ids
from fixplan.checks.finding import Finding
from fixplan.checks.hazards import hazards_assessed
from fixplan.checks.register import case_kind
from fixplan.checks.rules import Rule
from fixplan.checks.texts import finding, pins_words
from fixplan.geometry.paths import pin_path


@case_kind("nerves-not-assessed")
def nerves_not_assessed(rule: Rule, case: Case) -> Iterator[Finding]:
    """One finding for all pins that run, somewhere from skin to tip, where nothing is authored."""
    if pins := unassessed_pins(case):
        words = pins_words(pins)
        subjects = tuple(pin.id for pin in pins)
        lower = f"{words[0].lower()}{words[1:]}"
        yield finding(rule, rule.severity, subjects, words, rule.text, pins=lower)


@remembered
def unassessed_pins(case: Case) -> tuple[Pin, ...]:
    """The pins whose nerves and vessels are not known along their whole way."""
    limb = limb_of_case(case)
    return tuple(
        pin
        for pin in case.pins
        if pin.bone not in limb.bones or not hazards_assessed(pin_path(limb, pin))
    )


@case_kind("section-unknown")
def section_unknown(rule: Rule, case: Case) -> Iterator[Finding]:
    """One finding for all pins at levels beyond the authored sections of their bone."""
    limb = limb_of_case(case)
    paths = [pin_path(limb, pin) for pin in case.pins if pin.bone in limb.bones]
    pins = [path.pin for path in paths if path.hits_bone and not path.known]
    if pins:
        words = pins_words(pins)
        subjects = tuple(pin.id for pin in pins)
        yield finding(rule, rule.severity, subjects, words, rule.text, pins=words)


@case_kind("unknown-id")
def unknown_id(rule: Rule, case: Case) -> Iterator[Finding]:
    """Each thing on a bone or segment that this limb does not have."""
    for clause in unknown_ids(case, limb_of_case(case)):
        name = clause.partition(" ")[0]
        yield finding(rule, rule.severity, (name,), name, rule.text, what=clause)
