"""How firmly it holds: bars follow a drag, variants are kept, the bent shape over both views."""

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from fixplan.case import edits
from fixplan.case.records import Bar, BarAnchor, Case, Fracture, LimbSize, Pin, PinAnchor
from fixplan.frame.assumed import assumed
from fixplan.frame.hold import quick_hold
from fixplan.sheet.shapes import Line, Text

LEVELS = (70.0, 140.0, 240.0, 310.0)


def framed() -> Case:
    pins = tuple(
        Pin(
            id=f"pin-{n}",
            number=n,
            bone="tibia",
            level_mm=level,
            bearing_deg=120.0,
            diameter_mm=5.0,
        )
        for n, level in enumerate(LEVELS, 1)
    )
    anchors = (PinAnchor(pin="pin-1", out_mm=35.0), PinAnchor(pin="pin-4", out_mm=35.0))
    bar = Bar(id="bar-1", number=1, anchors=anchors, also=("pin-2", "pin-3"))
    broken = Fracture(id="fracture-1", bone="tibia", from_mm=180.0, to_mm=200.0)
    size = LimbSize(stature_mm=1750.0, sex="male", mass_kg=80.0)
    return Case(side="right", size=size, fractures=(broken,), pins=pins, bars=(bar,), last_number=4)


@pytest.fixture
def desk(window):
    window.document.start(framed())
    window.show_recovered()
    return window


def thicker(case: Case) -> Case:
    for pin in case.pins:
        case = edits.change(case, pin.id, diameter_mm=6.0)
    return case


def test_the_bars_say_what_the_frame_model_says(desk):
    rows = desk.column.firmness.bars.rows
    firm = quick_hold(framed()).gaps[0].firmness
    assert [row.value for row in rows] == pytest.approx(list(firm), rel=1e-6)
    assert [row.name for row in rows] == ["Along the bone", "Front-back bend", "Side bend", "Twist"]


def test_the_caution_stays_in_sight_when_the_card_is_folded(desk):
    card = desk.column.firmness
    QTest.mouseClick(card._fold, Qt.MouseButton.LeftButton)
    assert card.is_folded
    assert not card.caution.isHidden()
    assert card.caution.text() == assumed().caution


def test_a_preview_is_followed_and_never_stale(desk):
    before = desk.column.firmness.bars.rows
    desk.document.preview(thicker(desk.document.case))
    if desk.column.watch.is_current:
        assert desk.column.firmness.bars.rows[3].value > before[3].value
    else:
        assert not desk.column.firmness.bars.isEnabled()
    QTest.qWait(400)
    assert desk.column.watch.is_current
    assert desk.column.firmness.bars.isEnabled()
    assert desk.column.firmness.bars.rows[3].value > before[3].value


def test_an_older_result_is_greyed_until_the_new_one_is_there(desk):
    desk.column.watch._last_ms = 1000.0
    desk.document.preview(thicker(desk.document.case))
    assert not desk.column.watch.is_current
    assert not desk.column.firmness.bars.isEnabled()
    QTest.qWait(400)
    assert desk.column.firmness.bars.isEnabled()


def test_the_change_against_the_opened_case_is_told(desk):
    assert {row.change for row in desk.column.firmness.bars.rows} == {"0 %"}
    desk.document.commit("Thicker pins", thicker(desk.document.case))
    QTest.qWait(200)
    changes = [row.change for row in desk.column.firmness.bars.rows]
    assert all(changes[n].startswith("+") for n in (0, 2, 3))


def test_up_to_four_variants_are_kept_side_by_side(desk):
    for _ in range(4):
        QTest.mouseClick(desk.column.firmness.keep_button, Qt.MouseButton.LeftButton)
    card = desk.column.firmness
    assert card.table.columnCount() == 5
    desk.actions_by_name["keep_variant"].trigger()
    assert "let one go" in desk.said()
    QTest.mouseClick(card.let_go_button, Qt.MouseButton.LeftButton)
    assert len(desk.column.watch.kept) == 3


def test_comparing_with_a_kept_variant(desk):
    desk.column.watch.keep()
    desk.document.commit("Thicker pins", thicker(desk.document.case))
    desk.column.watch.compare_with(0)
    QTest.qWait(200)
    assert "against A" in desk.column.firmness.beside
    assert desk.column.firmness.bars.rows[3].change.startswith("+")


def test_the_bent_shape_lies_over_both_views_with_its_factor(desk):
    card = desk.column.firmness
    card._bent.setChecked(True)
    shapes = desk.holding.overlay.item.shapes
    words = [shape.text for shape in shapes if isinstance(shape, Text)]
    assert " ".join(words).count("times as much as") == 2
    boxes = [frame.box for frame in desk.bench.drawn.pages[0].views]
    lines = [shape for shape in shapes if isinstance(shape, Line)]
    for box in boxes:
        assert any(box.x <= line.points[0][0] <= box.right for line in lines)
    for x, y in (point for line in lines for point in line.points):
        assert any(b.x - 1e-6 <= x <= b.right + 1e-6 and y <= b.bottom + 1e-6 for b in boxes)
    card._bent.setChecked(False)
    assert desk.holding.overlay.item.shapes == ()


def test_stress_is_told_by_width_pattern_and_figure(desk):
    card = desk.column.firmness
    desk.document.commit("Pull", replace(desk.document.case, length=pulled(120.0)))
    QTest.qWait(200)
    card._stress.setChecked(True)
    shapes = desk.holding.overlay.item.shapes
    looks = {(s.stroke.width_mm, s.stroke.dash) for s in shapes if isinstance(s, Line)}
    assert len(looks) > 1
    assert any(isinstance(s, Text) and s.text.endswith("MPa") for s in shapes)


def pulled(force_n: float):
    from fixplan.case.records import LengthPlan

    return LengthPlan(traction_n=force_n)


def test_a_loose_frame_gives_no_number_but_names_what_is_loose(desk):
    case = desk.document.case
    short = [
        Bar(
            id=f"bar-{n}",
            number=n,
            anchors=tuple(PinAnchor(pin=f"pin-{x}", out_mm=35.0) for x in pair),
        )
        for n, pair in ((1, (1, 2)), (2, (3, 4)))
    ]
    desk.document.commit("Two short bars", replace(case, bars=tuple(short)))
    QTest.qWait(200)
    assert desk.column.firmness.bars.rows == ()
    assert "free to move" in desk.column.firmness.lead.text()
    link = Bar(
        id="bar-3",
        number=3,
        anchors=(BarAnchor(bar="bar-1", at_mm=40.0), BarAnchor(bar="bar-2", at_mm=30.0)),
    )
    desk.document.commit("A link", replace(case, bars=(*short, link)))
    QTest.qWait(200)
    assert len(desk.column.firmness.bars.rows) == 4


def test_length_typed_in_its_card_stands_on_the_sheet(desk):
    card = desk.column.length
    card._change("shortening_mm", 20.0)
    card._change("correction_mm", 25.0)
    told = [s.text for s in desk.bench.drawn.pages[1].groups["table:hold"] if isinstance(s, Text)]
    assert desk.document.case.length.correction_mm == 25.0
    assert "20 mm short on arrival" in " ".join(told)
    assert "5 mm too long" in " ".join(told)


@pytest.fixture
def spanning(window):
    size = LimbSize(stature_mm=1700.0, sex="female", mass_kg=65.0)
    window.document.start(Case(side="left", size=size))
    window.show_recovered()
    window.lay_frame("knee-spanning")
    QTest.qWait(300)
    return window


def test_ligaments_are_counted_only_where_a_joint_is_spanned(desk):
    assert not desk.column.firmness.joints.isVisibleTo(desk)


def test_counting_ligaments_is_one_edit_and_makes_the_knee_firmer(spanning):
    card = spanning.column.firmness
    assert card.joints.isVisibleTo(spanning)
    before = card.bars.rows[2].value
    QTest.keyClick(card.joints.editor(), Qt.Key.Key_Down)
    QTest.qWait(300)
    assert spanning.document.case.spanned_joints == "braced"
    assert card.bars.rows[2].value > 1.5 * before
    assert "ligaments of the knee count" in card.words.text()
    spanning.document.undo()
    assert spanning.document.case.spanned_joints == "free"
