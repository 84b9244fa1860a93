from fixplan.case.file import snapshot_id
from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.sheet.notes import summary


def test_the_notes_hold_the_whole_plan(tibia: Case, findings: tuple[Finding, ...]) -> None:
    text = summary(tibia, findings, printed_at="2030-01-02")
    flat = " ".join(text.split())
    assert flat.startswith("RIGHT leg: ")
    for must in (
        "Pin 1: tibia,",
        "Bar 3: bars 1 and 2",
        "1. Length and rotation first",
        "Stop, Pin 1:",
        "Accepted: no better bone is left.",
        "Reopened: accepted at 12, now 8.",
        "not a medical device",
        snapshot_id(tibia),
        "2030-01-02",
    ):
        assert must in flat


def test_no_line_is_longer_than_a_letter_page(knee: Case) -> None:
    assert max(len(line) for line in summary(knee, ()).splitlines()) <= 88


def test_the_word_safe_is_never_used(any_case: Case, findings: tuple[Finding, ...]) -> None:
    assert "safe" not in summary(any_case, findings).lower()
