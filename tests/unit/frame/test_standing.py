"""A frame across a joint on a limb with pins and bars: joined to them, or standing on them."""

from typing import NamedTuple

import pytest
from msgspec.structs import replace

from fixplan.case.limbs import bar_systems
from fixplan.case.records import Case, Fracture
from fixplan.checks.run import check, judge_pin
from fixplan.errors import EditError
from fixplan.frame.groups import pins_without_bar
from fixplan.frame.patterns import pattern
from fixplan.frame.standing import standing_bars, standing_pins
from fixplan.frame.starting import LaidFrame, lay_frame
from tests.unit.frame.conftest import case_with, tibia_pin

FEMUR = Fracture(id="fracture-1", bone="femur", from_mm=200, to_mm=250)
SHAFT = Fracture(id="fracture-2", bone="tibia", from_mm=170, to_mm=210)
PLATEAU = Fracture(id="fracture-3", bone="tibia", from_mm=10, to_mm=50)
PILON = Fracture(id="fracture-4", bone="tibia", from_mm=340, to_mm=370)


class Said(NamedTuple):
    severity: str
    message: str
    evidence: tuple[str, ...] = ()
    measured: float | None = None
    limit: float | None = None


def after(first: str, second: str, *fractures: Fracture) -> tuple[Case, LaidFrame]:
    before = lay_frame(case_with(fractures=fractures), first, judge_pin).case
    return before, lay_frame(before, second, judge_pin)


def stops(case: Case) -> list[str]:
    return [one.message for one in check(case) if one.severity == "stop"]


@pytest.mark.parametrize(
    ("first", "second", "fractures"),
    [
        ("per-fragment", "knee-spanning", (FEMUR, PLATEAU)),
        ("knee-spanning", "ankle-delta", (PLATEAU, PILON)),
    ],
)
def test_a_frame_across_a_joint_is_joined_to_the_frame_that_stands_beside_it(
    first, second, fractures
) -> None:
    before, frame = after(first, second, *fractures)
    assert {pin.id for pin in before.pins} <= {pin.id for pin in frame.case.pins}
    assert frame.replaced == ""
    assert len(bar_systems(frame.case)) == 1
    assert pins_without_bar(frame.case) == ()
    assert stops(frame.case) == []
    assert "kept, and this frame is joined to" in frame.statements[-1]


def test_bars_that_had_to_move_out_are_named() -> None:
    before, frame = after("per-fragment", "knee-spanning", SHAFT)
    moved = [bar for bar in before.bars if bar not in frame.case.bars]
    words = "".join(f"; bar {bar.number} stands further out now" for bar in moved)
    assert frame.statements[-1].endswith(f"joined to it{words}.")
    assert frame.statements[-1].startswith("Bar 1 with its pins is kept")


def test_a_former_frame_of_the_same_joint_is_replaced() -> None:
    before, frame = after("knee-spanning", "knee-spanning", PLATEAU)
    assert standing_bars(before, pattern("knee-spanning")) == {}
    assert frame.case == before
    assert "pins 1, 2, 3 and 4 and bars" in frame.replaced.lower()


def test_where_no_other_place_is_free_the_pins_that_stand_there_carry_the_frame() -> None:
    pins = (
        tibia_pin(5, 250, 30.0, bone="femur", diameter_mm=6.0),
        tibia_pin(6, 330, 30.0, bone="femur", diameter_mm=6.0),
    )
    case = replace(case_with(*pins), last_number=6)

    def judge(judged, pin):
        full = pin.bone == "femur"
        return (Said("stop", "no place"),) if full else judge_pin(judged, pin)

    frame = lay_frame(case, "knee-spanning", judge)
    assert {"pin-5", "pin-6"} <= {pin.id for pin in frame.case.pins}
    assert pins_without_bar(frame.case) == ()
    assert frame.statements[-1] == (
        "Pins 5 and 6 stood there already and no other place was free, so they carry this frame."
    )
    with pytest.raises(EditError, match="no place"):
        lay_frame(replace(case, pins=pins[:1]), "knee-spanning", judge)


def test_standing_pins_are_those_of_the_fragment_nearest_the_joint_that_holds_two() -> None:
    pins = tuple(tibia_pin(n, mm) for n, mm in enumerate((60, 110, 240, 300), 1))
    knee, ankle = pattern("knee-spanning"), pattern("ankle-delta")
    case = case_with(*pins, fractures=(SHAFT,))
    assert standing_pins(case, knee)["tibia"] == ("pin-1", "pin-2")
    assert standing_pins(case, ankle)["tibia"] == ("pin-3", "pin-4")
    assert standing_pins(replace(case, pins=pins[1:]), knee)["tibia"] == ("pin-3", "pin-4")


def test_with_a_broken_shaft_the_pins_stand_between_fracture_and_joint_and_that_is_said() -> None:
    frame = lay_frame(case_with(fractures=(SHAFT,)), "knee-spanning", judge_pin)
    tibial = [pin.level_mm for pin in frame.case.pins if pin.bone == "tibia"]
    assert len(tibial) == 2
    assert max(tibial) < SHAFT.from_mm
    assert any("nearer to the joint than is usual" in said for said in frame.statements)
