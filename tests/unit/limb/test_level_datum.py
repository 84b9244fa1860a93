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


@pytest.mark.parametrize(
    ("kind", "bone", "level_mm", "felt", "imaged"),
    [
        ("leg", "metatarsal-5", 23, "head of the fifth metatarsal", None),
        ("leg", "metatarsal-5", 5, "tuberosity of the fifth metatarsal", None),
        ("leg", "metatarsal-3", 10, "head of the third metatarsal", "third tarsometatarsal joint"),
        ("leg", "metatarsal-1", 40, "head of the first metatarsal", "first tarsometatarsal joint"),
        (
            "arm",
            "metacarpal-4",
            50,
            "head of the fourth metacarpal",
            "base of the fourth metacarpal",
        ),
        ("arm", "metacarpal-2", 50, "head of the second metacarpal", None),
        (
            "arm",
            "proximal-phalanx-5",
            70,
            "head of the proximal phalanx of the little finger",
            "base of the proximal phalanx of the little finger",
        ),
    ],
)
def test_a_ray_is_told_from_its_own_landmarks(
    kind: str, bone: str, level_mm: float, felt: str, imaged: str | None
) -> None:
    limb = limb_of(kind)
    segment = limb.bones[bone].segment
    assert level_words(limb, segment, level_mm, bone).endswith(f"the {felt}")
    assert level_words_imaged(limb, segment, level_mm, bone).endswith(f"the {imaged or felt}")


@pytest.mark.parametrize("kind", ["leg", "arm"])
def test_every_ray_that_takes_a_pin_has_landmarks_of_its_own(kind: str) -> None:
    limb = limb_of(kind)
    for bone in limb.bones.values():
        if bone.segment in ("forefoot", "hand") and not bone.drawn_only:
            mark = level_landmark(limb, bone.segment, bone.to_mm, bone.name)
            assert mark is not None
            assert mark.bone == bone.name
