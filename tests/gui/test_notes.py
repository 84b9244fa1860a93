"""The plan for the case notes, from the desk: typed for one document, kept nowhere."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage

from fixplan.case import edits
from fixplan.case.records import Case
from fixplan.desk.notes_dialog import NotesDialog
from fixplan.desk.theatre_view import TheatreView
from fixplan.notes.export import FORMS
from fixplan.sheet.ink import SEVERITY_INK

ROOT = Path(__file__).parents[2]


@pytest.fixture
def opened(window):
    window.open_path(ROOT / "sample_cases" / "open-tibial-shaft.json")
    return window


@pytest.fixture
def dialog(opened):
    document = opened.document
    place = (Path(), "plan")
    return NotesDialog(document.case, document.findings, place, "A4", opened)


def type_name(qtbot, dialog):
    qtbot.keyClicks(dialog.lines["family_name"], "Zzyzx")
    qtbot.keyClicks(dialog.lines["number"], "998877")


def test_what_is_typed_is_in_the_document_and_nowhere_else(dialog, opened, qtbot, home, tmp_path):
    type_name(qtbot, dialog)
    dialog.choose("markdown")
    assert not dialog.paper.isEnabled()
    out = tmp_path / "out.md"
    dialog.write(out)
    assert dialog.written == (out,)
    assert "Zzyzx" in out.read_text(encoding="utf-8")
    opened.document.write_recovery_now()
    others = [path for path in home.rglob("*") if path.is_file() and path != out]
    assert not [path for path in others if b"Zzyzx" in path.read_bytes() or "Zzyzx" in path.name]
    assert "Zzyzx" not in repr(opened.document.case)


def test_the_next_document_begins_empty(dialog, opened, qtbot):
    type_name(qtbot, dialog)
    document = opened.document
    again = NotesDialog(document.case, document.findings, (Path(), ""), "A4", opened)
    assert again.identity().is_empty


def test_a_date_that_is_none_is_told_and_nothing_can_be_written(dialog, qtbot):
    qtbot.keyClicks(dialog.lines["born"], "31.1.1980")
    assert "is no date" in dialog.said.text()
    assert not dialog.go.isEnabled()


def test_a_file_that_cannot_be_written_is_told_and_what_was_typed_stays(dialog, qtbot, tmp_path):
    type_name(qtbot, dialog)
    dialog.choose("text")
    dialog.write(tmp_path / "none" / "plan.txt")
    assert dialog.said.text()
    assert dialog.written == ()
    assert dialog.identity().family_name == "Zzyzx"


def test_every_form_can_be_chosen(dialog):
    for form in FORMS:
        dialog.choose(form)
        assert dialog.form == form


def test_the_command_suggests_a_name_from_the_file(opened, answer, tmp_path, monkeypatch):
    asked = answer("ask_save_path", tmp_path / "x.pdf")
    monkeypatch.setattr(NotesDialog, "exec", NotesDialog._ask_path)
    opened.features.of("fixplan.desk.notes_feature").write_notes()
    assert asked[0][1][2].name == "open-tibial-shaft-notes.pdf"
    assert (tmp_path / "x.pdf").read_bytes().startswith(b"%PDF")


# Handover


@pytest.fixture
def handover(opened, tmp_path):
    from fixplan.desk.handover_dialog import HandoverDialog

    return HandoverDialog(opened.bench, (tmp_path, "plan"), opened)


def test_what_was_agreed_goes_into_the_case_and_is_undone_by_one_step(handover, opened, qtbot):
    before = opened.document.case
    handover.add_talk()
    assert handover.said.text() == "Fill in with whom it was discussed."
    qtbot.keyClicks(handover.lines["discussed_with"], "vascular surgeon on call")
    qtbot.keyClicks(handover.lines["agreed_at"], "21:40")
    handover.add_talk()
    (talk,) = opened.document.case.talks
    assert (talk.discussed_with, talk.agreed_at) == ("vascular surgeon on call", "21:40")
    assert "vascular surgeon on call, agreed at 21:40" in handover.talks.text()
    opened.document.undo()
    assert opened.document.case == before


def test_the_change_since_the_saved_file_is_told_and_drawn(handover, opened, tmp_path):
    case = opened.document.case
    opened.document.commit("Slide", edits.slide_pin(case, "pin-2", 14.0))
    handover.versions.setCurrentText("the case as last saved")
    handover.versions.activated.emit(handover.versions.currentIndex())
    assert "Pin 2: 14 mm further distal" in handover.changes.toPlainText()
    handover.write_page(tmp_path / "page.pdf")
    handover.write_picture(tmp_path / "picture.png")
    assert (tmp_path / "page.pdf").read_bytes().startswith(b"%PDF")
    image = QImage(str(tmp_path / "picture.png"))
    assert (image.width(), image.height()) == (1080, 1920)


def test_a_file_that_is_no_case_is_told_and_nothing_changes(handover, tmp_path):
    bad = tmp_path / "bad.json"
    bad.write_text("{", encoding="utf-8")
    handover.compare_with(bad)
    assert "bad.json" in handover.said.text()
    assert handover.earlier is None


# As built


@pytest.fixture
def built(opened, tmp_path):
    from fixplan.desk.built_dialog import BuiltDialog

    return BuiltDialog(opened.bench, (tmp_path, "plan"), opened)


def test_a_case_is_marked_as_built_with_its_counts(built, opened):
    name = built.table.item(0, 0).text()
    built.table.item(0, 2).setText("6")
    built.table.item(0, 4).setText("2")
    built.keep()
    kept = opened.document.case.built
    assert kept.is_as_drawn
    assert (kept.parts[0].name, kept.parts[0].opened, kept.parts[0].wasted) == (name, 6, 2)


def test_counts_that_do_not_add_up_cannot_be_kept(built):
    built.table.item(0, 4).setText("3")
    assert "more used and wasted than opened" in built.said.text()
    assert not built.save.isEnabled()
    built.table.item(0, 4).setText("x")
    assert "'x' is no whole number" in built.said.text()


def test_a_part_that_was_not_planned_is_added_with_a_name(built, opened):
    built.add_part()
    assert "has no part; name it" in built.said.text()
    built.table.item(built.table.rowCount() - 1, 0).setText("half-pin 6 mm, 180 mm")
    built.keep()
    last = opened.document.case.built.parts[-1]
    assert (last.name, last.planned, last.used) == ("half-pin 6 mm, 180 mm", 0, 1)


def test_built_otherwise_lists_the_changes_the_next_time(built, opened, tmp_path):
    from fixplan.desk.built_dialog import BuiltDialog

    built.otherwise.click()
    built.keep()
    case = opened.document.case
    opened.document.commit("Slide", edits.slide_pin(case, "pin-2", 14.0))
    again = BuiltDialog(opened.bench, (tmp_path, "plan"), opened)
    assert "Pin 2: 14 mm further distal" in again.changes.text()
    again.write(tmp_path / "built.pdf")
    assert (tmp_path / "built.pdf").read_bytes().startswith(b"%PDF")
    again.take_back()
    assert opened.document.case.built is None


# In theatre


def test_one_key_turns_to_the_next_step(opened, qtbot):
    document = opened.document
    view = TheatreView(document.case, document.findings, opened)
    view.resize(1200, 700)
    qtbot.keyClick(view, Qt.Key.Key_Space)
    assert view.at == 1
    assert view.accessibleDescription().startswith("Step 2 of ")
    for _ in view.steps:
        qtbot.keyClick(view, Qt.Key.Key_Space)
    assert view.at == len(view.steps) - 1
    qtbot.keyClick(view, Qt.Key.Key_Backspace)
    assert view.at == len(view.steps) - 2
    picture = view.grab().toImage()
    assert not picture.isNull()
    qtbot.keyClick(view, Qt.Key.Key_Home)
    assert view.at == 0
    view.close()


@pytest.mark.parametrize("size", [(1680, 1050), (1200, 700)])
def test_a_barred_step_is_red_tells_its_figures_and_fits(opened, size):
    opened.open_path(ROOT / "sample_cases" / "teaching-faults.json")
    document = opened.document
    view = TheatreView(document.case, document.findings, opened)
    view.resize(*size)
    view.go_to(4)
    told = view.accessibleDescription()
    assert "Stop at pins 3 and 4: settle it first" in told
    assert "Pin 4, tibia: Ø 5 mm" in told
    picture = view.grab().toImage()
    width, height = picture.width(), picture.height()
    right = range(int(0.54 * width), width, 2)
    ink = {
        y: {picture.pixelColor(x, y).name() for x in right}
        for y in range(int(0.2 * height), int(0.84 * height), 2)
    }
    assert sum(SEVERITY_INK["stop"] in found for found in ink.values()) > 15
    assert ink[max(ink)] == {"#ffffff"}
    view.close()


def test_without_a_frame_there_is_nothing_to_build(window):
    window.document.start(Case(side="right"))
    window.actions_by_name["build_steps"].setEnabled(True)
    window.actions_by_name["build_steps"].trigger()
    assert window.said() == "There is no frame to build; draw it first."
