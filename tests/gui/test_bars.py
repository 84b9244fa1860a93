"""Bars by sweeping and picking, link bars, clamps, lining up."""

import pytest
from PySide6.QtCore import QPoint

from fixplan.frame.joining import bar_paths
from fixplan.geometry.paths import pin_path


def outside(hand, pin, out_mm=40.0, view="side"):
    """The pixel of a place on a pin outside the skin."""
    path = pin_path(hand.window.bench.drawn.limb, pin)
    return hand.solid(view, path.segment, path.point(path.skin_mm + out_mm))


@pytest.fixture
def two_pins(hand):
    return hand.pin(level=100.0), hand.pin(level=160.0)


def sweep(hand, *pins):
    hand.window.pick_tool("bar")
    hand.drag(*(outside(hand, pin) for pin in pins))
    return hand.case.bars[-1]


def test_sweeping_across_pins_lays_a_bar_on_the_outermost(hand):
    pins = [hand.pin(level=level) for level in (90.0, 130.0, 170.0)]
    bar = sweep(hand, *pins)
    assert [anchor.pin for anchor in bar.anchors] == [pins[0].id, pins[2].id]
    assert bar.also == (pins[1].id,)
    assert all(anchor.out_mm == pytest.approx(40, abs=4) for anchor in bar.anchors)


def test_clamps_appear_by_themselves(hand, two_pins):
    bar = sweep(hand, *two_pins)
    owners = hand.window.bench.drawn.pages[0].groups
    for pin in two_pins:
        assert owners[f"clamp:{bar.id}/{pin.id}"]


def test_picking_two_pins_does_the_same(hand, two_pins):
    hand.window.pick_tool("bar")
    for pin in two_pins:
        hand.click(outside(hand, pin))
    (bar,) = hand.case.bars
    assert [anchor.pin for anchor in bar.anchors] == [pin.id for pin in two_pins]


@pytest.mark.usefixtures("two_pins")
def test_pressing_beside_everything_is_refused_in_words(hand):
    hand.window.pick_tool("bar")
    hand.click(QPoint(5, 5))
    assert hand.case.bars == ()
    assert "press on one of them" in hand.window.statusBar().currentMessage()


def test_a_link_bar_joins_two_bars(hand):
    upper = [hand.pin(level=60.0), hand.pin(level=110.0)]
    lower = [hand.pin(level=240.0), hand.pin(level=300.0)]
    first, second = sweep(hand, *upper), sweep(hand, *lower)
    hand.window.pick_tool("bar")
    hand.drag(middle(hand, first), middle(hand, second))
    link = hand.case.bars[-1]
    assert len(hand.case.bars) == 3
    assert [anchor.bar for anchor in link.anchors] == [first.id, second.id]
    assert bar_paths(hand.case)[link.id].length_mm > 80


def middle(hand, bar):
    path = bar_paths(hand.case)[bar.id]
    (point,) = hand.window.bench.drawn.pose.from_limb("leg", [path.at(20.0)])
    return hand.solid("side", "leg", point)


def test_a_dragged_bar_moves_off_the_skin(hand, two_pins):
    bar = sweep(hand, *two_pins)
    hand.window.pick_tool("select")
    hand.window.selection.select(None)
    start = middle(hand, bar)
    out = outside(hand, two_pins[0], 70.0) - outside(hand, two_pins[0], 50.0)
    hand.drag(start, start + out)
    assert [anchor.out_mm for anchor in hand.case.bars[0].anchors] == pytest.approx(
        [anchor.out_mm + 20 for anchor in bar.anchors], abs=4
    )


def test_one_clamp_is_dragged_along_its_pin(hand, two_pins):
    bar = sweep(hand, *two_pins)
    hand.window.pick_tool("select")
    handle = next(h for h in hand.view.tool.marks().handles if h.frame.view == "side")
    start = hand.pixel(handle.at)
    out = outside(hand, two_pins[0], 75.0) - outside(hand, two_pins[0], 45.0)
    hand.drag(start, start + out)
    moved = hand.case.bars[0].anchors
    assert moved[0].out_mm > bar.anchors[0].out_mm + 20
    assert moved[1] == bar.anchors[1]


def test_lining_up_makes_a_clamp_reach(hand, two_pins):
    bar = sweep(hand, *two_pins)
    third = hand.pin(level=130.0)
    hand.window.edits.turn_on()
    hand.window.edits.turn_on()
    hand.window.edits.line_up()
    path = bar_paths(hand.case)[bar.id]
    joint = next(joint for joint in path.joints if joint.other == third.id)
    assert joint.reaches
    assert hand.case.bars[0].also == (third.id,)


def test_lining_up_without_a_bar_is_refused_in_words(hand):
    hand.pin(level=130.0)
    hand.window.actions_by_name["line_up"].trigger()
    assert "lay one first" in hand.window.said()


def test_deleting_a_pin_takes_the_bars_on_it_along(hand, two_pins):
    sweep(hand, *two_pins)
    hand.window.selection.select(two_pins[0].id)
    hand.window.edits.delete()
    assert hand.case.bars == ()
    hand.window.document.undo()
    assert len(hand.case.bars) == 1
    assert len(hand.case.pins) == 2
