"""Panels: findings, the selected thing, the limb, the tool in hand."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from fixplan.case.records import BoneSize, Fracture
from fixplan.checks.finding import Finding
from fixplan.desk import dialogs
from fixplan.desk.panels.finding_rows import Row
from fixplan.desk.panels.findings import counts_in_words
from fixplan.frame.joining import bar_paths
from fixplan.teach.rules_page import why_html

ROOT = Path(__file__).parents[2]


@pytest.fixture
def bad_pin(hand, qtbot):
    """A pin through a fracture: a stop."""
    hand.window.edits.add_fracture("tibia", 140.0, 30.0)
    pin = hand.pin(level=150.0)
    findings = hand.window.column.findings
    qtbot.waitUntil(lambda: any(f.severity == "stop" for f in findings.rows.findings))
    return pin


def choose(hand, severity):
    findings = hand.window.column.findings
    row = next(i for i, f in enumerate(findings.rows.findings) if f.severity == severity)
    findings.list.setCurrentIndex(findings.rows.index(row))
    return findings.rows.findings[row]


@pytest.mark.usefixtures("bad_pin")
def test_the_header_counts_what_is_open_and_not_assessed(hand):
    card = hand.window.column.findings
    assert card.beside == counts_in_words(hand.window.document.findings)
    assert "not assessed" in card.beside
    assert not card.beside.startswith("0 stop")


@pytest.mark.usefixtures("bad_pin")
def test_no_words_of_safety_and_a_severity_word_in_every_row(hand):
    rows = hand.window.column.findings.rows
    for number, finding in enumerate(rows.findings):
        spoken = rows.data(rows.index(number), Qt.ItemDataRole.AccessibleTextRole)
        assert spoken.lower().startswith(finding.severity)
        assert "safe" not in spoken.lower().replace("safe corridor", "")


@pytest.mark.usefixtures("bad_pin")
def test_an_entry_selects_and_shows_its_subject(hand):
    hand.window.selection.select(None)
    finding = choose(hand, "stop")
    panel = hand.window.column.findings
    rect = panel.list.visualRect(panel.list.currentIndex())
    QTest.mouseClick(panel.list.viewport(), Qt.MouseButton.LeftButton, pos=rect.center())
    assert hand.window.selection.subject == hand.window.bench.drawn.subject_of(finding.subjects[0])


@pytest.mark.usefixtures("bad_pin")
def test_accepting_keeps_the_finding_with_its_reason(hand, monkeypatch, qtbot):
    monkeypatch.setattr(dialogs.ReasonDialog, "ask", classmethod(lambda *_: "no better place"))
    finding = choose(hand, "stop")
    hand.window.column.findings.accept.click()
    kept = next(f for f in hand.window.document.findings if f.rule == finding.rule)
    assert kept.accepted == "no better place"
    panel = hand.window.column.findings
    qtbot.waitUntil(lambda: "1 accepted" in panel.beside)
    assert panel.current is not None
    assert panel.withdraw.isEnabled()
    panel.withdraw.click()
    again = next(f for f in hand.window.document.findings if f.rule == finding.rule)
    assert again.accepted is None
    hand.window.document.undo()
    assert hand.window.document.findings.count(kept) == 1


@pytest.mark.parametrize("severity", ["note", "not assessed"])
def test_only_stops_and_cautions_can_be_accepted(hand, severity):
    panel = hand.window.column.findings
    panel.rows.put([Row(found(severity))])
    choose(hand, severity)
    assert not panel.accept.isEnabled()
    assert panel.why.isEnabled()


@pytest.mark.usefixtures("bad_pin")
def test_a_reason_is_needed(hand, qtbot):
    dialog = dialogs.ReasonDialog(choose(hand, "stop"), hand.window)
    qtbot.addWidget(dialog)
    assert not dialog.keep.isEnabled()
    dialog.picks.setCurrentRow(0)
    assert dialog.keep.isEnabled()
    assert dialog.words() == dialogs.quick_picks()[0]
    dialog.reason.setPlainText("  my own words ")
    assert dialog.words() == "my own words"


@pytest.mark.usefixtures("bad_pin")
def test_typing_gives_ones_own_reason_not_a_usual_one(hand, qtbot):
    dialog = dialogs.ReasonDialog(choose(hand, "stop"), hand.window)
    qtbot.addWidget(dialog)
    assert dialog.focusWidget() is dialog.reason
    QTest.keyClicks(dialog.focusWidget(), "Single bar wanted")
    assert dialog.words() == "Single bar wanted"
    assert dialog.picks.currentRow() < 0


@pytest.mark.usefixtures("bad_pin")
def test_why_names_rule_evidence_and_source(hand):
    finding = choose(hand, "stop")
    page = why_html(finding)
    assert finding.rule in page
    assert all(name in page for name in finding.evidence)
    assert "Rests on" in page


def found(severity, accepted=None):
    return Finding(
        rule="rule.pin.fracture",
        severity=severity,
        subjects=("pin-1",),
        subject="Pin 1",
        message="",
        accepted=accepted,
    )


def test_counts_in_words():
    listed = (found("stop"), found("stop", "yes"), found("caution"), found("not assessed"))
    assert counts_in_words(listed) == "1 stop · 1 caution · 1 accepted · 1 not assessed"
    assert counts_in_words(()) == "0 stop · 0 caution · 0 not assessed"


def spin(made, text):
    editor = made.editor()
    editor.setFocus()
    editor.selectAll()
    QTest.keyClicks(editor, text)
    QTest.keyClick(editor, Qt.Key.Key_Return)


@pytest.mark.parametrize(
    ("name", "typed", "value"),
    [
        ("level_mm", "141", 141.0),
        ("bearing_deg", "130", 130.0),
        ("tilt_deg", "-7", -7.0),
        ("offset_mm", "3.5", 3.5),
        ("diameter_mm", "4", 4.0),
        ("tip_mm", "1", 1.0),
    ],
)
def test_every_number_of_a_pin_can_be_typed(hand, name, typed, value):
    hand.pin(level=120.0)
    spin(hand.window.column.thing.input_of(name), typed)
    assert getattr(hand.case.pins[0], name) == value
    hand.window.document.undo()
    assert getattr(hand.case.pins[0], name) != value


def test_kind_flags_and_typed_length(hand):
    hand.pin(level=120.0)
    thing = hand.window.column.thing
    thing.input_of("kind").editor().setCurrentIndex(1)
    thing.input_of("open_approach").editor().click()
    length = thing.input_of("length_mm")
    length._tick.click()
    spin(length, "180")
    pin = hand.case.pins[0]
    assert (pin.kind, pin.open_approach, pin.length_mm) == ("through", True, 180.0)
    length._tick.click()
    assert hand.case.pins[0].length_mm is None


def test_the_sum_of_the_pins_length_is_shown(hand):
    hand.pin(level=120.0)
    words = hand.window.column.thing._figures["Needs"].text()
    assert all(part in words for part in ("tip", "bone", "skin to bone", "±", "gap", "clamp", "="))


def test_a_change_that_cannot_be_made_is_told_and_shown_as_it_was(hand):
    hand.window.edits.add_fracture("tibia", 140.0, 30.0)
    spin(hand.window.column.thing.input_of("from_mm"), "500")
    assert hand.window.said()
    assert hand.case.fractures[0].from_mm == 140.0
    assert hand.window.column.thing.input_of("from_mm").editor().value() == 140.0


def test_the_points_of_an_outline_can_be_typed_and_deleted(hand):
    hand.window.pick_tool("injury")
    for u, level in ((-20, 100), (20, 100), (20, 150), (-20, 150)):
        hand.click(hand.screen("front", "leg", u, level))
    hand.key(Qt.Key.Key_Return)
    (table,) = hand.window.column.thing._tables
    table.item(2, 1).setText("171,5")
    assert hand.case.injuries[0].front[2][1] == 171.5
    table.item(2, 0).setText("far")
    assert "not a number" in hand.window.said()
    table.setCurrentCell(2, 0)
    table.setFocus()
    QTest.keyClick(table, Qt.Key.Key_Delete)
    assert len(hand.case.injuries[0].front) == 3
    assert len(hand.case.injuries) == 1


def test_a_plates_parts_are_editable(hand):
    from fixplan.frame.presets import presets

    dual = next(preset.id for preset in presets() if len(preset.plates) == 2)
    hand.window.edits.add_preset(dual)
    spin(hand.window.column.thing.input_of("width_mm", 1), "13")
    assert hand.case.candidates[0].parts[1].width_mm == 13.0
    assert hand.case.candidates[0].parts[0].width_mm != 13.0


def test_stature_and_typed_lengths_scale_what_is_drawn(hand):
    pin = hand.pin(level=120.0)
    hand.window.edit_limb()
    card = hand.window.column.limb
    spin(card.input_of("stature"), "190")
    assert hand.case.size.stature_mm == 1900
    assert hand.case.pins[0].level_mm > pin.level_mm
    card.input_of("tibia length")._tick.click()
    spin(card.input_of("tibia length"), "350")
    assert hand.case.size.bones == (BoneSize(bone="tibia", length_mm=350.0),)
    assert hand.case.pins[0].level_mm < pin.level_mm


def test_keeping_millimetres(hand):
    pin = hand.pin(level=120.0)
    hand.window.edit_limb()
    card = hand.window.column.limb
    card.keep_mm.setChecked(True)
    spin(card.input_of("stature"), "190")
    assert hand.case.pins[0] == pin


def test_girth_sex_side_flexion_and_label(hand):
    hand.window.edit_limb()
    card = hand.window.column.limb
    card.input_of("side").editor().setCurrentIndex(1)
    card.input_of("sex").editor().setCurrentIndex(1)
    card.input_of("knee_flexion_deg")._tick.click()
    spin(card.input_of("knee_flexion_deg"), "25")
    card.input_of("leg girth")._tick.click()
    spin(card.input_of("leg girth"), "400")
    label = card.input_of("label").editor()
    label.setText("Plateau")
    label.editingFinished.emit()
    case = hand.case
    assert (case.side, case.size.sex, case.knee_flexion_deg) == ("left", "female", 25.0)
    assert case.size.girths[0].girth_mm == 400.0
    assert case.label == "Plateau"
    assert "Plateau" in hand.window.windowTitle()


def test_the_tools_options_are_used(hand):
    hand.window.pick_tool("wound")
    form = hand.window.column.tool._forms["wound"]
    kinds = form.findChild(object, "wound")
    kinds.setCurrentText("blister")
    assert hand.window.bench.options.wound == "blister"


def test_supports_hang_where_they_should(hand):
    hand.window.actions_by_name["add_heel_stand"].trigger()
    assert "lay a bar first" in hand.window.said()
    hand.window.edits.add_splint()
    splint = hand.case.supports[0]
    assert splint.kind == "splint"
    assert splint.from_mm < splint.to_mm
    spin(hand.window.column.thing.input_of("from_mm"), "140")
    assert hand.case.supports[0].from_mm == 140.0


def test_a_heel_stand_hangs_on_the_bar_that_reaches_lowest(hand):
    hand.window.edits.add_fracture("tibia", 190.0, 20.0)
    hand.window.lay_frame("per-fragment")
    hand.window.selection.select(None)
    hand.window.actions_by_name["add_heel_stand"].trigger()
    ends = {bar: max(p.start_mm[2], p.end_mm[2]) for bar, p in bar_paths(hand.case).items()}
    assert hand.case.supports[-1].bar == max(ends, key=ends.__getitem__)


def test_a_starting_frame_says_what_it_could_not_do(hand):
    hand.window.edits.add_fracture("tibia", 150.0, 40.0)
    hand.window.lay_frame("per-fragment")
    assert len(hand.case.pins) >= 4
    assert len(hand.case.bars) >= 3
    hand.window.document.undo()
    assert hand.case.pins == ()


def test_a_starting_frame_without_a_fracture_is_refused_in_words(hand):
    assert not hand.window.attempt(lambda: hand.window.lay_frame("per-fragment"))
    assert "fracture" in hand.window.said()


def test_a_thing_on_an_unknown_bone_is_still_listed_and_told(hand):
    from fixplan.case import edits

    case = edits.add_fracture(hand.case, Fracture(id="x", bone="sesamoid", from_mm=1.0, to_mm=9.0))
    hand.window.document.commit("Draw", case)
    hand.window.selection.select(case.fractures[-1].id)
    assert "sesamoid" in hand.window.column.thing._figures["Unknown"].text()


def test_no_figure_of_firmness_is_cut_in_the_narrowest_window(hand, qtbot):
    hand.window.document.open(ROOT / "sample_cases" / "open-tibial-shaft.json")
    hand.window.resize(1280, 770)
    firmness = hand.window.column.firmness
    bars = firmness.bars
    qtbot.waitUntil(lambda: len(bars.rows) == 4 and bars.isVisible())
    letters = bars.fontMetrics()
    for row in bars.rows:
        needed = letters.horizontalAdvance(row.name) + letters.horizontalAdvance(row.figure)
        assert needed < bars.width()
        assert row.figure.endswith(("N/mm", "N·m/°"))
    shown = firmness.visibleRegion().boundingRect().width()
    assert firmness.width() == shown
