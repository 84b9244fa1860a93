"""The section on the desk: its pin turned by dragging, its plane moved in the views; by keys."""

from math import cos, radians, sin

import pytest
from PySide6.QtCore import QPoint, Qt

from fixplan.checks.clear_sides import customary_arcs, shape_of
from fixplan.geometry.paths import pin_path

ALT = Qt.KeyboardModifier.AltModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


def _frame(hand):
    frame = hand.window.bench.drawn.section
    assert frame is not None
    return frame


def _in_section(hand, bearing_deg, reach_mm):
    """The pixel on a bearing from the target of the section."""
    frame = _frame(hand)
    x = frame.target[0] + reach_mm * cos(radians(bearing_deg))
    y = frame.target[1] + reach_mm * sin(radians(bearing_deg))
    return hand.pixel(frame.point(x, y))


def _selected_pin(hand, side="right"):
    pin = hand.pin(level=190.0)
    if side != hand.case.side:
        hand.window.edits.mirror()
    hand.window.pick_tool("select")
    hand.view.zoom_by(2.0)
    hand.view.centerOn(*_middle(_frame(hand).inner))
    hand.window.selection.select(None)
    hand.window.selection.select(pin.id)
    return pin


def _middle(box):
    return box.x + 0.5 * box.width, box.y + 0.5 * box.height


def _reach(hand):
    path = pin_path(hand.window.bench.drawn.limb, hand.case.pins[-1])
    return path.skin_mm - 4.0


def _middles(hand):
    pin = hand.case.pins[-1]
    limb = hand.window.bench.drawn.limb
    return [a.middle_deg for a in customary_arcs(limb, pin.bone, pin.level_mm, shape_of(pin))]


def test_the_section_of_the_selected_pin_is_shown(hand):
    first, second = hand.pin(level=120.0), hand.pin(level=260.0)
    assert _frame(hand).pin == second.id
    hand.window.selection.select(first.id)
    assert _frame(hand).pin == first.id
    assert _frame(hand).level_mm == first.level_mm
    hand.window.selection.select(None)
    assert _frame(hand).pin == first.id


@pytest.mark.parametrize("side", ["right", "left"])
@pytest.mark.parametrize("turn_deg", [-40.0, 35.0])
def test_a_pin_is_turned_by_dragging_it_in_the_section(hand, side, turn_deg):
    pin = _selected_pin(hand, side)
    reach, wanted = _reach(hand), pin.bearing_deg + turn_deg
    hand.drag(_in_section(hand, pin.bearing_deg, reach), _in_section(hand, wanted, reach), keys=ALT)
    turned = hand.case.pins[-1]
    assert turned.bearing_deg == pytest.approx(wanted, abs=2.0)
    assert (turned.level_mm, turned.tilt_deg) == (pin.level_mm, pin.tilt_deg)
    hand.window.document.undo()
    assert hand.case.pins[-1].bearing_deg == pin.bearing_deg


def test_a_turn_rests_at_the_middle_of_the_customary_band(hand):
    pin = _selected_pin(hand)
    (middle,) = _middles(hand)
    reach = _reach(hand)
    hand.drag(_in_section(hand, pin.bearing_deg, reach), _in_section(hand, middle + 4.0, reach))
    assert hand.case.pins[-1].bearing_deg == round(middle)


@pytest.mark.parametrize("way", ["alt", "switch"])
def test_a_turn_passes_the_middle_with_alt_or_without_the_switch(hand, way):
    pin = _selected_pin(hand)
    (middle,) = _middles(hand)
    reach = _reach(hand)
    if way == "switch":
        hand.window.actions_by_name["rest_in_middle"].trigger()
    hand.drag(
        _in_section(hand, pin.bearing_deg, reach),
        _in_section(hand, middle + 4.0, reach),
        **({"keys": ALT} if way == "alt" else {}),
    )
    assert hand.case.pins[-1].bearing_deg == pytest.approx(middle + 4.0, abs=1.5)
    assert hand.case.pins[-1].bearing_deg != round(middle)


def test_a_press_beside_the_pin_in_the_section_changes_nothing(hand):
    pin = _selected_pin(hand)
    before = hand.case
    away = _in_section(hand, pin.bearing_deg + 120.0, 30.0)
    hand.drag(away, away + QPoint(30, 30))
    assert hand.case == before
    assert hand.window.selection.subject == pin.id


def test_esc_drops_a_turn_in_the_section(hand):
    pin = _selected_pin(hand)
    reach = _reach(hand)
    hand.press(_in_section(hand, pin.bearing_deg, reach))
    hand.move(_in_section(hand, pin.bearing_deg + 30.0, reach))
    assert hand.shown.pins[-1].bearing_deg != pin.bearing_deg
    hand.key(Qt.Key.Key_Escape)
    assert hand.shown.pins[-1] == pin


def test_the_plane_is_dragged_along_the_limb(hand):
    hand.pin(level=150.0)
    hand.window.pick_tool("select")
    frame = hand.window.bench.drawn.view_frame("front")
    before = hand.case
    x = frame.limits[0] - 1.0
    start = hand.pixel((x, frame.point(0.0, 150.0)[1]))
    hand.drag(start, hand.pixel((x, frame.point(0.0, 230.0)[1])))
    assert _frame(hand).pin is None
    assert _frame(hand).segment == "leg"
    assert _frame(hand).level_mm == pytest.approx(230.0, abs=2.0)
    assert hand.case == before


def test_the_plane_moves_by_keys(hand):
    pin = hand.pin(level=150.0)
    hand.window.pick_tool("select")
    hand.key(Qt.Key.Key_PageDown)
    assert _frame(hand).level_mm == pin.level_mm + 5.0
    hand.key(Qt.Key.Key_PageUp, SHIFT)
    assert _frame(hand).level_mm == pin.level_mm + 4.0
    hand.window.selection.select(pin.id)
    assert _frame(hand).level_mm == pin.level_mm


def test_a_key_turns_the_pin_to_the_middle_of_its_band(hand):
    _selected_pin(hand)
    hand.key(Qt.Key.Key_M)
    assert hand.case.pins[-1].bearing_deg == round(_middles(hand)[0])


def test_what_is_printed_has_the_section_that_is_shown(hand):
    hand.pin(level=120.0)
    second = hand.pin(level=260.0)
    pages = hand.window.files.pages("A4")
    assert [page.section.pin for page in pages if page.section] == [second.id]


def test_the_section_on_a_second_page_can_be_turned_too(hand):
    hand.window.set_paper("A4")
    pin = _selected_pin(hand)
    reach = _reach(hand)
    hand.drag(
        _in_section(hand, pin.bearing_deg, reach),
        _in_section(hand, pin.bearing_deg + 40.0, reach),
        keys=ALT,
    )
    assert hand.case.pins[-1].bearing_deg == pytest.approx(pin.bearing_deg + 40.0, abs=2.0)
