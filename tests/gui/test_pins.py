"""Pins by mouse: placed, slid, turned, tilted; the document tells what happened."""

import pytest
from PySide6.QtCore import QPoint, Qt

from fixplan.desk.handles import TURN_OUT_MM
from fixplan.desk.panels.number_forms import NumbersForm, value_of
from fixplan.geometry.paths import pin_path

SHIFT = Qt.KeyboardModifier.ShiftModifier
ALT = Qt.KeyboardModifier.AltModifier


@pytest.mark.parametrize("view", ["front", "side"])
def test_a_click_on_bone_places_a_pin_there(hand, view):
    pin = hand.pin(view=view, level=130.0)
    assert pin.bone == "tibia"
    assert pin.level_mm == pytest.approx(130.0, abs=2.0)
    assert pin.offset_mm == 0.0
    assert pin.diameter_mm > 0
    assert hand.window.selection.subject == pin.id


def test_levels_snap_to_whole_millimetres_unless_alt_is_held(hand):
    assert hand.pin(level=130.4).level_mm % 1 == 0
    hand.window.pick_tool("pin")
    hand.view.zoom_by(2.7)
    hand.click(hand.screen("side", "leg", 0.0, 200.4), ALT)
    assert hand.case.pins[-1].level_mm % 1 != 0


def test_the_pin_is_drawn_in_both_views(hand):
    pin = hand.pin(level=130.0)
    page = hand.window.bench.drawn.pages[0]
    shapes = page.groups[pin.id]
    middle = 0.5 * (page.views[0].box.right + page.views[1].box.x)
    xs = [x for shape in shapes for x, _ in getattr(shape, "points", ())]
    assert min(xs) < middle < max(xs)


def test_a_click_beside_the_bones_places_nothing(hand):
    hand.window.pick_tool("pin")
    hand.click(QPoint(4, 4))
    assert hand.case.pins == ()


def test_a_click_on_the_limb_beside_its_bones_says_why_no_pin_is_placed(hand):
    hand.window.pick_tool("pin")
    hand.click(hand.screen("front", "leg", -34.0, 130.0))
    assert hand.case.pins == ()
    assert "No bone lies here" in hand.view.refusal
    assert "No bone lies here" in hand.window.statusBar().currentMessage()
    assert not hand.window.said()
    hand.move(hand.screen("front", "leg", -34.0, 300.0))
    assert not hand.view.refusal
    hand.pin(level=130.0)
    assert len(hand.case.pins) == 1


def test_arrow_keys_move_the_pin_just_placed_and_after_esc_the_cross(hand):
    pin = hand.pin(level=130.0)
    hand.key(Qt.Key.Key_Down)
    assert hand.case.pins[0].level_mm == pin.level_mm + 1
    assert hand.view.caret is None
    hand.key(Qt.Key.Key_Escape)
    hand.key(Qt.Key.Key_Down)
    assert hand.case.pins[0].level_mm == pin.level_mm + 1
    assert hand.view.caret is not None


def test_arrow_keys_move_a_pin_placed_with_the_keyboard_until_esc(hand):
    hand.window.pick_tool("pin")
    drawn = hand.window.bench.drawn
    hand.view.put_caret(drawn.at_in(drawn.view_frame("front"), "leg", [(0.0, 150.0)])[0])
    hand.key(Qt.Key.Key_Space)
    (pin,) = hand.case.pins
    hand.key(Qt.Key.Key_Down)
    assert hand.case.pins[0].level_mm == pin.level_mm + 1
    hand.key(Qt.Key.Key_BracketRight)
    assert hand.case.pins[0].bearing_deg != pin.bearing_deg
    hand.key(Qt.Key.Key_Escape)
    at = hand.view.caret
    hand.key(Qt.Key.Key_Down)
    assert hand.view.caret[1] > at[1]


def test_the_pin_form_shows_the_level_of_the_pin_in_hand(hand):
    pin = hand.pin(level=130.0)
    (form,) = [one for one in hand.window.column.tool.findChildren(NumbersForm) if one.isVisible()]
    assert value_of(form._numbers[0]) == pin.level_mm
    hand.key(Qt.Key.Key_Down)
    assert value_of(form._numbers[0]) == pin.level_mm + 1


def test_sliding_before_letting_go_is_one_undo_step(hand):
    hand.window.pick_tool("pin")
    hand.drag(hand.screen("side", "leg", 0, 120), hand.screen("side", "leg", 0, 180))
    assert hand.case.pins[0].level_mm == pytest.approx(180, abs=2)
    hand.window.document.undo()
    assert hand.case.pins == ()


def test_a_dragged_pin_slides_along_its_bone_and_comes_back_with_undo(hand):
    pin = hand.pin(level=120.0)
    hand.window.pick_tool("select")
    start = hand.solid("front", "leg", pin_path(hand.window.bench.drawn.limb, pin).near_point_mm)
    scale = hand.window.bench.drawn.views[0].scale * hand.view.zoom
    hand.drag(start, start + QPoint(0, 60))
    moved = hand.case.pins[0]
    assert moved.level_mm == pytest.approx(pin.level_mm + 60 / scale, abs=1.5)
    assert moved.offset_mm == pin.offset_mm
    hand.window.document.undo()
    assert hand.case.pins[0] == pin
    hand.window.document.redo()
    assert hand.case.pins[0] == moved


def test_nothing_is_pushed_while_a_drag_runs_and_esc_drops_it(hand):
    pin = hand.pin(level=120.0)
    hand.window.pick_tool("select")
    start = hand.solid("front", "leg", pin_path(hand.window.bench.drawn.limb, pin).near_point_mm)
    before = hand.window.document.undo_text
    hand.press(start)
    hand.move(start + QPoint(0, 50))
    assert hand.shown.pins[0].level_mm > pin.level_mm
    assert hand.case.pins[0] == pin
    hand.key(Qt.Key.Key_Escape)
    hand.release(start + QPoint(0, 50))
    assert hand.shown is hand.case
    assert hand.case.pins[0] == pin
    assert hand.window.document.undo_text == before


def test_with_shift_a_pin_also_moves_sideways(hand):
    pin = hand.pin(level=120.0)
    hand.window.pick_tool("select")
    start = hand.solid("front", "leg", pin_path(hand.window.bench.drawn.limb, pin).near_point_mm)
    hand.drag(start, start + QPoint(25, 0), keys=SHIFT)
    assert abs(hand.case.pins[0].offset_mm) > 5


def test_a_ring_turns_the_pin_where_the_view_shows_it(hand):
    pin = hand.pin(level=120.0)
    path = pin_path(hand.window.bench.drawn.limb, pin)
    hand.window.pick_tool("select")
    hand.window.selection.select(pin.id)
    ring = hand.solid("side", "leg", path.point(path.skin_mm + TURN_OUT_MM))
    hand.drag(ring, ring - QPoint(18, 0))
    turned = hand.case.pins[0]
    assert turned.bearing_deg != pin.bearing_deg
    assert turned.level_mm == pin.level_mm
    assert turned.tilt_deg == 0.0
    new = pin_path(hand.window.bench.drawn.limb, turned)
    assert new.outward[1] < path.outward[1]


def test_a_ring_with_shift_tilts_the_pin(hand):
    pin = hand.pin(level=120.0)
    path = pin_path(hand.window.bench.drawn.limb, pin)
    hand.window.pick_tool("select")
    hand.window.selection.select(pin.id)
    ring = hand.solid("side", "leg", path.point(path.skin_mm + TURN_OUT_MM))
    hand.drag(ring, ring - QPoint(0, 12), keys=SHIFT)
    assert hand.case.pins[0].tilt_deg > 3
    assert hand.case.pins[0].bearing_deg == pin.bearing_deg


def test_a_heel_pin_goes_through_and_needs_the_side_view(hand):
    pin = hand.pin(view="side", segment="hindfoot", u=-22.0, level=25.0)
    assert pin.bone == "calcaneus"
    assert pin.kind == "through"
    count = len(hand.case.pins)
    hand.click(hand.screen("front", "hindfoot", 0.0, 12.0))
    assert len(hand.case.pins) == count
    assert "side view" in hand.window.statusBar().currentMessage()


def test_a_pin_in_the_pin_tools_way_is_taken_hold_of(hand):
    pin = hand.pin(level=120.0)
    start = hand.solid("front", "leg", pin_path(hand.window.bench.drawn.limb, pin).near_point_mm)
    hand.drag(start, start + QPoint(0, 40))
    assert len(hand.case.pins) == 1
    assert hand.case.pins[0].level_mm > pin.level_mm


def test_numbers_are_never_given_twice(hand):
    first = hand.pin(level=100.0)
    hand.window.edits.delete()
    second = hand.pin(level=140.0)
    assert second.number == first.number + 1


def test_a_left_limb_mirrors_the_picture_not_the_numbers(hand):
    right = hand.pin(view="front", level=130.0)
    hand.window.edits.mirror()
    hand.window.edits.delete() if hand.window.selection.subject else None
    left = hand.pin(view="front", level=130.0)
    assert hand.case.side == "left"
    assert (left.bearing_deg, left.diameter_mm) == (right.bearing_deg, right.diameter_mm)
