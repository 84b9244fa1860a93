"""How many pins a fragment should have (D14), and the exemptions."""

import pytest
from msgspec.structs import replace

from fixplan.case.records import Bar, Fracture, PinAnchor
from fixplan.frame.groups import pin_groups, pins_without_bar, usable_mm
from tests.unit.frame.conftest import bar_on, case_with, heel_pin, tibia_pin


def broken(*ranges: tuple[float, float], bone: str = "tibia") -> tuple[Fracture, ...]:
    return tuple(
        Fracture(id=f"fracture-{n}", bone=bone, from_mm=low, to_mm=high)
        for n, (low, high) in enumerate(ranges, 1)
    )


def told(case) -> dict[str, tuple[tuple[str, ...], int]]:
    return {f"{g.fragment.bone} {g.fragment.name}": (g.pins, g.needed) for g in pin_groups(case)}


def test_each_fragment_of_a_held_bone_is_a_group_that_needs_two_pins() -> None:
    case = case_with(
        tibia_pin(1, 80),
        tibia_pin(2, 280),
        bars=(bar_on(1, "pin-1", "pin-2"),),
        fractures=broken((170, 210)),
    )
    assert told(case) == {
        "tibia proximal fragment": (("pin-1",), 2),
        "tibia distal fragment": (("pin-2",), 2),
    }
    assert not any(group.is_enough for group in pin_groups(case))


def test_a_fragment_that_the_frame_leaves_out_is_told() -> None:
    case = case_with(
        tibia_pin(1, 80),
        tibia_pin(2, 120),
        bars=(bar_on(1, "pin-1", "pin-2"),),
        fractures=broken((170, 210)),
    )
    assert told(case)["tibia distal fragment"] == ((), 2)


def test_pins_that_no_bar_holds_form_no_group() -> None:
    case = case_with(tibia_pin(1, 80), tibia_pin(2, 120))
    assert pin_groups(case) == ()
    assert [pin.id for pin in pins_without_bar(case)] == ["pin-1", "pin-2"]


@pytest.mark.parametrize(
    ("ranges", "needed"), [(((120, 140), (220, 240)), 0), (((110, 130), (240, 260)), 2)]
)
def test_a_short_middle_segment_may_be_bridged(ranges, needed) -> None:
    """Usable 80 - 40 = 40 mm is under 50; 110 - 40 = 70 mm is not."""
    case = case_with(
        tibia_pin(1, 50),
        tibia_pin(2, 320),
        bars=(bar_on(1, "pin-1", "pin-2"),),
        fractures=broken(*ranges),
    )
    assert told(case)["tibia middle fragment"] == ((), needed)


def test_the_joint_block_of_a_spanning_frame_needs_no_pin() -> None:
    femur = tibia_pin(1, 300, 30.0, bone="femur", diameter_mm=6.0)
    case = case_with(
        femur,
        tibia_pin(2, 200),
        bars=(bar_on(1, "pin-1", "pin-2"),),
        fractures=broken((30, 80)),
    )
    assert told(case)["tibia proximal fragment"] == ((), 0)
    alone = replace(case, pins=case.pins[1:], bars=(bar_on(1, "pin-2", "pin-2"),))
    assert told(alone)["tibia proximal fragment"] == ((), 2)


def test_a_joint_block_with_one_pin_still_needs_two() -> None:
    case = case_with(
        tibia_pin(1, 300, 30.0, bone="femur"),
        tibia_pin(2, 40),
        bars=(bar_on(1, "pin-1", "pin-2"),),
        fractures=broken((80, 120)),
    )
    assert told(case)["tibia proximal fragment"] == (("pin-2",), 2)


def test_one_heel_pin_is_enough() -> None:
    anchors = (PinAnchor(pin="pin-1", out_mm=40), PinAnchor(pin="pin-2", out_mm=40))
    case = case_with(
        tibia_pin(1, 150), heel_pin(2), bars=(Bar(id="bar-1", number=1, anchors=anchors),)
    )
    heel = next(g for g in pin_groups(case) if g.fragment.bone == "calcaneus")
    assert heel.is_enough
    assert heel.exempt


def test_usable_length_leaves_out_what_lies_near_fractures() -> None:
    case = case_with(
        tibia_pin(1, 50),
        tibia_pin(2, 320),
        bars=(bar_on(1, "pin-1", "pin-2"),),
        fractures=broken((110, 130), (240, 260)),
    )
    proximal, middle, _ = (group.fragment for group in pin_groups(case))
    assert usable_mm(case, middle) == pytest.approx(240 - 130 - 40)
    assert usable_mm(case, proximal) == pytest.approx(110 - proximal.from_mm - 20)


def knee_frame(femoral: tuple[float, float], tibial: tuple[float, float]):
    thigh = tuple(
        replace(tibia_pin(n, level), bone="femur", bearing_deg=15.0)
        for n, level in enumerate(femoral, 1)
    )
    shin = tuple(tibia_pin(n, level) for n, level in enumerate(tibial, 3))
    bars = (bar_on(1, "pin-1", "pin-2"), bar_on(2, "pin-2", "pin-3"), bar_on(3, "pin-3", "pin-4"))
    broken_at = (*broken((230, 250), bone="femur"), *broken((150, 180)))
    return case_with(*thigh, *shin, bars=bars, fractures=broken_at)


@pytest.mark.parametrize(
    ("femoral", "tibial", "needed"),
    [((120, 170), (230, 280), 2), ((300, 350), (230, 280), 0)],
    ids=["no pin on either side of the knee", "the femoral piece at the knee holds pins"],
)
def test_a_long_joint_block_is_left_only_to_what_is_held_across_the_joint(femoral, tibial, needed):
    assert told(knee_frame(femoral, tibial))["tibia proximal fragment"] == ((), needed)
