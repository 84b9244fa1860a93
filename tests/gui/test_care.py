"""Dead space, debridement and cover at the desk, by keys and by what the cards show."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from fixplan.case.records import Case, Fracture, LimbSize

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def care(window):
    broken = Fracture(id="fracture-1", bone="tibia", from_mm=180, to_mm=220)
    size = LimbSize(stature_mm=1750, sex="male")
    window.document.start(Case(side="right", size=size, fractures=(broken,)))
    window.show_recovered()
    return window.features.of("fixplan.desk.care_feature")


def pick(form, name, value):
    box = form.input_of(name).editor()
    row = [one.value for one in form.input_of(name).field.choices].index(value)
    box.setFocus()
    while box.currentIndex() != row:
        QTest.keyClick(box, Qt.Key.Key_Down if box.currentIndex() < row else Qt.Key.Key_Up)


def test_beads_with_a_drug_by_keys_alone(care, window, qtbot):
    window.actions_by_name["go_to_dead_space"].trigger()
    card = care.space
    QTest.keyClick(card.listed.add, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: card.listed.chosen == "dead-space-1")
    assert "beads or spacer?" in card.prompts.text()
    pick(card.listed.form, "device", "beads")
    tick = card.listed.form.input_of("volume_ml")
    tick._tick.click()
    QTest.keyClicks(tick.editor(), "45")
    QTest.keyClick(tick.editor(), Qt.Key.Key_Return)
    QTest.keyClicks(card.amount, "2 g")
    QTest.keyClick(card.amount, Qt.Key.Key_Return)
    (space,) = window.document.case.dead_spaces
    assert (space.device, space.drugs[0].drug, space.drugs[0].amount) == ("beads", "vancomycin", 2)
    qtbot.waitUntil(lambda: "not a prescription" in card.lines.text())
    assert "% of powder" in card.lines.text()
    assert "beads" in card.beside


def test_an_amount_without_a_unit_is_told_and_nothing_is_lost(care, window):
    care.space.add()
    care.space.refresh()
    before = window.document.case
    care.space.amount.setText("2")
    QTest.keyClick(care.space.amount, Qt.Key.Key_Return)
    assert "has no unit; give the amount in g or mg" in window.said()
    assert window.document.case is before
    assert care.space.amount.text() == "2"


def test_what_a_debridement_found_goes_into_the_plan_and_can_be_undone(care, window, qtbot):
    card = care.debridement
    card.unfold()
    card.add()
    qtbot.waitUntil(lambda: card.listed.chosen == "debridement-1")
    pick(card.listed.form, "grade_after", "IIIB")
    pick(card.signs, "bleeding", "dead")
    QTest.mouseClick(card.carry, LEFT)
    assert window.document.case.fractures[0].open_grade == "IIIB"
    (record,) = window.document.case.debridements
    assert record.muscles[0].compartment == "leg-anterior"
    window.document.undo()
    assert window.document.case.fractures[0].open_grade == "not graded"


def test_cover_asks_what_its_kind_needs(care, qtbot):
    card = care.debridement
    card.unfold()
    card.add_cover()
    qtbot.waitUntil(lambda: card.covers.chosen == "cover-1")
    pick(card.covers.form, "kind", "primary closure")
    qtbot.waitUntil(lambda: "without tension" in card.cover_asks.text())
    assert card.covers.form._form.isRowVisible(card.covers.form.input_of("tension"))
    assert not card.covers.form._form.isRowVisible(card.covers.form.input_of("bulk_mm"))


def test_unfolded_cards_fit_the_column(care, window):
    care.space.add()
    care.debridement.add()
    care.debridement.add_cover()
    for card in (care.space, care.debridement):
        card.unfold()
        card.refresh()
        room = window.column._area.viewport().width()
        assert card.minimumSizeHint().width() <= room


@pytest.mark.usefixtures("care")
def test_lines_of_the_plastic_surgeon_are_one_step_each(window):
    for command, kind, count in (
        ("draw_fasciotomy", "fasciotomy line", 2),
        ("mark_perforators", "perforator", 3),
    ):
        window.actions_by_name[command].trigger()
        assert [one.kind for one in window.document.case.wounds] == [kind] * count
        window.document.undo()
        assert window.document.case.wounds == ()
    window.actions_by_name["draw_extension"].trigger()
    assert "no open wound to extend" in window.said()
