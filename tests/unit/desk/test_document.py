"""The document: previews, one command, merging, the saved state."""

import gc

import pytest

from fixplan.case import edits
from fixplan.case.records import Case, Pin
from fixplan.desk.document import CaseDocument
from fixplan.desk.recovery import Recovery

PIN = Pin(id="pin", number=1, bone="tibia", level_mm=100, bearing_deg=112, diameter_mm=5)


def run(work):
    work()
    return True


pytestmark = pytest.mark.usefixtures("qapp")


@pytest.fixture
def document(tmp_path):
    made = CaseDocument(Recovery(tmp_path / "recovery", run))
    made.start(Case(side="right"))
    yield made
    made.close()


@pytest.fixture
def told(document):
    signals = []
    document.shown_changed.connect(lambda: signals.append("shown"))
    document.case_changed.connect(lambda: signals.append("case"))
    return signals


def with_pin(document):
    document.commit("Place a pin", edits.add_pin(document.case, PIN))


def test_a_preview_leaves_the_case_alone(document, told):
    before = document.case
    document.preview(edits.add_pin(before, PIN))
    assert not gc.isenabled()
    assert document.case is before
    assert len(document.shown.pins) == 1
    assert told == ["shown"]
    document.cancel_preview()
    assert gc.isenabled()
    assert document.shown is before
    assert not document.undo_text


def test_one_commit_is_one_step(document, told):
    with_pin(document)
    assert document.undo_text == "Place a pin"
    document.undo()
    assert document.case.pins == ()
    assert document.redo_text == "Place a pin"
    document.redo()
    assert len(document.case.pins) == 1
    assert told.count("case") == 3


def test_committing_no_change_pushes_nothing(document):
    document.commit("Nothing", document.case)
    assert not document.undo_text
    assert not document.is_changed


def nudge(document, step_mm):
    case = edits.slide_pin(document.case, "pin-1", step_mm)
    document.commit("Move", case, merge_key="nudge pin-1")


def test_steps_of_one_key_are_joined(document):
    with_pin(document)
    for _ in range(5):
        nudge(document, 1.0)
    document.undo()
    assert document.case.pins[0].level_mm == 100
    document.undo()
    assert document.case.pins == ()


def test_steps_of_other_keys_are_not(document):
    with_pin(document)
    nudge(document, 1.0)
    document.commit("Turn", edits.turn_pin(document.case, "pin-1", 5), merge_key="turn pin-1")
    document.undo()
    assert document.case.pins[0].level_mm == 101


def test_steps_that_end_where_they_began_leave_nothing(document):
    with_pin(document)
    nudge(document, 1.0)
    nudge(document, -1.0)
    assert document.undo_text == "Place a pin"


def test_no_joining_across_a_save(document, tmp_path):
    with_pin(document)
    nudge(document, 1.0)
    document.save(tmp_path / "a.json")
    nudge(document, 1.0)
    assert document.is_changed
    document.undo()
    assert not document.is_changed
    assert document.case.pins[0].level_mm == 101


def test_a_restored_case_counts_as_changed_until_saved(document, tmp_path):
    document.restore(Case(side="left", label="x"), None, None)
    assert document.is_changed
    document.save(tmp_path / "a.json")
    assert not document.is_changed


def test_findings_follow_what_is_shown(document):
    assert document.findings is document.findings
    before = document.findings
    in_the_joint = edits.change(edits.add_pin(document.case, PIN), "pin-1", level_mm=2.0)
    document.preview(in_the_joint)
    assert document.findings != before
    document.cancel_preview()
    assert document.findings == before


def test_a_thousand_steps_can_be_undone(document):
    with_pin(document)
    for level in range(1000):
        document.commit("Move", edits.change(document.case, "pin-1", level_mm=float(level)))
    for _ in range(1001):
        document.undo()
    assert document.case.pins == ()
