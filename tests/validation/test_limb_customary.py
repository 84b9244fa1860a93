"""Diameters and sides of pins in arm, hand, forefoot and pelvis against the habits of the trade.

Habit (common practice, no source): femur and hip bone 6 mm, at times 5; tibia and humerus 5;
forearm, elbow and foot 4; hand and forefoot smaller. Differences, and why: the calcaneus takes 5 to
6 (PD-08, test_diameters), for its pin goes right through and carries the whole foot; the shaft of
the ulna gets 3 from its middle on, for it is under 13 mm wide there and 4 mm would pass 30 % of it;
a slim forearm and an average woman's first metatarsal get the next one for the same reason, and so
do navicular, middle and lateral cuneiform, and the middle of a slender metatarsal or metacarpal.
"""

import pytest

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, LimbSize
from fixplan.case.scalars import LimbKind
from fixplan.frame.defaults import default_diameter, pinned_bones, pinned_levels
from fixplan.frame.new_pins import new_pin
from fixplan.geometry.paths import pin_path
from fixplan.limb.scale import limb_of

HABIT = (
    ("arm", "humerus", 0.45, 5.0),
    ("arm", "humerus", 0.62, 5.0),
    ("arm", "humerus", 0.70, 4.0),
    ("arm", "humerus", 0.86, 4.0),
    ("arm", "ulna", 0.25, 4.0),
    ("leg", "femur", 0.5, 6.0),
    ("leg", "tibia", 0.5, 5.0),
    ("arm", "radius", 0.5, 4.0),
    ("arm", "metacarpal-2", 0.5, 3.0),
    ("arm", "metacarpal-5", 0.5, 2.5),
    ("arm", "proximal-phalanx-2", 0.5, 2.0),
    ("leg", "metatarsal-1", 0.5, 4.0),
    ("leg", "metatarsal-2", 0.5, 2.5),
    ("leg", "talus", 0.6, 4.0),
    ("leg", "cuboid", 0.5, 4.0),
    ("leg", "cuneiform-1", 0.5, 4.0),
    ("leg", "metatarsal-5", 0.3, 3.0),
    ("arm", "metacarpal-1", 0.5, 2.5),
    ("arm", "metacarpal-4", 0.5, 2.0),
    ("arm", "middle-phalanx-3", 0.5, 2.0),
)
THINNER = (
    ("leg", "navicular", 0.5, 4.0, 3.0),
    ("leg", "cuneiform-2", 0.5, 4.0, 3.0),
    ("leg", "cuneiform-3", 0.5, 4.0, 3.0),
    ("leg", "metatarsal-5", 0.5, 3.0, 2.5),
    ("leg", "metatarsal-3", 0.5, 3.0, 2.5),
    ("arm", "metacarpal-3", 0.5, 2.5, 2.0),
)
"""Bones whose reference adult gets less than the first of the listed: habit, and what is chosen."""


@pytest.mark.parametrize(("kind", "bone", "share", "habit"), HABIT)
def test_a_reference_adults_pins_are_as_thick_as_is_the_habit(
    kind: LimbKind, bone: str, share: float, habit: float
) -> None:
    case = Case(limb=kind, side="right")
    whole = limb_of_case(case).bones[bone]
    level = whole.from_mm + share * (whole.to_mm - whole.from_mm)
    assert new_pin(case, bone, level).diameter_mm == habit


@pytest.mark.parametrize(("kind", "bone", "share", "habit", "chosen"), THINNER)
def test_where_it_is_thinner_the_habit_would_pass_the_ratio(
    kind: LimbKind, bone: str, share: float, habit: float, chosen: float
) -> None:
    """30 % of the width across the pin, ours under the third of PD-15; PD-10 to PD-14 list both."""
    case = Case(limb=kind, side="right")
    limb = limb_of_case(case)
    whole = limb.bones[bone]
    level = whole.from_mm + share * (whole.to_mm - whole.from_mm)
    pin = new_pin(case, bone, level)
    assert pin.diameter_mm == chosen
    assert habit / limb.width_mm(bone, level, pin.bearing_deg) > 0.30


def test_a_hip_bone_takes_six_millimetres() -> None:
    case = Case(limb="pelvis", side="both")
    assert new_pin(case, "ilium-right", 96.0).diameter_mm == 6.0
    assert new_pin(case, "ilium-left", 50.0).diameter_mm == 6.0


def test_the_slender_shaft_of_the_ulna_gets_less_than_the_habit_because_of_the_ratio() -> None:
    """Smallest canal and width of the ulna are those of its distal half; 4 of 12.4 mm is 32 %."""
    case = Case(limb="arm", side="right", size=LimbSize(sex="male", stature_mm=1750.0))
    limb = limb_of_case(case)
    whole = limb.bones["ulna"]
    for share in (0.45, 0.5, 0.6, 0.7):
        level = whole.from_mm + share * (whole.to_mm - whole.from_mm)
        pin = new_pin(case, "ulna", level)
        assert pin.diameter_mm == 3.0
        assert 4.0 / limb.width_mm("ulna", level, pin.bearing_deg) > 0.30


@pytest.mark.parametrize(
    ("sex", "stature_mm", "thickest_mm"),
    [("male", 1780, 6.0), ("female", 1640, 6.0), ("male", 1300, 5.0), ("female", 1100, 5.0)],
)
def test_a_small_hip_bone_takes_the_thinner_pin(sex, stature_mm, thickest_mm) -> None:
    """PD-02, PD-03: 5 to 6 mm; the narrowest adult column seen was 7.6 mm wide."""
    case = Case(limb="pelvis", side="both", size=LimbSize(sex=sex, stature_mm=stature_mm))
    whole = limb_of_case(case).bones["ilium-right"]
    assert new_pin(case, "ilium-right", 0.46 * whole.to_mm).diameter_mm == thickest_mm


@pytest.mark.parametrize("offset_mm", [-25.0, 0.0, 4.0, 25.0])
def test_a_click_beside_the_middle_of_a_hip_bone_still_gives_a_pin_in_it(offset_mm) -> None:
    case = Case(limb="pelvis", side="both")
    for level_mm in (45.0, 101.0):
        pin = new_pin(case, "ilium-left", level_mm, offset_mm, "front")
        assert pin_path(limb_of_case(case), pin).hits_bone


def test_slim_bones_take_the_thinner_pin() -> None:
    slim = limb_of("arm", "female", 1550.0)
    level = 0.5 * slim.segments["forearm"].to_mm
    assert default_diameter(slim, "radius", level, 275.0) == 3.0
    woman = limb_of("leg", "female", 1630.0)
    level = 0.5 * woman.segments["forefoot"].to_mm
    assert default_diameter(woman, "metatarsal-1", level, 180.0) == 3.0


@pytest.mark.parametrize("sex", ["male", "female"])
@pytest.mark.parametrize("kind", ["arm", "leg", "pelvis"])
def test_a_customary_pin_meets_its_bone_from_outside_the_skin(kind: LimbKind, sex: str) -> None:
    stature = 1750.0 if sex == "male" else 1630.0
    case = Case(
        limb=kind,
        side="both" if kind == "pelvis" else "right",
        size=LimbSize(sex="male" if sex == "male" else "female", stature_mm=stature),
    )
    limb = limb_of_case(case)
    for bone in pinned_bones(limb):
        for level in pinned_levels(limb, bone):
            path = pin_path(limb, new_pin(case, bone, level))
            if not limb.bones[bone].drawn_only:
                assert path.hits_bone, (bone, level)
                assert path.soft_tissue_mm > 2.0, (bone, level)


def test_pins_in_the_hip_bone_end_in_it() -> None:
    """Crest and supra-acetabular pins do not pass the far cortex."""
    case = Case(limb="pelvis", side="both")
    limb = limb_of_case(case)
    for level in (40.0, 60.0, 92.0, 100.0):
        path = pin_path(limb, new_pin(case, "ilium-right", level))
        assert path.known
        assert not path.is_bicortical
        assert path.near_mm - path.tip_end_mm == pytest.approx(65 if level > 90 else 55, abs=0.5)
    crest = pin_path(limb, new_pin(case, "ilium-right", 50.0))
    spine = limb.landmark("asis_right")
    entry = crest.near_point_mm
    assert 10 < spine.y_mm - entry[1] < 45
    assert entry[2] < spine.level_mm - 30
