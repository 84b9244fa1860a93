"""Levels near the elbow are told from where the sources of the radial nerve count."""

import pytest

from fixplan.limb.scale import limb_of
from fixplan.limb.words import level_landmark, level_words, level_words_imaged

ARM = limb_of("arm")
NERVE = [
    spread
    for spread in ARM.references["upper-arm"].authored.spreads
    if spread.track == "radial-nerve" and spread.what == "crosses the lateral side of the shaft"
]


def test_the_radial_nerve_is_counted_from_the_lateral_epicondyle() -> None:
    assert NERVE
    assert {spread.landmark for spread in NERVE} == {"humeral_lateral_epicondyle"}


@pytest.mark.parametrize("above_mm", range(30, 150, 20))
def test_a_pin_near_the_nerve_is_counted_from_the_same_landmark(above_mm: int) -> None:
    level = ARM.landmark(NERVE[0].landmark).level_mm - above_mm
    mark = level_landmark(ARM, "upper-arm", level)
    assert mark is not None
    assert mark.id == NERVE[0].landmark
    assert level_words(ARM, "upper-arm", level).endswith(
        "above the lateral epicondyle of the humerus"
    )
    assert "medial" not in level_words_imaged(ARM, "upper-arm", level)
