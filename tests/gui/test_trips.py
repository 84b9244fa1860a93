"""The card "Trips": the time line by hand and keys, fields, what is done, what cannot be."""

from datetime import UTC, datetime
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from fixplan.case.records import Case
from fixplan.case.trip_edits import change_course
from fixplan.case.trip_records import Moment
from fixplan.desk.actions import TOOLS

ROOT = Path(__file__).parents[2]
LEFT = Qt.MouseButton.LeftButton
MODULE = "fixplan.desk.trips_feature"


@pytest.fixture
def trips(window):
    """The feature with the open sample case, on the evening of its first trip."""
    window.open_path(ROOT / "sample_cases" / "open-tibial-shaft.json")
    window.features.load()
    feature = window.features.of(MODULE)
    feature.card._now = lambda: datetime(2026, 3, 29, 19, 0, tzinfo=UTC)
    feature.card.refresh()
    return feature


def settle():
    for _ in range(4):
        QApplication.processEvents()


def typed(field, text):
    line = field.editor()
    line.setFocus()
    line.selectAll()
    QTest.keyClicks(line, text)
    QTest.keyClick(line, Qt.Key.Key_Return)
    settle()


def second_trip(window):
    return next(trip for trip in window.document.case.trips if trip.id == "trip-2")


def test_the_card_tells_what_is_due(trips):
    assert "type IIIB, settled" in trips.card.headline.text()
    assert "Definitive cover: 50 h 40 min left; due Tue 31 Mar 22:40" in trips.card.clocks.text()
    assert trips.card.beside.startswith("British")


def test_a_trip_is_dragged_along_the_line(trips, window):
    trips.go_to_trips()
    settle()
    line = trips.card.line
    start = line.place_of("trip-2").toPoint()
    QTest.mousePress(line, LEFT, pos=start)
    QTest.mouseMove(line, start + QPoint(-20, 0))
    QTest.mouseMove(line, start + QPoint(-40, 0))
    QTest.mouseRelease(line, LEFT, pos=start + QPoint(-40, 0))
    settle()
    moved = second_trip(window).planned
    assert "2026-03-29T10:00Z" < moved.utc < "2026-03-31T06:00Z"
    assert moved.utc[-3:-1] in ("00", "15", "30", "45")
    window.document.undo()
    assert second_trip(window).planned == Moment(utc="2026-03-31T07:30Z", zone="Europe/London")


def test_arrow_keys_move_the_chosen_trip(trips, window):
    trips.go_to_trips()
    QTest.keyClick(trips.card.line, Qt.Key.Key_Right)
    settle()
    QTest.keyClick(trips.card.line, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    settle()
    assert second_trip(window).planned.utc == "2026-03-31T08:45Z"
    QTest.keyClick(trips.card.line, Qt.Key.Key_Up)
    QTest.keyClick(trips.card.line, Qt.Key.Key_Right)
    settle()
    assert window.document.case.trips[0].planned.utc == "2026-03-29T07:30Z"  # done: it stays


def test_a_typed_time_moves_the_trip(trips, window):
    typed(trips.card.form.form.inputs["planned"], "2026-04-01 23:00")
    assert second_trip(window).planned.utc == "2026-04-01T22:00Z"
    assert "\u25a0 Definitive cover" in trips.card.clocks.text()
    assert "Trip 2 is planned 24 h 20 min after it is due" in trips.card.clocks.text()


def test_what_is_no_time_is_told_and_nothing_is_lost(trips, window):
    before = window.document.case
    typed(trips.card.form.form.inputs["planned"], "next week")
    assert "is not a time" in window.said()
    assert window.document.case == before
    assert trips.card.form.form.inputs["planned"].editor().text() == "2026-03-31 08:30"


def test_a_task_brings_who_is_usually_needed(trips, window):
    trips.card.form.tasks.tick("vessel repair")
    settle()
    assert "vessel repair" in second_trip(window).what
    assert "vascular" in second_trip(window).who
    assert "Vessel set with shunts" in trips.card.form.kit.text()


def test_done_keeps_the_plan_and_opens_it(trips, window, answer):
    answer("ask_unsaved", "discard")
    trips.card._now = lambda: datetime(2026, 3, 31, 12, 0, tzinfo=UTC)
    before = window.document.case
    QTest.mouseClick(trips.card.form.done, LEFT, pos=QPoint(8, 8))
    settle()
    kept = {one.trip: one.plan for one in window.document.case.kept_plans}
    assert kept["trip-2"] == replace(before, kept_plans=())
    trips.card.form.plan.click()
    settle()
    assert window.document.case == kept["trip-2"]
    assert "which trip-2 was done from" in window.said()


def test_usual_trips_from_the_time_of_injury(trips, window):
    window.document.start(Case(side="right"))
    settle()
    trips.card.unfold()
    typed(trips.card.course.form.inputs["zone"], "Europe/London")
    typed(trips.card.course.form.inputs["injured_at"], "2026-03-28 20:00")
    assert window.document.case.course.injured_at.utc == "2026-03-28T20:00Z"
    trips.card._usual.click()
    settle()
    assert [trip.what[0] for trip in window.document.case.trips] == ["frame", "final fixation"]


def test_a_zone_that_is_not_known_is_told(trips, window):
    trips.card.unfold()
    before = window.document.case
    typed(trips.card.course.form.inputs["zone"], "Europe/Londn")
    assert "Europe/Londn is not known" in window.said()
    assert window.document.case == before


def test_a_case_with_an_unknown_zone_is_shown_with_one_sentence(trips, window):
    odd = Moment(utc="2026-03-28T20:00Z", zone="Europe/Londn")
    window.document.start(change_course(window.document.case, injured_at=odd))
    settle()
    assert "The time zone Europe/Londn is not known" in trips.card.headline.text()
    assert trips.card.clocks.text() == ""


def test_the_pressure_gap_is_worked_out(trips, window):
    trips.go_to_prompts()
    settle()
    form = trips.prompts.form
    form.inputs["compartment.pressure_mmhg"].editor().setValue(52)
    settle()
    assert window.document.case.course.compartment.pressure_mmhg == 52
    assert "= 26 mmHg, under 30 (SF-02)" in trips.prompts.words.text()
    assert "\u25b2 Compartment syndrome" in trips.prompts.words.text()


def test_a_ph_has_two_decimals(trips, window):
    trips.go_to_prompts()
    made = trips.prompts.form.inputs["resuscitation.ph"]
    made._tick.click()
    settle()
    made.editor().setValue(7.25)
    settle()
    assert window.document.case.course.resuscitation.ph == 7.25
    assert made.editor().text() == "7.25"


def test_an_infected_site_is_logged_and_told(trips, window):
    trips.go_to_prompts()
    trips.prompts.state.setCurrentIndex(2)
    trips.prompts.day.setText("2026-04-02")
    QTest.mouseClick(trips.prompts.log, LEFT)
    settle()
    assert window.document.case.course.pin_sites[-1].state == "infected"
    assert "Pin 1 infected: before conversion take the frame off" in trips.prompts.words.text()
    trips.prompts.day.setText("yesterday")
    QTest.mouseClick(trips.prompts.log, LEFT)
    assert len(window.document.case.course.pin_sites) == 1
    assert window.said()


@pytest.mark.usefixtures("trips")
def test_the_ward_page_is_written(window, answer, home):
    out = home / "ward.pdf"
    answer("ask_save_path", out)
    window.menus.actions["write_ward_page"].trigger()
    assert out.read_bytes().startswith(b"%PDF")
    assert str(out) in window.said()


def test_no_two_commands_share_a_key(window):
    keys = [
        key.toString() for action in window.actions_by_name.values() for key in action.shortcuts()
    ]
    tools = [key for tool in TOOLS for key in tool.keys]
    assert "Ctrl+J" in keys
    assert sorted({key for key in keys + tools if (keys + tools).count(key) > 1}) == []
