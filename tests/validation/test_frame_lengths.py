"""Parts of a pin's needed length against the schematic limb's own table.

Reference adult (man, 1750 mm, 80 kg), skin to near surface along the usual bearing, in mm: femur
mid-shaft lateral 47, anterolateral 43, anterior 50; distal lateral 37; tibia anteromedial 6 to 8.
Schematic values measured when the sections were drawn (soft tissue table of the anatomy, status
schematic), so this checks the way from section to sum, not the anatomy. Tolerance 2 mm: the table
is rounded, and its adult's skin is not scaled by girth.
"""

import pytest

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, LimbSize, Pin
from fixplan.frame.lengths import pin_length

CASE = Case(side="right", size=LimbSize(sex="male", stature_mm=1750, mass_kg=80))
TABLE = [
    ("femur", 0.50, 0.0, 47.0),
    ("femur", 0.50, 45.0, 43.0),
    ("femur", 0.50, 90.0, 50.0),
    ("femur", 0.80, 0.0, 37.0),
    ("tibia", 0.33, 120.0, 7.0),
    ("tibia", 0.50, 120.0, 7.0),
    ("tibia", 0.70, 120.0, 7.0),
]


def pin_at(bone: str, share: float, bearing_deg: float) -> Pin:
    whole = limb_of_case(CASE).bones[bone]
    return Pin(
        id="pin-1",
        number=1,
        bone=bone,
        level_mm=share * whole.length_mm,
        bearing_deg=bearing_deg,
        diameter_mm=5.0,
    )


@pytest.mark.parametrize(("bone", "share", "bearing_deg", "depth_mm"), TABLE)
def test_skin_to_bone_agrees_with_the_table(bone, share, bearing_deg, depth_mm) -> None:
    length = pin_length(CASE, pin_at(bone, share, bearing_deg))
    assert length.depth_mm == pytest.approx(depth_mm, abs=2.0)


@pytest.mark.parametrize(("bone", "share", "bearing_deg", "depth_mm"), TABLE)
def test_needed_length_is_the_sum_of_its_parts(bone, share, bearing_deg, depth_mm) -> None:
    del depth_mm
    length = pin_length(CASE, pin_at(bone, share, bearing_deg))
    parts = (length.tip_mm, length.bone_mm, length.depth_mm, length.gap_mm, length.clamp_mm)
    assert length.needed_mm == pytest.approx(sum(parts))
