"""Where the hip and the low pins stand on the drawn pelvis, against what was published.

- Bell AL, Brand RA, Pedersen DR. Hum Mov Sci 1989;8:3 (abstract): the hip centre lies 30 % of the
  distance between the anterior superior spines distal, 14 % medial and 22 % posterior to the spine.
  The radius from centre to bony roof, 28 mm, is a head of 48 mm and its cartilage, from memory.
- Lidder S, et al. Surg Radiol Anat 2013;35:131 (abstract): the column above the hip begins 6.7 mm
  above the dome and is 23.6 mm high (medians); pins belong in its upper half.
- Carrothers A. J Trauma Orthop 2016;4(4):38: entry slightly above the lower spine, 20 mm above the
  hip; Chumchuen S, et al. J Orthop Traumatol 2022;23: just above it, aimed 20 degrees medially and
  10 to 20 degrees upwards.
- Krassnig R, et al. ANZ J Surg 2021;91:680 (abstract): length in bone 72.9 to 94.3 mm in men, 63.1
  to 81.9 mm in women.
"""

import pytest

from fixplan.case.limbs import limb_of_case
from fixplan.frame.pin_words import along_edge_mm
from fixplan.geometry.paths import pin_path
from fixplan.limb.scale import limb_of
from tests.unit.frame.other_limbs import MAN, WOMAN, laid

ROOF_ABOVE_CENTRE_MM = 28.0


def test_the_hip_stands_where_the_spines_put_it() -> None:
    limb = limb_of("pelvis")
    spine, roof = limb.landmark("asis_right"), limb.landmark("hip_roof_right")
    between_mm = 2 * spine.x_mm
    distal_mm = roof.level_mm + ROOF_ABOVE_CENTRE_MM - spine.level_mm
    assert distal_mm == pytest.approx(0.30 * between_mm, abs=2.0)
    assert spine.x_mm - roof.x_mm == pytest.approx(0.14 * between_mm, abs=2.0)
    assert spine.y_mm - roof.y_mm == pytest.approx(0.22 * between_mm, abs=6.0)


@pytest.mark.parametrize(
    ("size", "length_mm"), [(MAN, (72.9, 94.3)), (WOMAN, (63.1, 81.9))], ids=["man", "woman"]
)
def test_a_low_pin_enters_the_upper_half_of_the_column_just_above_the_spine(
    size, length_mm
) -> None:
    case = laid("pelvis-low", size=size).case
    limb = limb_of_case(case)
    for pin in case.pins:
        side = pin.bone.removeprefix("ilium-")
        roof, lower = limb.landmark(f"hip_roof_{side}"), limb.landmark(f"aiis_{side}")
        path = pin_path(limb, pin)
        enters = float(path.near_point_mm[2])
        assert 6.7 + 23.6 / 2 <= roof.level_mm - enters <= 6.7 + 23.6
        assert 0.0 <= lower.level_mm - enters <= 10.0
        assert length_mm[0] <= path.bone_mm <= length_mm[1]
        assert 90.0 - pin.bearing_deg == pytest.approx(20.0, abs=5.0)
        assert 10.0 <= -pin.tilt_deg <= 20.0


@pytest.mark.parametrize("size", [MAN, WOMAN], ids=["man", "woman"])
def test_a_first_crest_pin_starts_behind_the_spine_as_is_customary(size) -> None:
    """20 to 30 mm behind the spine, along the crest (CO-P2, from memory), within 5 mm."""
    case = laid("pelvis-crest", size=size).case
    limb = limb_of_case(case)
    for bone in ("ilium-right", "ilium-left"):
        ways = [along_edge_mm(pin_path(limb, pin)) for pin in case.pins if pin.bone == bone]
        assert 20.0 <= min(ways) <= 35.0
        assert max(ways) - min(ways) >= 20.0
