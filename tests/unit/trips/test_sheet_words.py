"""What sheet and notes tell of the trips: the same whenever they are printed."""

from pathlib import Path

from fixplan.case.file import read_case
from fixplan.case.records import Case
from fixplan.checks.run import check
from fixplan.notes.plain import as_text
from fixplan.notes.section import Told
from fixplan.sheet.pages import compose
from fixplan.trips.sheet_words import trip_lines

ROOT = Path(__file__).parents[3]


def pilon() -> Case:
    return read_case(ROOT / "sample_cases" / "pilon-delta.json")


def test_a_case_without_a_course_says_nothing() -> None:
    assert trip_lines(Case(side="right")) == ()


def test_trips_limits_and_pauses_are_told() -> None:
    told = " ".join(trip_lines(pilon()))
    assert "Trip 2, Tue 27 Oct 2026 08:30 GMT: cover" in told
    assert "Definitive cover: Tue 27 Oct 15:20 (OF-14, OF-15)" in told
    assert "Pauses (SF-15, SF-16), beside the local list. Before anaesthesia:" in told
    assert "left" not in told


def test_the_sheet_holds_the_block_and_the_notes_hold_the_lines() -> None:
    case = pilon()
    findings = check(case)
    owners = {owner for page in compose(case, findings, "A4") for owner in page.groups}
    assert "table:trips" in owners
    assert "TRIPS AND WHAT IS DUE" in as_text(Told(case=case, findings=findings))
    assert "Trip 3, Thu 5 Nov 2026 08:30 GMT: final fixation" in as_text(
        Told(case=case, findings=findings)
    )
