"""The plan in words: in order, whole, and nothing that Markdown would read otherwise."""

import re

from msgspec.structs import replace

from fixplan.case.file import snapshot_id
from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.notes.identity import Identity
from fixplan.notes.plain import WIDTH, as_markdown, as_text
from fixplan.notes.section import Told

USUAL = (
    "DIAGNOSIS",
    "PROCEDURE PLANNED",
    "KIT TO OPEN",
    "PINS",
    "BARS",
    "BUILD ORDER",
    "HOW FIRMLY IT HOLDS",
    "CHECKS",
    "ACCEPTED, WITH REASONS",
    "NOT ASSESSED, AND NOTES",
)


def told(case: Case, findings: tuple[Finding, ...] = (), **more: object) -> Told:
    return Told(case=case, findings=findings, **more)


def test_the_notes_hold_the_whole_plan(tibia: Case, findings: tuple[Finding, ...]) -> None:
    flat = " ".join(as_text(told(tibia, findings, dated="2030-01-02")).split())
    assert flat.startswith("RIGHT leg: ")
    for must in (
        "Pin 1: tibia,",
        "Bar 3: holds bars 1 and 2",
        "1. Length and rotation first",
        "Stop: Pin 1 to the drawn region",
        "Accepted: no better bone is left.",
        "Reopened: accepted at 12, now 8.",
        "not a medical device",
        snapshot_id(tibia),
        "2030-01-02",
    ):
        assert must in flat


def test_sections_stand_in_the_usual_order(tibia: Case, findings: tuple[Finding, ...]) -> None:
    lines = as_text(told(tibia, findings)).splitlines()
    found = [line for line in lines if line in USUAL]
    assert found == list(USUAL)


def test_no_line_is_longer_than_a_letter_page(knee: Case) -> None:
    assert max(len(line) for line in as_text(told(knee)).splitlines()) <= WIDTH


def test_the_word_safe_is_never_used(any_case: Case, findings: tuple[Finding, ...]) -> None:
    for words in (as_text, as_markdown):
        assert not re.search(r"\bsafe", words(told(any_case, findings)).lower())


def test_without_a_name_typed_there_is_no_patient(tibia: Case) -> None:
    assert "PATIENT" not in as_text(told(tibia)).splitlines()
    somebody = Identity(family_name="Doe", given_name="Jo", number="123", born="1980-01-31")
    text = as_text(told(tibia, identity=somebody))
    assert "PATIENT\nDoe, Jo\nno. 123\nborn 1980-01-31" in text


def test_tables_in_markdown_have_as_many_cells_in_each_row(tibia: Case) -> None:
    rows = [line for line in as_markdown(told(tibia)).splitlines() if line.startswith("|")]
    counts = {len(re.findall(r"(?<!\\)\|", row)) for row in rows}
    assert counts == {7, 6}


def test_what_is_typed_cannot_mark_up_the_document(tibia: Case) -> None:
    case = replace(tibia, label="*bold* [x](y) | <b>")
    assert as_markdown(told(case)).splitlines()[0] == (r"# RIGHT leg: \*bold\* \[x\](y) \| \<b\>")


def test_a_case_without_pins_tells_its_injury_alone() -> None:
    text = as_text(told(Case(side="left", notes="second look\nat 48 hours")))
    assert "KIT TO OPEN" not in text
    assert "NOTES\nsecond look\nat 48 hours" in text


def test_trays_that_cannot_be_read_are_told_and_the_parts_listed(
    tibia: Case, tmp_path, monkeypatch
) -> None:
    monkeypatch.setenv("FIXPLAN_TRAYS", str(tmp_path / "none.toml"))
    flat = " ".join(as_text(told(tibia)).split())
    assert "Trays not known:" in flat
    assert "half-pin 5 mm" in flat
