"""A new stop or caution is brought into sight and marked; what waits for rest is greyed."""

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, Qt

from fixplan.case import edits
from fixplan.case.records import Pin, PinAnchor
from fixplan.desk.panels.finding_rows import ROW_ROLE, key_of
from tests.gui.conftest import Hand
from tests.gui.test_firmness import framed

ROOT = Path(__file__).parents[2]


def sample(window, name):
    window.open_path(ROOT / "sample_cases" / f"{name}.json")
    return Hand(window)


def in_sight(panel, row):
    port = panel.list.viewport().rect()
    rect = panel.list.visualRect(panel.rows.index(row))
    return port.intersects(rect) and rect.top() >= port.top() - 1


@pytest.fixture
def listed(window, qtbot):
    """A long list of findings, scrolled to its end, the keys in the sheet."""
    window.resize(1280, 700)
    hand = sample(window, "teaching-faults")
    panel = window.column.findings
    qtbot.waitUntil(lambda: panel.rows.rowCount() > 6)
    window.view.setFocus()
    panel.list.scrollToBottom()
    qtbot.waitUntil(lambda: panel.list.verticalScrollBar().value() > 100)
    return hand


def test_a_new_stop_above_the_fold_is_brought_into_view_and_marked(listed, qtbot):
    window, panel = listed.window, listed.window.column.findings
    before = {key_of(finding) for finding in panel.rows.findings}
    bone = next(f for f in window.document.case.fractures)
    focus = window.focusWidget()
    window.edits.add_pin(bone.bone, (bone.from_mm + bone.to_mm) / 2)
    qtbot.waitUntil(lambda: any(row.is_new for row in panel.rows.rows))
    new = [n for n, row in enumerate(panel.rows.rows) if row.is_new]
    assert all(key_of(panel.rows.findings[n]) not in before for n in new)
    assert panel.rows.findings[new[0]].severity == "stop"
    assert in_sight(panel, new[0])
    assert ", new ·" in panel.rows.data(panel.rows.index(new[0]))
    assert window.focusWidget() is focus


def test_after_the_next_change_it_is_new_no_more(listed, qtbot):
    window, panel = listed.window, listed.window.column.findings
    bone = window.document.case.fractures[0]
    window.edits.add_pin(bone.bone, (bone.from_mm + bone.to_mm) / 2)
    qtbot.waitUntil(lambda: any(row.is_new for row in panel.rows.rows))
    pin = window.document.case.pins[-1]
    window.document.commit("Note", edits.change(window.document.case, pin.id, note="seen"))
    qtbot.waitUntil(lambda: not any(row.is_new for row in panel.rows.rows))


def test_nothing_is_new_in_a_case_that_was_just_opened(listed):
    assert not any(row.is_new for row in listed.window.column.findings.rows.rows)


def test_the_list_stays_where_the_user_scrolled_it_when_nothing_is_new(listed, qtbot):
    panel = listed.window.column.findings
    at = panel.list.verticalScrollBar().value()
    listed.window.document.commit(
        "Label", edits.change_case(listed.window.document.case, label="other")
    )
    qtbot.wait(30)
    assert panel.list.verticalScrollBar().value() == at


def large():
    """One bar on sixteen pins: more clamps than are solved within a drag."""
    case = framed()
    for level in range(75, 315, 20):
        pin = edits.found_as(case, "pin-2", Pin)
        case = edits.add_pin(case, replace(pin, level_mm=float(level)))
    others = tuple(pin.id for pin in case.pins if pin.id not in ("pin-1", "pin-4"))
    for pin in case.pins:
        case = edits.change(case, pin.id, diameter_mm=2.0)
    anchors = tuple(PinAnchor(pin=name, out_mm=250.0) for name in ("pin-1", "pin-4"))
    return edits.change(case, "bar-1", also=others, anchors=anchors, diameter_mm=4.0)


def test_firmness_of_a_large_frame_is_greyed_in_a_drag_and_settles(window, qtbot):
    window.document.start(large())
    window.show_recovered()
    hand = Hand(window)
    panel = window.column.findings
    qtbot.waitUntil(lambda: panel.rows.rowCount() > 0)
    window.pick_tool("select")
    pin = window.document.case.pins[-1]
    window.selection.select(pin.id)
    spot = hand.screen("front", "leg", 0.0, pin.level_mm)
    hand.press(spot)
    for step in range(1, 6):
        hand.move(spot + QPoint(0, 3 * step))
    assert window.document.shown is not window.document.case
    assert window.document.waiting
    panel.refresh()
    waiting = [row for row in panel.rows.rows if row.waits]
    assert waiting
    assert all("as before this move" in row.heading for row in waiting)
    qtbot.waitUntil(lambda: not window.document.waiting, timeout=3000)
    assert window.document.shown is not window.document.case
    assert not any(panel.rows.index(n).data(ROW_ROLE).waits for n in range(panel.rows.rowCount()))
    views = window.bench.drawn.views
    hand.move(spot + QPoint(0, 30))
    assert window.bench.drawn.views == views
    hand.release(spot + QPoint(0, 30))
    assert not window.document.waiting
    assert panel.rows.data(panel.rows.index(0), Qt.ItemDataRole.AccessibleTextRole)
