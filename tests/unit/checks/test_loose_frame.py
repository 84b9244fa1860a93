"""A part that is free to move is told of the bars that hold it, not of every bar of the plan."""

from msgspec.structs import replace

from fixplan.case import edits
from fixplan.checks.run import check_only, judge_pin
from fixplan.frame.starting import lay_frame
from tests.unit.frame.conftest import case_with
from tests.unit.frame.test_starting import FEMUR, TIBIA

LOOSE = frozenset({"rule.frame.loose"})


def test_a_stop_of_one_frame_is_not_told_of_the_other() -> None:
    fractures = (FEMUR, replace(TIBIA, id="fracture-2"))
    case = case_with(fractures=fractures)
    for bone in ("femur", "tibia"):
        case = lay_frame(case, "per-fragment", judge_pin, bone).case
    assert check_only(case, LOOSE) == ()
    case = edits.remove(case, "bar-6")
    (found,) = check_only(case, LOOSE)
    assert found.severity == "stop"
    assert set(found.subjects) == {"bar-4", "bar-5"}
