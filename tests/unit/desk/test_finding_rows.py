"""What the list of findings calls the things that a finding is about."""

import pytest

from fixplan.checks.finding import Finding
from fixplan.desk.panels.finding_rows import Row, subject_words

PINS = {"pin-1": 1, "pin-3": 3, "pin-5": 5}


def about(subject: str, *subjects: str) -> Finding:
    return Finding(
        rule="rule.x", severity="stop", subjects=subjects, subject=subject, message="found"
    )


@pytest.mark.parametrize(
    ("finding", "words"),
    [
        (about("Pin 1", "pin-1", "pin-5"), "Pins 1 and 5"),
        (about("Pin 5", "pin-5", "pin-3"), "Pins 3 and 5"),
        (about("Pin 1", "pin-1", "wound-1"), "Pin 1"),
        (about("Frame", "pin-1", "pin-5"), "Frame"),
        (about("Pins 1, 3 and 5", "pin-1", "pin-3", "pin-5"), "Pins 1, 3 and 5"),
    ],
)
def test_two_pins_that_a_finding_sets_against_each_other_are_named_alike(finding, words):
    assert subject_words(finding, PINS) == words
    assert Row(finding, about=words).heading == f"Stop · {words}"
