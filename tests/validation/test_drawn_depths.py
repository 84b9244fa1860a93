"""How far from bone the drawn vessels and nerves lie, against the papers that measured it.

Like the courses in test_drawn_courses these were authored knowing the figures, so that agreement is
a check of the drawing and no proof. Distances are from the bone's edge to the structure's; where a
paper gives no SD, 3 mm are allowed, for a schematic limb of a man of 1750 mm.
"""

import pytest
import shapely

from fixplan.geometry.section_structures import RoundStructure, structures_at
from fixplan.limb.anatomy import Limb
from tests.validation.test_drawn_courses import ARM, LEG

NO_SD_MM = 3.0


def drawn(limb: Limb, bone: str, track: str, level_mm: float) -> tuple[RoundStructure, float]:
    """A structure at a level, and how far its edge lies from the bone, mm."""
    section = limb.section(bone, level_mm)
    assert section is not None
    found = structures_at(limb, limb.group_of(bone), level_mm)
    one = next(one for one in found.round if one.track == track)
    centre = shapely.distance(shapely.Polygon(section.outline), shapely.Point(one.at))
    return one, float(centre) - one.radius_mm


@pytest.mark.parametrize("below_mm", [130.0, 140.0, 150.0])
def test_the_superficial_femoral_artery_high_in_the_thigh(below_mm: float) -> None:
    """34 ± 7 mm from the bone, 130 to 150 mm below the greater trochanter: 38 CT angiographies."""
    level = LEG.landmark("greater_trochanter_tip").level_mm + below_mm
    _, gap_mm = drawn(LEG, "femur", "femoropopliteal-artery", level)
    assert gap_mm == pytest.approx(34, abs=7 * 1.5)


def test_the_profunda_lies_medial_and_no_further_off_than_was_measured() -> None:
    """Nearest part 13.8 mm from the medial cortex, 3 degrees off the coronal axis: 44 CT.

    Lower down, where it gives off its last perforators, it is drawn nearer: told too early.
    """
    level = 0.35 * LEG.segments["thigh"].to_mm
    one, gap_mm = drawn(LEG, "femur", "profunda-artery", level)
    section = LEG.section("femur", level)
    assert section is not None
    x, y = one.at[0] - section.target[0], one.at[1] - section.target[1]
    assert x < 0
    assert abs(y) < 0.2 * abs(x)
    assert gap_mm == pytest.approx(13.8, abs=NO_SD_MM)


@pytest.mark.parametrize(("below_mm", "behind_mm"), [(19.5, 10.4), (27.5, 12.5), (37.5, 12.5)])
def test_the_popliteal_artery_behind_the_tibia(below_mm: float, behind_mm: float) -> None:
    """10.4, 12.5 and 12.5 mm behind the cortex 15 to 40 mm below the plateau: 105 MRI."""
    one, gap_mm = drawn(LEG, "tibia", "posterior-tibial", below_mm)
    assert one.name == "popliteal artery" or below_mm > 20
    assert gap_mm == pytest.approx(behind_mm, abs=NO_SD_MM)


@pytest.mark.parametrize(
    ("below_mm", "lateral_mm", "sd_mm"), [(20.0, -2.0, 7.7), (40.0, -7.8, 5.8)]
)
def test_the_sciatic_nerve_beside_the_medial_border_of_the_femur(
    below_mm: float, lateral_mm: float, sd_mm: float
) -> None:
    """4.0 ± 7.7 mm lateral of it at the lesser trochanter, 7.8 ± 5.8 medial 40 mm lower: 20 MRI.

    The first is above the sections: half way between both is taken. Lower down it is drawn 7 mm
    further lateral; the spread of its bearing (AN-02) covers where it was seen.
    """
    level = LEG.landmark("lesser_trochanter").level_mm + below_mm
    one, _ = drawn(LEG, "femur", "sciatic-tibial-nerve", level)
    section = LEG.section("femur", level)
    assert section is not None
    off_mm = one.at[0] - float(section.outline[:, 0].min())
    assert off_mm == pytest.approx(lateral_mm, abs=1.5 * sd_mm)


@pytest.mark.parametrize("above_mm", [30.0, 45.0])
def test_the_brachial_artery_in_front_of_the_distal_humerus(above_mm: float) -> None:
    """12 mm in front of it with the elbow straight: 11 elbows."""
    level = ARM.landmark("humeral_lateral_epicondyle").level_mm - above_mm
    _, gap_mm = drawn(ARM, "humerus", "brachial-artery", level)
    assert gap_mm == pytest.approx(12, abs=NO_SD_MM)


def test_the_superficial_radial_nerve_is_a_skin_nerve_from_where_it_surfaced() -> None:
    """Under the skin 85 ± 13 mm above the styloid, 90 mm in 20 arms (CO-R3)."""
    styloid = ARM.landmark("radial_styloid_tip").level_mm
    grades = {
        above: drawn(ARM, "radius", "superficial-radial-nerve", styloid - above)[0].grade
        for above in range(60, 120)
    }
    highest = max(above for above, grade in grades.items() if grade == "minor")
    assert highest == pytest.approx(85, abs=13)
    assert {grade for above, grade in grades.items() if above <= highest} == {"minor"}
