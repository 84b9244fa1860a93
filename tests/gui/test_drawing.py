"""Fracture, wound, injury and later fixation by mouse."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox

from fixplan.case.records import Case, LimbSize
from fixplan.desk.handles import handles_of


def ring(hand, view="front", segment="leg", u=0.0, level=150.0, half=25.0):
    """Pixels of a square round a place."""
    corners = [(-1, -1), (1, -1), (1, 1), (-1, 1)]
    return [hand.screen(view, segment, u + a * half, level + b * half) for a, b in corners]


def draw(hand, pixels):
    for pixel in pixels:
        hand.click(pixel)
    hand.key(Qt.Key.Key_Return)


def test_a_drag_along_the_bone_marks_a_fracture(hand):
    hand.window.pick_tool("fracture")
    hand.drag(hand.screen("front", "leg", 0, 150), hand.screen("front", "leg", 0, 200))
    (fracture,) = hand.case.fractures
    assert fracture.bone == "tibia"
    assert fracture.from_mm == pytest.approx(150, abs=2)
    assert fracture.to_mm == pytest.approx(200, abs=2)
    assert hand.window.selection.subject == fracture.id


@pytest.mark.parametrize(
    ("case", "segment", "bone"),
    [
        (Case(side="right", size=LimbSize(stature_mm=1800, sex="male")), "thigh", "femur"),
        (Case(side="left", knee_flexion_deg=30.0), "thigh", "femur"),
        (Case(limb="arm", side="right"), "upper-arm", "humerus"),
        (Case(limb="arm", side="left", elbow_flexion_deg=60.0), "forearm", "radius"),
    ],
)
def test_the_first_fracture_of_a_case_stays_under_the_mouse(hand, case, segment, bone):
    hand.window.document.start(case)
    hand.window.show_recovered()
    hand.window.whole_limb()
    hand.window.pick_tool("fracture")
    known = hand.window.bench.drawn.limb.bones[bone]
    level = round(0.5 * (known.from_mm + known.to_mm))
    (u, *_) = (
        u
        for u in range(-60, 60, 3)
        if hand.window.bench.drawn.bone_at(at(hand, "side", segment, u, level)) == bone
    )
    start = hand.screen("side", segment, u, level)
    hand.press(start)
    after = hand.screen("side", segment, u, level)
    assert (after - start).manhattanLength() <= 1
    end = hand.screen("side", segment, u, level + 25)
    hand.move(end)
    hand.release(end)
    (fracture,) = hand.case.fractures
    assert (fracture.from_mm, fracture.to_mm) == pytest.approx((level, level + 25), abs=3)


def at(hand, view, segment, u, level):
    return hand.view.place_at(
        hand.screen(view, segment, u, level).toPointF(), Qt.KeyboardModifier(0)
    )


def test_a_fracture_ends_where_its_bone_does(hand):
    hand.window.pick_tool("fracture")
    hand.drag(hand.screen("front", "leg", 0, 40), hand.screen("front", "leg", 0, -120))
    assert hand.case.fractures[0].from_mm == hand.window.bench.drawn.limb.bones["tibia"].from_mm


def test_dragging_upwards_marks_the_same_fracture(hand):
    hand.window.pick_tool("fracture")
    hand.drag(hand.screen("front", "leg", 0, 200), hand.screen("front", "leg", 0, 150))
    assert hand.case.fractures[0].from_mm == pytest.approx(150, abs=2)
    assert hand.case.fractures[0].to_mm == pytest.approx(200, abs=2)


def test_a_click_marks_a_short_fracture(hand):
    hand.window.pick_tool("fracture")
    hand.click(hand.screen("side", "thigh", 0, 250))
    (fracture,) = hand.case.fractures
    assert fracture.bone == "femur"
    assert fracture.from_mm < 250 < fracture.to_mm


def test_a_fracture_begun_beside_the_bone_is_refused_in_words(hand):
    hand.window.pick_tool("fracture")
    hand.click(QPoint(5, 5))
    assert hand.case.fractures == ()
    assert "on a bone" in hand.window.statusBar().currentMessage()


def test_a_fractures_end_can_be_dragged(hand):
    hand.window.pick_tool("fracture")
    hand.drag(hand.screen("front", "leg", 0, 150), hand.screen("front", "leg", 0, 200))
    hand.window.pick_tool("select")
    end = next(
        handle
        for handle in hand.view.tool.marks().handles
        if handle.number == 1 and handle.frame.view == "front"
    )
    start = hand.pixel(end.at)
    hand.drag(start, start + QPoint(0, 40))
    assert hand.case.fractures[0].to_mm > 215
    assert hand.case.fractures[0].from_mm == pytest.approx(150, abs=2)


def test_an_end_cannot_pass_the_other(hand):
    hand.window.pick_tool("fracture")
    hand.drag(hand.screen("front", "leg", 0, 150), hand.screen("front", "leg", 0, 200))
    hand.window.pick_tool("select")
    end = next(handle for handle in hand.view.tool.marks().handles if handle.number == 1)
    start = hand.pixel(end.at)
    hand.drag(start, start - QPoint(0, 200))
    assert hand.case.fractures[0].to_mm > hand.case.fractures[0].from_mm


def test_points_and_enter_draw_an_injury(hand):
    hand.window.pick_tool("injury")
    draw(hand, ring(hand))
    (injury,) = hand.case.injuries
    assert injury.segment == "leg"
    assert injury.grade == "open"
    assert len(injury.front) == 4
    assert injury.side == ()
    assert max(v for _, v in injury.front) == pytest.approx(175, abs=2)


def test_a_click_on_the_first_point_closes_it(hand):
    hand.window.pick_tool("injury")
    pixels = ring(hand)
    for pixel in [*pixels, pixels[0]]:
        hand.click(pixel)
    assert len(hand.case.injuries) == 1
    assert len(hand.case.injuries[0].front) == 4


def test_a_double_click_closes_it(hand):
    hand.window.pick_tool("injury")
    pixels = ring(hand)
    for pixel in pixels:
        hand.click(pixel)
    hand.double_click(pixels[-1])
    assert len(hand.case.injuries[0].front) == 4


def test_the_second_view_joins_the_selected_injury(hand):
    hand.window.pick_tool("injury")
    draw(hand, ring(hand, view="front"))
    draw(hand, ring(hand, view="side", half=20))
    (injury,) = hand.case.injuries
    assert len(injury.front) == 4
    assert len(injury.side) == 4
    hand.window.bench.show_whole_limb(True)
    draw(hand, ring(hand, view="side", level=320, half=20))
    assert len(hand.case.injuries) == 2


def test_the_grade_is_what_the_card_says(hand):
    hand.window.pick_tool("injury")
    hand.window.bench.options.grade = "bruised"
    draw(hand, ring(hand))
    assert hand.case.injuries[0].grade == "bruised"


def test_a_crossing_outline_is_refused_and_nothing_is_drawn(hand):
    hand.window.pick_tool("injury")
    a, b, c, d = ring(hand)
    draw(hand, [a, c, b, d])
    assert hand.case.injuries == ()
    assert hand.window.statusBar().currentMessage()


def test_two_points_are_too_few(hand):
    hand.window.pick_tool("injury")
    draw(hand, ring(hand)[:2])
    assert hand.case.injuries == ()
    assert "at least 3" in hand.window.statusBar().currentMessage()


def test_backspace_takes_the_last_point_back_and_esc_all(hand):
    hand.window.pick_tool("injury")
    pixels = ring(hand)
    hand.click(QPoint(pixels[0].x() + 60, pixels[0].y() - 30))
    hand.key(Qt.Key.Key_Backspace)
    draw(hand, pixels)
    assert len(hand.case.injuries[0].front) == 4
    hand.click(pixels[0])
    hand.key(Qt.Key.Key_Escape)
    hand.key(Qt.Key.Key_Return)
    assert len(hand.case.injuries) == 1


def handles(hand, kind, view="front"):
    return [
        handle
        for handle in hand.view.tool.marks().handles
        if handle.kind == kind and handle.frame.view == view
    ]


def test_points_can_be_moved_added_and_taken_away(hand):
    hand.window.pick_tool("injury")
    draw(hand, ring(hand))
    hand.window.pick_tool("select")
    corner = hand.pixel(handles(hand, "vertex")[2].at)
    hand.drag(corner, corner + QPoint(20, 20))
    moved = hand.case.injuries[0].front
    assert moved[2][1] > 180
    assert len(moved) == 4
    between = hand.pixel(handles(hand, "between")[0].at)
    hand.drag(between, between - QPoint(0, 15))
    assert len(hand.case.injuries[0].front) == 5
    hand.double_click(hand.pixel(handles(hand, "vertex")[1].at))
    assert len(hand.case.injuries[0].front) == 4


def test_a_point_cannot_be_dragged_across_the_outline(hand):
    hand.window.pick_tool("injury")
    draw(hand, ring(hand))
    before = hand.case.injuries[0].front
    hand.window.pick_tool("select")
    corner = hand.pixel(handles(hand, "vertex")[0].at)
    b, c = (hand.pixel(handles(hand, "vertex")[index].at) for index in (1, 2))
    beyond = QPoint(b.x() + (b.x() - corner.x()) // 2, (b.y() + c.y()) // 2)
    hand.press(corner)
    hand.move(corner + QPoint(3, 3))
    hand.move(beyond)
    assert "cross" in hand.window.statusBar().currentMessage()
    hand.release(beyond)
    assert len(hand.case.injuries[0].front) == len(before)
    corner_after = hand.case.injuries[0].front[0]
    assert all(abs(a - b) < 15 for a, b in zip(corner_after, before[0], strict=True))


def test_an_outline_is_moved_as_a_whole_by_its_inside(hand):
    hand.window.pick_tool("injury")
    draw(hand, ring(hand, level=150))
    hand.window.pick_tool("select")
    hand.window.selection.select(None)
    inside = hand.screen("front", "leg", 12, 160)
    hand.drag(inside, inside + QPoint(0, 30))
    levels = [v for _, v in hand.case.injuries[0].front]
    assert max(levels) - min(levels) == pytest.approx(50, abs=2)
    assert min(levels) > 140


def test_a_wound_lies_on_the_face_and_of_the_kind_chosen(hand):
    hand.window.pick_tool("wound")
    hand.window.bench.options.wound = "skin loss"
    hand.window.bench.options.face = "far"
    draw(hand, ring(hand, view="side"))
    (wound,) = hand.case.wounds
    assert (wound.kind, wound.face, wound.view) == ("skin loss", "far", "side")
    assert len(wound.outline) == 4


def test_the_further_face_is_shown_by_every_tool_and_does_not_outlive_its_case(hand):
    hand.window.pick_tool("later")
    hand.window.pick_tool("wound")
    card = hand.window.column.tool
    faces = [box for box in card.findChildren(QComboBox) if box.findText("further face") >= 0]
    assert len(faces) == 2
    shown = next(box for box in faces if box.isVisible())
    shown.setFocus()
    QTest.keyClick(shown, Qt.Key.Key_Down)
    assert hand.window.bench.options.face == "far"
    assert [box.currentText() for box in faces] == ["further face", "further face"]
    hand.window.bench.document.start(Case(side="left"))
    assert hand.window.bench.options.face == "near"
    assert [box.currentText() for box in faces] == ["nearer face", "nearer face"]


def test_a_fasciotomy_is_a_line(hand):
    hand.window.pick_tool("wound")
    hand.window.bench.options.wound = "fasciotomy line"
    draw(hand, ring(hand)[:2])
    (wound,) = hand.case.wounds
    assert len(wound.line) == 2
    assert wound.outline == ()


def test_a_free_outline_and_an_incision_for_later(hand):
    hand.window.pick_tool("later")
    draw(hand, ring(hand))
    hand.window.bench.options.later_is_line = True
    draw(hand, ring(hand)[:2])
    kinds = [candidate.kind for candidate in hand.case.candidates]
    assert kinds == ["free outline", "incision"]


def test_a_preset_stands_beside_those_there_are(hand):
    from fixplan.frame.presets import presets_of

    hand.window.pick_tool("later")
    listed = hand.window.column.tool.findChild(object, "presets")
    for row in (0, 1):
        item = listed.item(row)
        hand.window.edits.add_preset(item.data(Qt.ItemDataRole.UserRole))
    assert len(hand.case.candidates) == 2
    assert listed.count() == len(presets_of(hand.window.bench.drawn.limb))


def test_a_plates_end_is_dragged_by_its_handle(hand):
    hand.window.edits.add_preset(first_plate())
    plate = hand.case.candidates[0].parts[0]
    drawn = hand.window.bench.drawn
    end = next(
        handle
        for handle in handles_of(hand.case.candidates[0], drawn)
        if handle.part == "0:" and handle.number == 1 and handle.frame.view == "front"
    )
    start = hand.pixel(end.at)
    hand.drag(start, start + QPoint(0, 25))
    moved = hand.case.candidates[0].parts[0]
    assert moved.to_mm > plate.to_mm + 10
    assert moved.from_mm == plate.from_mm


def first_plate():
    from fixplan.frame.presets import presets

    return next(preset.id for preset in presets() if preset.plates)
