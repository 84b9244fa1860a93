"""What is drawn does not move the limb on the screen: the next stroke lands where it is aimed."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication

from fixplan.case.records import Case
from fixplan.desk.free_room import WORDS


def begin(hand, case):
    """A new case as the window begins it: the whole limb is shown."""
    hand.window.document.start(case)
    hand.window.show_recovered()
    hand.window.actions_by_name["whole_limb"].trigger()


def marks(hand, segment="leg"):
    """Pixels of two places of a segment in each view: its place and its scale."""
    return [
        hand.screen(view, segment, u, level)
        for view in ("front", "side")
        for u, level in ((0, 50), (0, 250))
    ]


def square(hand, level, half=20.0, view="front", segment="leg"):
    corners = [(-1, -1), (1, -1), (1, 1), (-1, 1)]
    return [hand.screen(view, segment, a * half, level + b * half) for a, b in corners]


def test_a_leg_stands_still_under_every_tool(hand):
    window = hand.window
    begin(hand, Case(side="right"))
    before = marks(hand)
    window.pick_tool("fracture")
    hand.drag(hand.screen("front", "leg", 0, 150), hand.screen("front", "leg", 0, 180))
    assert marks(hand) == before
    hand.drag(hand.screen("front", "leg", 10, 320), hand.screen("front", "leg", 10, 330))
    assert marks(hand) == before
    assert len(hand.case.fractures) == 2
    for tool, level in (("wound", 120.0), ("injury", 160.0)):
        window.pick_tool(tool)
        for pixel in square(hand, level):
            hand.click(pixel)
        hand.key(Qt.Key.Key_Return)
        assert marks(hand) == before, tool
    assert (len(hand.case.wounds), len(hand.case.injuries)) == (1, 1)
    for later_is_line, view in ((False, "front"), (True, "side")):
        window.pick_tool("later")
        window.bench.options.later_is_line = later_is_line
        for pixel in square(hand, 230.0, 12.0, view)[: 2 if later_is_line else 4]:
            hand.click(pixel)
        hand.key(Qt.Key.Key_Return)
        assert marks(hand) == before, view
    assert len(hand.case.candidates) == 2
    for level in (60.0, 260.0):
        hand.pin(level=level)
        assert marks(hand) == before
    window.edits.undo()
    window.edits.undo()
    assert marks(hand) == before
    assert not hand.case.pins


@pytest.mark.parametrize(
    ("case", "segment", "frames"),
    [
        (Case(side="left"), "leg", ("knee-spanning", "ankle-delta")),
        (Case(side="right"), "hindfoot", ("foot-columns", "foot-columns-leg")),
        (Case(limb="arm", side="right"), "forearm", ("wrist-spanning",)),
        (Case(limb="pelvis", side="both"), "hemipelvis-right", ("pelvis-low", "pelvis-crest")),
    ],
)
def test_a_starting_frame_leaves_the_limb_where_it_is(hand, case, segment, frames):
    begin(hand, case)
    before = marks(hand, segment)
    for pattern in frames:
        hand.window.lay_frame(pattern)
        assert hand.case.bars, pattern
        assert marks(hand, segment) == before, pattern
        hand.window.edits.undo()


def test_a_printed_part_keeps_its_place_until_it_is_asked_to_be_laid_out(hand):
    begin(hand, Case(side="right"))
    before = marks(hand)
    hand.pin(level=100.0)
    hand.window.actions_by_name["whole_limb"].trigger()
    part, told = marks(hand), hand.window.status
    assert part != before
    assert told._part.text() == "part as printed"
    hand.pin(level=160.0)
    hand.pin(level=220.0, view="front", u=20.0)
    assert marks(hand) == part
    assert told._part.text() == "part keeps its place"
    hand.window.actions_by_name["fit"].trigger()
    assert told._part.text() == "part as printed"
    assert marks(hand) != part
    printed = hand.window.bench.drawn.views
    hand.window.bench.lay_anew()
    assert hand.window.bench.drawn.views == printed


def test_the_column_is_as_wide_whatever_it_shows(hand):
    begin(hand, Case(limb="arm", side="left"))
    column = hand.window.column
    before = (column.width(), marks(hand, "forearm"))
    hand.pin(segment="forearm", level=150.0)
    for shown in (
        hand.window.edit_limb,
        column.show_firmness,
        lambda: hand.window.pick_tool("wound"),
        lambda: hand.window.selection.select(hand.case.pins[0].id),
    ):
        shown()
        QApplication.processEvents()
        assert (column.width(), marks(hand, "forearm")) == before
        inner = column._area.viewport().width()
        assert column._cards.minimumSizeHint().width() <= inner


def test_a_message_covers_no_words_where_the_sheet_has_room(hand):
    begin(hand, Case(side="right"))
    strip, seen = hand.window.strip, hand.view.seen()
    strip.say("The frame that was there gave way to this one. " * 3, offers_undo=True)
    corner = hand.view.viewport().mapFromGlobal(strip.mapToGlobal(QPoint(0, 0)))
    left, top = corner.x(), corner.y()
    room, boxes = seen
    assert 0 <= left <= left + strip.width() <= room.width()
    assert 0 <= top <= top + strip.height() <= room.height()
    words = boxes[boxes[:, 4] == WORDS]
    apart = (
        (words[:, 2] < left)
        | (words[:, 0] > left + strip.width())
        | (words[:, 3] < top)
        | (words[:, 1] > top + strip.height())
    )
    assert apart.all()


def test_the_key_for_the_other_side_mirrors_case_and_sheet(hand):
    pin = hand.pin(level=120.0)
    hand.key(Qt.Key.Key_M, Qt.KeyboardModifier.ControlModifier)
    assert hand.case.side == "left"
    assert hand.case.pins[0] == pin
    assert [frame.mirror for frame in hand.window.bench.drawn.views] == [1, -1]
    hand.key(Qt.Key.Key_M, Qt.KeyboardModifier.ControlModifier)
    assert hand.case.side == "right"
