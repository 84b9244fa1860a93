import pytest
from msgspec.structs import replace

from fixplan.checks.accepting import acceptance_of, with_acceptances
from fixplan.checks.finding import Finding
from fixplan.checks.run import check


def kept(case, finding: Finding, **fields):
    return replace(case, acceptances=(replace(acceptance_of(finding, "no room"), **fields),))


def at(case, level_mm: float):
    pins = (case.pins[0], case.pins[1], replace(case.pins[2], level_mm=level_mm), case.pins[3])
    return replace(case, pins=pins)


def margin_finding(case) -> Finding:
    (found,) = [one for one in check(case) if one.rule == "rule.pin.injury"]
    return found


def test_an_accepted_finding_stays_in_the_list_with_its_reason(leg):
    case = at(leg, 245.0)
    finding = margin_finding(kept(case, margin_finding(case)))
    assert finding.accepted == "no room"
    assert not finding.is_open


def test_it_holds_while_no_worse_by_more_than_the_slack(leg):
    accepted = kept(leg, margin_finding(at(leg, 245.0)))
    assert margin_finding(at(accepted, 244.1)).accepted == "no room"
    assert margin_finding(at(accepted, 249.0)).accepted == "no room"


def test_it_is_open_again_when_the_gap_has_shrunk_and_says_from_what_to_what(leg):
    accepted = kept(leg, margin_finding(at(leg, 244.5)))
    finding = margin_finding(at(accepted, 240.5))
    assert finding.is_open
    assert finding.reopened == "accepted at 12, now 8 mm"


def test_it_is_open_again_when_the_severity_got_worse(leg):
    accepted = kept(leg, margin_finding(at(leg, 245.0)))
    finding = margin_finding(at(accepted, 225.0))
    assert finding.severity == "stop"
    assert finding.reopened == "accepted as caution, now stop"


def test_a_stop_that_became_a_caution_stays_accepted(leg):
    accepted = kept(leg, margin_finding(at(leg, 225.0)))
    assert margin_finding(at(accepted, 245.0)).accepted == "no room"


def test_from_the_margin_into_a_bruised_zone_is_worse_though_both_are_cautions(leg):
    bruised = replace(leg, injuries=(replace(leg.injuries[0], grade="bruised"),))
    accepted = kept(bruised, margin_finding(at(bruised, 245.0)))
    assert margin_finding(at(accepted, 225.0)).reopened == "accepted outside, now inside"
    other = kept(bruised, margin_finding(at(bruised, 225.0)))
    assert margin_finding(at(other, 245.0)).accepted == "no room"


def test_a_value_beyond_an_upper_limit_gets_worse_as_it_grows():
    told = Finding(
        rule="rule.pin.hole-ratio",
        severity="caution",
        subjects=("pin-1",),
        subject="Pin 1",
        message="",
        measured=28.0,
        limit=25.0,
        unit="%",
    )
    grown = replace(told, measured=30.0)

    def judged(finding, case):
        return with_acceptances((finding,), case)[0]

    case = kept(check_case(), told)
    assert judged(told, case).accepted
    assert judged(replace(told, measured=26.0), case).accepted
    assert judged(grown, case).reopened == "accepted at 28, now 30 %"


def check_case():
    from fixplan.case.records import Case

    return Case(side="right")


def test_an_acceptance_for_other_subjects_does_not_count(leg):
    case = at(leg, 245.0)
    other = kept(case, margin_finding(case), subjects=("pin-9", "injury-1"))
    assert margin_finding(other).is_open


def test_notes_cannot_be_accepted(leg):
    (note,) = [one for one in check(leg) if one.rule == "rule.heel.lift"]
    case = kept(leg, note)
    assert [one.accepted for one in check(case) if one.rule == "rule.heel.lift"] == [None]


def test_an_acceptance_sleeps_while_its_finding_is_gone(leg):
    accepted = kept(leg, margin_finding(at(leg, 245.0)))
    (acceptance,) = accepted.acceptances
    assert acceptance.rule not in {one.rule for one in check(accepted)}
    assert not margin_finding(at(accepted, 245.0)).is_open


@pytest.mark.parametrize("subjects", [("pin-1",), ("fragment:tibia/1",), ("clamp:bar-1/pin-3",)])
def test_the_subjects_of_findings_can_be_stored(subjects):
    import msgspec

    from fixplan.case.records import Acceptance

    one = Acceptance(rule="rule.x", subjects=subjects, reason="r", severity="caution")
    assert msgspec.convert(msgspec.to_builtins(one), Acceptance) == one
