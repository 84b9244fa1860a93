"""What of a pelvic ring is torn: its sense, its words, its sides."""

import pytest

from fixplan.case.edits import mirrored
from fixplan.case.meaning import case_problems
from fixplan.case.records import Case
from fixplan.case.ring_records import RingInjury
from fixplan.case.rings import ring_patterns, ring_words

OPEN = RingInjury(symphysis="torn", symphysis_mm=40, back_right="torn in front", back_left="intact")


@pytest.mark.parametrize(
    ("ring", "words"),
    [
        (RingInjury(), ""),
        (
            OPEN,
            "symphysis torn 40 mm open, back right torn in front and left intact",
        ),
        (
            RingInjury(symphysis="torn", back_right="torn through", back_left="torn through"),
            "symphysis torn, back torn through on both sides",
        ),
    ],
)
def test_what_is_torn_in_words(ring: RingInjury, words: str) -> None:
    assert ring_words(ring) == words


def test_a_mirrored_pelvis_changes_the_torn_side_over() -> None:
    other = mirrored(Case(limb="pelvis", side="both", ring=OPEN)).ring
    assert (other.back_right, other.back_left) == ("intact", "torn in front")
    assert (other.symphysis, other.symphysis_mm) == ("torn", 40)


def test_a_leg_has_no_ring() -> None:
    assert case_problems(Case(side="left", ring=OPEN)) == ("ring is told, and a leg has none",)


def test_an_intact_symphysis_does_not_stand_open() -> None:
    ring = RingInjury(symphysis="intact", symphysis_mm=12)
    told = case_problems(Case(limb="pelvis", side="both", ring=ring))
    assert told == ("ring tells a symphysis that is intact and open by 12 mm",)


def test_every_usual_injury_makes_sense_of_a_pelvis() -> None:
    patterns = ring_patterns()
    assert "open-book" in patterns
    for pattern in patterns.values():
        assert case_problems(Case(limb="pelvis", side="both", ring=pattern.ring)) == ()
        assert ring_words(pattern.ring)
