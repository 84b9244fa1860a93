"""Pins against candidates that stand side by side: what each is in the way of."""

from msgspec.structs import replace

from fixplan.case.records import Candidate, Case, Nail, Plate
from fixplan.checks.candidate_table import NOTHING, candidate_findings, candidate_rows
from fixplan.checks.run import check

NAIL = Candidate(
    id="candidate-1",
    kind="nail",
    parts=(
        Nail(
            bone="tibia",
            entry="proximal",
            from_mm=0.0,
            to_mm=340.0,
            width_mm=10.0,
            entry_zone=(0.0, 30.0),
            locking_zones=((320.0, 345.0),),
        ),
    ),
)
PLATE = Candidate(
    id="candidate-2",
    kind="plate",
    parts=(
        Plate(
            bone="tibia",
            side="lateral",
            from_mm=250.0,
            to_mm=300.0,
            width_mm=14.0,
            thickness_mm=5.0,
        ),
    ),
)


def test_each_pin_has_a_cell_for_each_candidate(leg: Case):
    case = replace(leg, candidates=(NAIL, PLATE))
    rows = {row[0]: row[1:] for row in candidate_rows(case, check(case))}
    assert list(rows) == ["1", "2", "3", "4"]
    assert rows["1"] == ("out before reaming", NOTHING)
    assert rows["3"] == ("out before reaming", "at its levels")
    assert rows["4"] == ("in a locking zone and out before reaming", NOTHING)


def test_the_rules_about_candidates_alone_say_the_same(leg: Case):
    case = replace(leg, candidates=(NAIL, PLATE))
    assert candidate_rows(case, candidate_findings(case)) == candidate_rows(case, check(case))


def test_one_candidate_needs_no_table(leg: Case):
    case = replace(leg, candidates=(NAIL,))
    assert candidate_rows(case, check(case)) == ()
