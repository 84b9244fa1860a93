"""What could not be checked, said as such: never counted as passed."""

from collections.abc import Iterator

from fixplan.case.limbs import bar_systems, limb_of_case
from fixplan.case.records import Case, Pin
from fixplan.case.remembered import remembered
from fixplan.case.unknown import unknown_ids
from fixplan.checks.clear_sides import clear_margins
from fixplan.checks.finding import Finding
from fixplan.checks.hazards import hazards_assessed, hazards_in_part
from fixplan.checks.register import case_kind
from fixplan.checks.rules import Rule
from fixplan.checks.texts import finding, pins_words
from fixplan.geometry.paths import pin_path


@case_kind("nerves-not-assessed")
def nerves_not_assessed(rule: Rule, case: Case) -> Iterator[Finding]:
    """One finding for all pins that run, somewhere from skin to tip, where nothing is authored."""
    if not (pins := unassessed_pins(case)):
        return
    partly = partly_assessed_pins(case)
    parts = [
        text.format(pins=_lower(pins_words(some)))
        for text, some in (
            (rule.texts["whole"], [pin for pin in pins if pin not in partly]),
            (rule.texts["part"], partly),
        )
        if some
    ]
    subjects = tuple(pin.id for pin in pins)
    told = ", and for ".join(parts)
    yield finding(rule, rule.severity, subjects, pins_words(pins), rule.text, parts=told)


def _lower(words: str) -> str:
    return f"{words[0].lower()}{words[1:]}"


@remembered
def unassessed_pins(case: Case) -> tuple[Pin, ...]:
    """The pins whose nerves and vessels are not known along their whole way."""
    limb = limb_of_case(case)
    return tuple(
        pin
        for pin in case.pins
        if pin.bone not in limb.bones or not hazards_assessed(pin_path(limb, pin))
    )


@remembered
def partly_assessed_pins(case: Case) -> tuple[Pin, ...]:
    """Of `unassessed_pins` those that are assessed as far as sections are known beside them."""
    limb, margins = limb_of_case(case), clear_margins()
    within_mm = max(margins.gap_mm, margins.far_gap_mm or 0.0)
    return tuple(
        pin
        for pin in unassessed_pins(case)
        if pin.bone in limb.bones and hazards_in_part(pin_path(limb, pin), within_mm)
    )


@case_kind("no-fracture")
def no_fracture(rule: Rule, case: Case) -> Iterator[Finding]:
    """A frame in a case without any fracture, so that nothing that is told from one was checked."""
    held = [pin for system in bar_systems(case) for pin in system]
    if held and not case.fractures and case.limb not in rule.exempt:
        yield finding(rule, rule.severity, tuple(held), "Frame", rule.text)


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
