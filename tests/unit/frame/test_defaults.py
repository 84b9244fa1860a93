"""What a new pin is: diameter by bone and width, customary side, kind."""

from math import radians, sin

import pytest
from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import BoneSize, Case
from fixplan.case.scalars import LimbKind
from fixplan.errors import EditError
from fixplan.frame.defaults import (
    DiameterList,
    customary_bearings,
    customary_sides,
    default_diameter,
    diameter_list,
    pinned_bones,
    pinned_levels,
)
from fixplan.frame.new_pins import new_pin
from fixplan.geometry.paths import pin_path
from fixplan.limb.library import load_toml
from fixplan.limb.scale import limb_of
from fixplan.limb.words import corner_words
from tests.unit.frame.conftest import REFERENCE, case_with


def test_a_narrow_femur_takes_the_thinner_pin() -> None:
    size = replace(REFERENCE, bones=(BoneSize(bone="femur", width_mm=17.5),))
    limb = limb_of_case(case_with(size=size))
    width = limb.width_mm("femur", 235.0, 0.0)
    assert 5.0 / 0.30 < width < 6.0 / 0.30
    assert default_diameter(limb, "femur", 235.0, 0.0) == 5.0


def test_where_even_the_thinnest_is_over_the_ratio_it_is_the_thinnest() -> None:
    size = replace(REFERENCE, bones=(BoneSize(bone="tibia", width_mm=12.0),))
    limb = limb_of_case(case_with(size=size))
    assert limb.width_mm("tibia", 190.0, 120.0) * 0.30 < 5.0
    assert default_diameter(limb, "tibia", 190.0, 120.0) == 5.0


def test_default_never_fills_more_than_the_ratio_where_a_thinner_pin_is_listed() -> None:
    limb = limb_of_case(case_with())
    for level in range(100, 420, 20):
        chosen = default_diameter(limb, "femur", level, 20.0)
        share = chosen / limb.width_mm("femur", level, 20.0) * 100
        assert share <= diameter_list().ratio_percent or chosen == 5.0


def test_a_bone_without_listed_diameter_is_refused() -> None:
    limb = limb_of_case(case_with())
    with pytest.raises(EditError, match="fibula"):
        default_diameter(limb, "fibula", 100.0, 0.0)
    with pytest.raises(EditError, match="through-pin diameter is listed for the talus"):
        default_diameter(limb, "talus", 0.0, 0.0, "through")


@pytest.mark.parametrize(
    ("bone", "level", "low", "high"),
    [
        ("femur", 200, 0, 60),
        ("femur", 350, 0, 60),
        ("tibia", 80, 110, 150),
        ("tibia", 280, 120, 180),
    ],
)
def test_customary_sides_lie_in_the_cited_sectors(bone, level, low, high) -> None:
    """CO-F1 lateral to anterolateral; CO-T4 20 to 60, below 30 to 90 degrees off sagittal."""
    limb = limb_of_case(case_with())
    assert all(low <= bearing <= high for bearing in customary_bearings(limb, bone, level))


def test_the_heel_takes_a_through_pin_from_medial() -> None:
    pin = new_pin(case_with(), "calcaneus", 24.0)
    assert (pin.kind, pin.bearing_deg, pin.diameter_mm) == ("through", 180.0, 6.0)


def test_the_heel_pin_runs_in_the_rear_third_of_the_calcaneus() -> None:
    case = case_with()
    limb = limb_of_case(case)
    outline = limb.section("calcaneus", 24.0).outline
    rear, front = outline[:, 1].min(), outline[:, 1].max()
    aim = pin_path(limb, new_pin(case, "calcaneus", 24.0)).aim_mm
    assert rear < aim[1] < rear + (front - rear) / 3


@pytest.mark.parametrize(("view", "axis"), [("front", 0), ("side", 1)])
def test_a_click_off_the_middle_moves_the_aim_towards_the_click(view, axis) -> None:
    case = case_with()
    limb = limb_of_case(case)
    middle = pin_path(limb, new_pin(case, "tibia", 190.0)).aim_mm
    moved = pin_path(limb, new_pin(case, "tibia", 190.0, 4.0, view)).aim_mm
    towards = moved[axis] - middle[axis]
    assert 0 < towards <= 4.0
    assert new_pin(case, "tibia", 190.0, 4.0, "front").offset_mm == pytest.approx(
        -4.0 * sin(radians(120))
    )


def test_starting_frames_stay_where_sections_are_known() -> None:
    limb = limb_of_case(case_with())
    for bone in pinned_bones(limb):
        if not limb.bones[bone].drawn_only:
            low, high = pinned_levels(limb, bone)
            middle = limb.section(bone, (low + high) / 2)
            assert middle is not None
            assert middle.known


def test_a_house_file_changes_the_listed_diameters(tmp_path, monkeypatch) -> None:
    house = tmp_path / "house.toml"
    house.write_text("[diameters.bones.tibia]\nhalf_mm = [6.0, 5.0]\n")
    monkeypatch.setenv("FIXPLAN_HOUSE", str(house))
    limb = limb_of_case(case_with())
    assert load_toml("diameters.toml", DiameterList).bones["tibia"].half_mm == (6.0, 5.0)
    assert default_diameter(limb, "tibia", 80.0, 120.0) == 6.0


@pytest.mark.parametrize("kind", ["leg", "arm", "pelvis"])
def test_a_customary_side_is_named_by_its_ends_as_pins_there_are(kind: LimbKind) -> None:
    """So that no pin inside a band is told with a side that the band's name leaves out."""
    limb = limb_of(kind)
    for bone, known in limb.bones.items():
        words = limb.segments[known.segment].sides
        for share in range(0, 101, 5):
            level = known.from_mm + share / 100 * (known.to_mm - known.from_mm)
            for name, low, high in customary_sides(limb, bone, level):
                wide = (high - low) % 360 or 360
                told = [corner_words(low, words), corner_words(high, words)]
                middle = f" over {corner_words(low + wide / 2, words)}" if wide >= 180 else ""
                assert name.split(",")[0] == f"{told[0]}{middle} to {told[1]}"


@pytest.mark.parametrize(
    ("limb", "bone", "words"),
    [
        ("leg", "fibula", "No pin is customary in the fibula; choose the tibia."),
        ("arm", "carpus-distal", "choose another bone."),
    ],
)
def test_where_no_pin_is_customary_the_bones_beside_it_are_named(limb, bone, words) -> None:
    with pytest.raises(EditError) as refused:
        new_pin(Case(limb=limb, side="right"), bone, 100.0)
    assert str(refused.value).endswith(words)
