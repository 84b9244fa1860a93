from pathlib import Path

import pytest
from msgspec.structs import replace

from fixplan.case.edits import mirrored
from fixplan.case.file import file_hash, read_case, write_case
from fixplan.case.records import Case
from fixplan.checks.finding import SEVERITIES
from fixplan.checks.register import CASE_CHECKS, PIN_CHECKS
from fixplan.checks.rules import rules
from fixplan.checks.run import check, counts, judge_pin, open_case, plainly_judged
from fixplan.checks.scene import scene_of
from fixplan.errors import CaseFileError

FAULTS = Path(__file__).parents[3] / "sample_cases" / "teaching-faults.json"


def moved(case: Case, pin_id: str, level_mm: float) -> Case:
    return replace(
        case,
        pins=tuple(replace(p, level_mm=level_mm) if p.id == pin_id else p for p in case.pins),
    )


def test_an_empty_case_has_no_findings():
    assert check(Case(side="right")) == ()


def test_findings_come_worst_first(leg):
    order = [SEVERITIES.index(one.severity) for one in check(moved(leg, "pin-2", 175.0))]
    assert order == sorted(order)
    assert order[0] == SEVERITIES.index("stop")


def test_left_and_right_get_the_same_numbers(leg):
    wrong = moved(leg, "pin-2", 170.0)
    assert check(replace(wrong, side="left")) == check(wrong)
    assert check(mirrored(wrong)) == check(wrong)


def test_moving_one_pin_judges_only_that_pin_anew(leg):
    check(leg)
    before = plainly_judged.cache_info().misses
    check(moved(leg, "pin-2", 123.0))
    assert plainly_judged.cache_info().misses == before + 1


def test_moving_a_pin_away_and_back_gives_the_same_findings(leg):
    first = check(leg)
    check(moved(leg, "pin-2", 175.0))
    assert check(moved(leg, "pin-2", 120.0)) == first


def test_a_pin_that_is_not_in_the_case_can_be_judged(leg):
    candidate = replace(leg.pins[0], id="pin-new", number=9, level_mm=195.0)
    severities = {one.severity for one in judge_pin(leg, candidate)}
    assert "stop" in severities


def test_a_pin_in_an_unknown_bone_is_not_judged_but_told(leg):
    strange = replace(leg, pins=(replace(leg.pins[0], bone="humerus"), *leg.pins[1:]))
    told = [one for one in check(strange) if one.rule == "rule.unknown-id"]
    assert [one.severity for one in told] == ["not assessed"]
    assert judge_pin(strange, strange.pins[0]) == ()


def test_counts_leave_accepted_findings_out(leg):
    wrong = check(moved(leg, "pin-2", 195.0))
    kept = tuple(replace(one, accepted="no better place") for one in wrong)
    assert counts(wrong)["stop"] > 0
    assert counts(kept)["stop"] == 0
    assert set(counts(())) == set(SEVERITIES)


def test_nothing_is_ever_called_safe(leg):
    for case in (leg, moved(leg, "pin-2", 195.0)):
        assert not [one for one in check(case) if "safe" in f"{one.message} {one.advice}".lower()]


def test_every_finding_cites_evidence_and_sources(leg):
    for one in check(moved(leg, "pin-2", 195.0)):
        assert one.evidence
        assert one.sources
        assert one.evidence[0] in one.message


def test_every_rule_kind_is_registered_once():
    kinds = {rule.kind for rule in rules()}
    assert kinds == set(PIN_CHECKS) | set(CASE_CHECKS)
    assert not set(PIN_CHECKS) & set(CASE_CHECKS)


def test_the_scene_is_the_same_while_only_pins_move(leg):
    assert scene_of(leg) is scene_of(moved(leg, "pin-2", 125.0))


def test_opening_a_file_gives_case_findings_and_hash(leg, tmp_path: Path):
    path = tmp_path / "leg.json"
    write_case(leg, path)
    opened = open_case(path)
    assert opened.case == leg
    assert opened.findings == check(leg)
    assert opened.hash == file_hash(path)
    assert opened.path == path


def test_opening_a_broken_file_is_one_sentence(tmp_path: Path):
    path = tmp_path / "broken.json"
    path.write_text("{")
    with pytest.raises(CaseFileError) as told:
        open_case(path)
    assert "\n" not in str(told.value)


def test_while_something_moves_firmness_is_told_of_the_case_at_rest():
    at_rest = read_case(FAULTS)
    loose = replace(at_rest, bars=())
    kinds = {"frame-loose", "frame-gap-movement", "pin-stress", "frame-one-bar"}
    ids = {rule.id for rule in rules() if rule.kind in kinds}
    held = [one for one in check(at_rest) if one.rule in ids]
    assert held
    assert [one for one in check(loose, at_rest) if one.rule in ids] == held
    told = [one for one in check(loose, at_rest) if one.rule not in ids]
    found = [one for one in check(loose) if one.rule not in ids]
    assert [replace(one, advice="") for one in told] == [replace(one, advice="") for one in found]


def test_while_something_moves_no_advice_is_given_that_is_not_given_at_rest():
    """A moving case looks for the nearest place alone, at rest also further off."""
    at_rest = read_case(FAULTS)
    moving = {(one.rule, one.subjects): one.advice for one in check(at_rest, at_rest)}
    still = {(one.rule, one.subjects): one.advice for one in check(at_rest)}
    assert set(moving) == set(still)
    assert all(still[key] for key, advice in moving.items() if advice)
