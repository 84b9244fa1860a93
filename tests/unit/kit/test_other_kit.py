"""Other kit: cement is asked for wherever a dead space is planned."""

from fixplan.case.dead_space_records import DeadSpace
from fixplan.case.records import Case
from fixplan.kit.other_kit import other_kit


def test_a_planned_dead_space_asks_for_cement() -> None:
    plain = Case(side="right")
    filled = Case(side="right", dead_spaces=(DeadSpace(id="dead-space-1"),))
    assert not any("Cement" in one for one in other_kit((plain,)))
    assert any("Cement" in one for one in other_kit((filled,)))
