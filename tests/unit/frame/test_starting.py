"""Starting frames with the real judge: what they hold, what is found, what they say."""

import pytest
from msgspec.structs import replace

from fixplan.case.limbs import knee_flexion_deg, limb_of_case
from fixplan.case.records import Fracture, Injury, LimbSize
from fixplan.checks.run import check, judge_pin
from fixplan.errors import EditError
from fixplan.frame.groups import pin_groups
from fixplan.frame.joining import bar_paths
from fixplan.frame.patterns import patterns
from fixplan.frame.skin_gap import bar_gap
from fixplan.frame.starting import lay_frame
from tests.unit.frame.conftest import case_with, tibia_pin
from tests.unit.frame.other_limbs import FRAMES as OTHER_LIMBS


def broken(bone: str, low: float, high: float, number: int = 1, **fields) -> Fracture:
    return Fracture(id=f"fracture-{number}", bone=bone, from_mm=low, to_mm=high, **fields)


def box(low_u, high_u, low_v, high_v):
    return ((low_u, low_v), (high_u, low_v), (high_u, high_v), (low_u, high_v))


TIBIA, FEMUR = broken("tibia", 170, 210), broken("femur", 200, 250)
PLATEAU, PILON = broken("tibia", 2, 60, code="41C3"), broken("tibia", 320, 370)
FRAMES = [
    ("per-fragment", TIBIA),
    ("per-fragment", FEMUR),
    ("single-bar", TIBIA),
    ("single-bar", FEMUR),
    ("knee-spanning", PLATEAU),
    ("ankle-delta", PILON),
]
SIZES = [
    LimbSize(sex="male", stature_mm=1750, mass_kg=80),
    LimbSize(sex="female", stature_mm=1580, mass_kg=60),
    LimbSize(sex="male", stature_mm=1920, mass_kg=100),
]


def laid(pattern: str, *fractures: Fracture, **fields):
    return lay_frame(case_with(fractures=fractures, **fields), pattern, judge_pin)


def scaled(fracture: Fracture, size: LimbSize) -> Fracture:
    case = case_with(size=size)
    along = limb_of_case(case).bones[fracture.bone].length_mm / (
        limb_of_case(case_with()).bones[fracture.bone].length_mm
    )
    return replace(fracture, from_mm=fracture.from_mm * along, to_mm=fracture.to_mm * along)


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size.stature_mm:.0f}")
@pytest.mark.parametrize(("pattern", "fracture"), FRAMES)
def test_a_laid_frame_is_free_of_stops_and_cautions(pattern, fracture, size) -> None:
    frame = laid(pattern, scaled(fracture, size), size=size)
    bad = [f.message for f in check(frame.case) if f.severity in ("stop", "caution")]
    assert bad == []
    assert frame.statements == ()


@pytest.mark.parametrize(("pattern", "fracture"), FRAMES)
def test_every_clamp_reaches_and_every_bar_keeps_twenty_to_sixty_off_the_skin(
    pattern, fracture
) -> None:
    case = laid(pattern, fracture).case
    paths = bar_paths(case)
    assert set(paths) == {bar.id for bar in case.bars}
    for path in paths.values():
        assert all(joint.reaches and joint.part for joint in path.joints)
        assert path.stock_length_mm is not None
        gap = bar_gap(case, path.bar.id)
        assert gap.least_mm >= 20
        assert gap.most_mm is None or gap.most_mm <= 60


@pytest.mark.parametrize(("pattern", "fracture"), FRAMES)
def test_every_group_has_its_pins(pattern, fracture) -> None:
    groups = pin_groups(laid(pattern, fracture).case)
    assert groups
    assert all(group.is_enough for group in groups)


def test_short_bars_and_link() -> None:
    case = laid("per-fragment", TIBIA).case
    assert [pin.number for pin in case.pins] == [1, 2, 3, 4]
    assert [len(path.joints) for path in bar_paths(case).values()] == [2, 2, 2]
    assert {a.bar for a in case.bars[2].anchors} == {"bar-1", "bar-2"}


def test_a_single_bar_carries_all_four_pins_from_one_side() -> None:
    case = laid("single-bar", TIBIA).case
    path = bar_paths(case)["bar-1"]
    assert {joint.other for joint in path.joints} == {pin.id for pin in case.pins}
    bearings = [pin.bearing_deg for pin in case.pins]
    assert max(bearings) - min(bearings) < 10


def test_a_knee_spanning_frame_bends_the_knee() -> None:
    case = laid("knee-spanning", PLATEAU).case
    assert knee_flexion_deg(case) == 15.0
    assert [pin.bone for pin in case.pins] == ["femur", "femur", "tibia", "tibia"]


def test_a_knee_spanning_frame_needs_no_fracture() -> None:
    assert len(laid("knee-spanning").case.pins) == 4


def test_tibial_pins_below_a_plateau_fracture_keep_the_published_distance() -> None:
    """PP-09: over 100 mm below the fracture's lower edge half of all overlaps were avoided."""
    case = laid("knee-spanning", PLATEAU).case
    nearest = min(pin.level_mm for pin in case.pins if pin.bone == "tibia")
    assert nearest - PLATEAU.to_mm > 100


def test_an_ankle_delta_has_a_heel_pin_with_a_bar_on_each_side() -> None:
    case = laid("ankle-delta", PILON).case
    heel = next(pin for pin in case.pins if pin.bone == "calcaneus")
    ends = {j.end for path in bar_paths(case).values() for j in path.joints if j.other == heel.id}
    assert heel.kind == "through"
    assert ends == {"outer", "far"}


def test_pins_slide_clear_of_the_injury_and_its_margin() -> None:
    injury = Injury(
        id="injury-1", segment="leg", front=box(-50, 40, 130, 240), side=box(-30, 40, 130, 240)
    )
    frame = laid("per-fragment", TIBIA, injuries=(injury,))
    assert frame.statements == ()
    assert all(pin.level_mm < 110 or pin.level_mm > 260 for pin in frame.case.pins)


def test_where_the_bone_does_not_allow_it_a_sentence_says_so() -> None:
    injury = Injury(
        id="injury-1", segment="leg", front=box(-80, 90, -10, 240), side=box(-120, 60, -10, 240)
    )
    frame = laid("per-fragment", TIBIA, injuries=(injury,))
    assert frame.statements[0].startswith("The proximal fragment of the tibia gets no pin; every")
    assert "inside the open zone of injury" in frame.statements[0]
    assert frame.statements[1:] == (
        "The frame does not hold this fracture yet: one side has no pin.",
    )
    assert all(pin.level_mm > TIBIA.to_mm for pin in frame.case.pins)
    with pytest.raises(
        EditError, match="needs pins on both sides of the fracture of the tibia: The prox"
    ):
        laid("single-bar", TIBIA, injuries=(injury,))


def test_a_fragment_without_room_is_told_and_left_without_pins() -> None:
    frame = laid("per-fragment", broken("tibia", 300, 350))
    assert [pin.level_mm < 300 for pin in frame.case.pins] == [True, True]
    assert any("distal fragment of the tibia has no room" in said for said in frame.statements)


def test_a_fragment_with_room_for_one_pin_gets_one_and_a_sentence() -> None:
    frame = laid("per-fragment", broken("tibia", 250, 300))
    assert sum(pin.level_mm > 300 for pin in frame.case.pins) == 1
    assert any("too little for two" in said for said in frame.statements)


def test_a_long_middle_segment_gets_its_own_pins_and_bars() -> None:
    frame = laid("per-fragment", broken("tibia", 110, 130), broken("tibia", 240, 260, 2))
    assert len(frame.case.pins) == 6
    assert len(frame.case.bars) == 5
    assert [f.message for f in check(frame.case) if f.severity in ("stop", "caution")] == []


def test_a_short_middle_segment_is_bridged_and_that_is_said() -> None:
    frame = laid("per-fragment", broken("tibia", 150, 170), broken("tibia", 230, 240, 2))
    assert len(frame.case.pins) == 4
    assert frame.statements == (
        "The middle fragment of the tibia is short and is bridged without pins.",
    )


def test_a_shaft_pattern_without_a_fracture_is_refused() -> None:
    with pytest.raises(EditError, match="draw it first"):
        laid("per-fragment")
    with pytest.raises(EditError, match="No fracture of the femur"):
        lay_frame(case_with(fractures=(TIBIA,)), "per-fragment", judge_pin, "femur")


def test_one_bar_needs_room_on_both_sides() -> None:
    with pytest.raises(EditError, match=r"no room for a pin between .* span the ankle instead"):
        laid("single-bar", broken("tibia", 320, 370))


def test_an_unknown_pattern_names_the_known_ones() -> None:
    with pytest.raises(EditError, match="per-fragment, single-bar, knee-spanning, ankle-delta"):
        laid("ring")


def test_pins_of_its_bones_give_way_and_others_stay() -> None:
    femur = tibia_pin(1, 200, 15.0, bone="femur", diameter_mm=6.0)
    old = tibia_pin(2, 100)
    case = case_with(femur, old, fractures=(TIBIA,))
    frame = lay_frame(case, "per-fragment", judge_pin)
    assert [pin.id for pin in frame.case.pins] == ["pin-1", "pin-2", "pin-3", "pin-4", "pin-5"]
    assert old not in frame.case.pins


def test_of_two_broken_bones_the_one_without_pins_is_taken() -> None:
    first = laid("per-fragment", TIBIA, replace(FEMUR, id="fracture-2"))
    second = lay_frame(first.case, "per-fragment", judge_pin)
    assert {pin.bone for pin in first.case.pins} == {"tibia"}
    assert {pin.bone for pin in second.case.pins} == {"tibia", "femur"}


@pytest.mark.parametrize(("pattern", "fracture"), FRAMES)
def test_a_left_limb_gets_the_same_frame(pattern, fracture) -> None:
    right, left = laid(pattern, fracture), laid(pattern, fracture, side="left")
    assert left.case == replace(right.case, side="left")


def test_every_pattern_is_laid_by_some_case_here() -> None:
    elsewhere = {pattern for pattern, *_ in OTHER_LIMBS}
    assert set(patterns()) == {pattern for pattern, _ in FRAMES} | elsewhere
