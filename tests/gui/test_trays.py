"""The editor of a hospital's own trays, by mouse and keys."""

import pytest
from PySide6.QtWidgets import QDialog, QPushButton

from fixplan.desk.tray_editor import TrayEditor
from fixplan.kit.tray_files import house_trays, read_trays, write_trays
from fixplan.kit.trays import own_trays_path, shipped_trays


@pytest.fixture
def editor(qtbot, monkeypatch):
    monkeypatch.delenv("FIXPLAN_TRAYS", raising=False)
    made = TrayEditor()
    qtbot.addWidget(made)
    return made


def press(editor, words):
    (button,) = [one for one in editor.findChildren(QPushButton) if one.text() == words]
    button.click()


def test_it_begins_with_the_invented_trays_and_says_so(editor):
    assert [one.name for one in editor.drafts] == [one.name for one in shipped_trays().trays]
    assert "invented" in editor.origin.text()
    assert editor.keep.isEnabled()


def test_what_is_typed_is_kept_where_the_program_reads_it(editor, qtbot, home):
    editor.choose("Leg A")
    editor.form.texts["name"].selectAll()
    qtbot.keyClicks(editor.form.texts["name"], "Leg Z")
    editor.form.table.item(0, 2).setText("7")
    editor.form.ticks["is_out"].click()
    qtbot.keyClicks(editor.form.texts["back_at"], "06:30")
    press(editor, "Save")
    assert editor.result() == QDialog.DialogCode.Accepted
    assert own_trays_path().is_relative_to(home)
    kept = {one.name: one for one in house_trays().trays}
    assert (kept["Leg Z"].stock[0].count, kept["Leg Z"].back_at) == (7, "06:30")
    assert kept["Leg Z"].is_out
    assert "Leg A" not in kept


def test_a_wrong_cell_is_told_and_cannot_be_saved(editor):
    editor.choose("Leg A")
    was = editor.form.table.item(0, 2).text()
    editor.form.table.item(0, 2).setText("-2")
    assert "Leg A: line 1, Count: -2 is negative" in editor.said.text()
    assert not editor.keep.isEnabled()
    editor.form.table.item(0, 2).setText(was)
    assert editor.keep.isEnabled()


def test_trays_and_lines_are_added_copied_and_removed(editor):
    press(editor, "&Add tray")
    assert editor.drafts[-1].name == "New tray"
    editor.form.adding.menu().actions()[0].trigger()
    assert editor.form.table.item(0, 0).text() == "half-pin"
    assert "Count" in editor.said.text()
    for place, text in ((2, "4"), (3, "5"), (4, "150")):
        editor.form.table.item(0, place).setText(text)
    press(editor, "&Copy tray")
    assert editor.drafts[-1].name == "New tray 2"
    assert editor.drafts[-1].rows == editor.drafts[-2].rows
    editor.form.table.selectRow(0)
    press(editor, "Remove l&ines")
    assert editor.drafts[-1].rows == ()
    press(editor, "&Remove tray")
    assert editor.drafts[-1].name == "New tray"


def test_a_bad_file_changes_nothing_and_is_told_in_one_sentence(editor, tmp_path):
    bad = tmp_path / "trays.csv"
    bad.write_text("tray,part,count\nLeg A,half-pin,-1\n", encoding="utf-8")
    before = editor.drafts
    editor.import_from(bad)
    assert editor.said.text().startswith("Nothing was imported. trays.csv: row 2, column count")
    assert editor.drafts == before


@pytest.mark.parametrize("ending", [".csv", ".toml"])
def test_what_is_exported_is_imported_alike(editor, tmp_path, ending):
    path = tmp_path / f"trays{ending}"
    editor.export_to(path)
    assert read_trays(path).trays == shipped_trays().trays
    write_trays(shipped_trays().trays[:2], path)
    editor.import_from(path)
    assert len(editor.drafts) == 2


def test_a_template_is_written(editor, tmp_path):
    editor.template_to(tmp_path / "template.csv")
    assert read_trays(tmp_path / "template.csv").trays == shipped_trays().trays
    assert "template.csv" in editor.said.text()
