"""Outlines by one sweep of the hand, and a zone's outline in its other view by one key."""

import math

import pytest
from PySide6.QtCore import Qt

from fixplan.desk.tools.outline import SWEEP_TOLERANCE_MM
from fixplan.geometry.validity import polygon_problem


def loop(hand, view="front", level=150.0, radius=30.0, turns=1.0):
    """Pixels round a circle on the leg."""
    steps = [2 * math.pi * turns * n / 24 for n in range(24)]
    return [
        hand.screen(view, "leg", radius * math.cos(a), level + radius * math.sin(a)) for a in steps
    ]


def test_one_sweep_draws_a_simple_outline(hand):
    hand.window.pick_tool("injury")
    hand.drag(*loop(hand))
    (injury,) = hand.case.injuries
    assert hand.window.selection.subject == injury.id
    assert 6 <= len(injury.front) <= 24
    assert polygon_problem(injury.front) is None
    for u, v in injury.front:
        assert math.hypot(u, v - 150) == pytest.approx(30, abs=2 + SWEEP_TOLERANCE_MM)


def test_a_second_sweep_in_the_other_view_joins_it_and_undo_takes_one_back(hand):
    hand.window.pick_tool("injury")
    hand.drag(*loop(hand))
    hand.drag(*loop(hand, view="side"))
    (injury,) = hand.case.injuries
    assert injury.front
    assert injury.side
    hand.window.document.undo()
    assert hand.case.injuries[0].side == ()


def test_the_drawing_holds_still_while_the_hand_sweeps(hand):
    hand.window.pick_tool("injury")
    first, *others = loop(hand)
    views = hand.window.bench.drawn.views
    hand.press(first)
    for pixel in others:
        hand.move(pixel)
        assert hand.window.bench.drawn.views == views
    assert len(hand.view.tool.marks().trail) > 10
    hand.release(others[-1])


def test_esc_drops_a_sweep(hand):
    hand.window.pick_tool("injury")
    first, *others = loop(hand)
    hand.press(first)
    for pixel in others:
        hand.move(pixel)
    hand.key(Qt.Key.Key_Escape)
    hand.release(others[-1])
    assert hand.case.injuries == ()


def test_a_sweep_that_crosses_itself_keeps_what_it_goes_round(hand):
    hand.window.pick_tool("injury")
    hand.drag(*loop(hand, turns=1.2))
    assert polygon_problem(hand.case.injuries[0].front) is None


def test_a_sweep_round_nothing_is_refused_in_words(hand):
    hand.window.pick_tool("injury")
    hand.drag(hand.screen("front", "leg", 0, 100), hand.screen("front", "leg", 0, 200))
    assert hand.case.injuries == ()
    assert "round" in hand.window.statusBar().currentMessage()


def test_a_fasciotomy_line_is_swept(hand):
    hand.window.pick_tool("wound")
    hand.window.bench.options.wound = "fasciotomy line"
    hand.drag(hand.screen("side", "leg", 5, 80), hand.screen("side", "leg", 5, 250))
    (wound,) = hand.case.wounds
    assert len(wound.line) == 2
    assert wound.line[-1][1] - wound.line[0][1] == pytest.approx(170, abs=3)


def test_o_draws_the_other_view_across_the_limb_at_the_same_levels(hand):
    hand.window.pick_tool("injury")
    hand.drag(*loop(hand))
    hand.key(Qt.Key.Key_O)
    (injury,) = hand.case.injuries
    levels = [v for _, v in injury.front]
    assert min(v for _, v in injury.side) == pytest.approx(min(levels))
    assert max(v for _, v in injury.side) == pytest.approx(max(levels))
    skin = hand.window.bench.drawn.limb.skin_outline("leg", "side")
    near = skin[abs(skin[:, 1] - 150) < 15]
    assert min(u for u, _ in injury.side) <= near[:, 0].min()
    assert max(u for u, _ in injury.side) >= near[:, 0].max()


def test_o_without_a_zone_says_what_to_select(hand):
    hand.window._run_command("other_view")
    assert "Select an injury" in hand.window.said()


def test_a_sweep_of_the_metatarsals_is_of_the_forefoot_though_it_begins_behind_it(hand):
    hand.window.pick_tool("injury")
    ring = [(46.0, 45.0), (-45.0, 45.0), (-50.0, 140.0), (50.0, 140.0), (46.0, 45.0)]
    hand.drag(*(hand.screen("front", "hindfoot", u, v) for u, v in ring))
    (injury,) = hand.case.injuries
    assert injury.segment == "forefoot"
    before = hand.window.bench.drawn.pose.uv_of("hindfoot", "front", ring[:4])
    now = hand.window.bench.drawn.pose.uv_of("forefoot", "front", injury.front)
    assert sorted(u for u, _ in now) == pytest.approx(sorted(u for u, _ in before), abs=3)
    assert max(v for _, v in now) == pytest.approx(max(v for _, v in before), abs=3)
