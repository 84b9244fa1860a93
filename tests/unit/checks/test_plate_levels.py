"""Pins at the levels of a later plate on another side of the bone: one finding a candidate."""

import msgspec
import pytest

from fixplan.case.records import Candidate, Case, Plate
from fixplan.checks.run import check
from tests.unit.checks.conftest import tibial_pin


def plate(side: str, from_mm: float = 5.0, to_mm: float = 150.0, bone: str = "tibia") -> Plate:
    levels = {"from_mm": from_mm, "to_mm": to_mm}
    return Plate(bone=bone, side=side, width_mm=20.0, thickness_mm=6.0, **levels)


@pytest.fixture
def told(leg: Case):
    def told(bearings_deg: tuple[float, ...], *plates: Plate):
        """Findings about plates for pins at 80, 120 ... from the given sides."""
        pins = tuple(
            tibial_pin(n, 40.0 + 40.0 * n, bearing_deg=bearing_deg)
            for n, bearing_deg in enumerate(bearings_deg, 1)
        )
        later = Candidate(id="candidate-1", kind="dual plate", parts=plates)
        case = msgspec.structs.replace(leg, pins=pins, bars=(), candidates=(later,))
        return [one for one in check(case) if "plate" in one.rule]

    return told


def test_an_anteromedial_pin_at_the_levels_of_a_lateral_plateau_plate_is_told(told):
    found = told((120.0,), plate("lateral"))
    assert [(one.rule, one.severity) for one in found] == [
        ("rule.pins.plate-levels-plateau", "caution")
    ]


def test_all_such_pins_of_a_candidate_with_two_plates_are_one_finding(told):
    found = told((120.0, 100.0), plate("lateral"), plate("posteromedial", 6.0, 110.0))
    assert [one.subjects for one in found] == [("pin-1", "pin-2", "candidate-1")]
    assert found[0].measured == pytest.approx(150.0 - 77.5, abs=0.1)


def test_a_pin_under_one_of_two_plates_is_not_told_twice(told):
    found = told((180.0,), plate("lateral"), plate("anteromedial", 6.0, 110.0))
    assert [one.rule for one in found] == ["rule.pin.plate-plateau"]


def test_a_plate_on_the_fibula_says_nothing_of_tibial_pins(told):
    assert told((120.0,), plate("lateral", 20.0, 200.0, bone="fibula")) == []
