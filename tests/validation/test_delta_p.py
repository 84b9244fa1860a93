"""The pressure gap against the published threshold.

McQueen and Court-Brown, J Bone Joint Surg Br 1996;78:99: release when diastolic less compartment
pressure is under 30 mmHg. BOAST compartment syndrome (2014), as summarised: over 40 mmHg absolute
with symptoms needs release.
"""

import pytest

from fixplan.case.trip_records import Compartment
from fixplan.trips.delta_p import gap_mmhg, is_gap_low, is_pressure_high, pressure_lines


@pytest.mark.parametrize(
    ("diastolic", "pressure", "gap", "is_low", "is_high"),
    [
        (70.0, 40.0, 30.0, False, False),
        (70.0, 40.5, 29.5, True, True),
        (69.0, 40.0, 29.0, True, False),
        (90.0, 45.0, 45.0, False, True),
        (50.0, 60.0, -10.0, True, True),
    ],
)
def test_the_threshold_is_under_thirty(
    diastolic: float, pressure: float, gap: float, is_low: bool, is_high: bool
) -> None:
    told = Compartment(diastolic_mmhg=diastolic, pressure_mmhg=pressure)
    assert (gap_mmhg(told), is_gap_low(told), is_pressure_high(told)) == (gap, is_low, is_high)


def test_half_a_reading_is_not_assessed() -> None:
    told = Compartment(pressure_mmhg=35)
    assert gap_mmhg(told) is None
    assert not is_gap_low(told)
    assert "not assessed" in next(pressure_lines(told))


def test_the_diastolic_under_anaesthesia_is_told() -> None:
    told = Compartment(pressure_mmhg=20, diastolic_mmhg=70, diastolic_from="under anaesthesia")
    assert "this one was taken under anaesthesia" in " ".join(pressure_lines(told))


def test_it_is_measured_again_after_pulling_to_length() -> None:
    before = Compartment(pressure_mmhg=20, diastolic_mmhg=70)
    after = Compartment(pressure_mmhg=20, diastolic_mmhg=70, after_length=True)
    assert "again after pulling to length" in " ".join(pressure_lines(before))
    assert "again after pulling to length" not in " ".join(pressure_lines(after))
