"""Where a drawn zone lies, in words that can be: never beyond the limb."""

import re

import pytest

from fixplan.case.records import Case
from fixplan.notes.places import place_words

CASE = Case(side="right")
FROM_ABOVE = ((46.0, 45.0), (-45.0, 45.0), (-50.0, 140.0), (50.0, 140.0))


def test_a_zone_on_the_foot_from_above_is_told_by_how_far_forward_it_lies():
    words = place_words(CASE, "hindfoot", "front", FROM_ABOVE)
    assert "plantar" not in words
    assert words.startswith("from the tuberosity of the navicular to 95 mm anterior to")


@pytest.mark.parametrize("beyond_mm", [0.0, 300.0])
def test_a_zone_swept_past_the_toes_ends_with_the_limb(beyond_mm):
    ring = ((-60.0, 20.0), (60.0, 20.0), (60.0, 400.0 + beyond_mm), (-60.0, 400.0 + beyond_mm))
    gaps = [
        int(gap) for gap in re.findall(r"(\d+) mm", place_words(CASE, "forefoot", "front", ring))
    ]
    assert max(gaps) < 80


def test_what_lies_beside_the_limb_is_told_so():
    ring = ((400.0, 20.0), (450.0, 20.0), (450.0, 60.0))
    assert place_words(CASE, "leg", "front", ring) == "beside the limb, by the leg"
