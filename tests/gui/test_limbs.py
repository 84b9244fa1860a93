"""Cases of every limb at the desk: begun by hand, their card, their starting frames."""

from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QMenu

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Bar, Case, PinAnchor
from fixplan.case.ring_records import RingInjury
from fixplan.case.rings import ring_patterns
from fixplan.desk.new_case import KINDS, NewCaseDialog
from fixplan.desk.tools.moves import segment_of
from fixplan.errors import EditError
from fixplan.frame.joining import laid_bars
from fixplan.frame.patterns import patterns
from fixplan.limb.kinds import limb_kind, limb_kinds

ROOT = Path(__file__).parents[2]


@pytest.fixture
def dialog(window, qtbot):
    made = NewCaseDialog(window)
    qtbot.addWidget(made)
    return made


def test_every_limb_that_the_anatomy_holds_is_offered():
    assert set(KINDS) == set(limb_kinds())


def test_an_arm_needs_its_side(dialog):
    dialog.limb.setCurrentIndex(1)
    assert not dialog.start.isEnabled()
    assert dialog.both.isHidden()
    dialog.left.setChecked(True)
    assert dialog.start.isEnabled()
    assert (dialog.case().limb, dialog.case().side) == ("arm", "left")


def test_a_pelvis_may_have_both_sides_and_a_leg_does_not_keep_them(dialog):
    dialog.limb.setCurrentIndex(2)
    assert not dialog.both.isHidden()
    dialog.both.setChecked(True)
    assert dialog.case() == Case(limb="pelvis", side="both")
    dialog.limb.setCurrentIndex(0)
    assert dialog.both.isHidden()
    assert not dialog.start.isEnabled()


@pytest.mark.parametrize(
    ("case", "bends", "sides", "bone"),
    [
        (Case(limb="arm", side="left"), ("elbow_flexion_deg", "wrist_extension_deg"), 2, "radius"),
        (Case(limb="pelvis", side="both"), (), 3, "ilium-left"),
        (Case(limb="leg", side="right"), ("knee_flexion_deg",), 2, "tibia"),
    ],
)
def test_the_card_shows_the_joints_sides_and_bones_of_the_limb(window, case, bends, sides, bone):
    window.document.start(Case(limb="leg", side="left"))
    window.column.limb.refresh()
    window.document.start(case)
    card = window.column.limb
    card.refresh()
    shown = {name for name in card._inputs if name.endswith("_deg")}
    assert shown == set(bends)
    assert card.input_of("side").editor().count() == sides
    assert card.input_of(f"{bone} length") is not None


def test_a_usual_injury_of_the_ring_is_chosen_with_a_new_pelvis(dialog):
    assert dialog.ring.isHidden()
    dialog.limb.setCurrentIndex(2)
    assert not dialog.ring.isHidden()
    dialog.both.setChecked(True)
    dialog.ring.setCurrentIndex(dialog.ring.findData("open-book"))
    assert dialog.case().ring == ring_patterns()["open-book"].ring
    dialog.limb.setCurrentIndex(0)
    dialog.left.setChecked(True)
    assert dialog.case().ring == RingInjury()


def test_what_is_torn_of_a_ring_is_told_on_the_card(window):
    window.document.start(Case(limb="pelvis", side="both"))
    card = window.column.limb
    card.refresh()
    for name, value in (
        ("symphysis", "torn"),
        ("symphysis_mm", 30.0),
        ("back_left", "torn in front"),
    ):
        card.input_of(f"ring {name}").changed(value)
    ring = window.document.case.ring
    assert ring == RingInjury(symphysis="torn", symphysis_mm=30, back_left="torn in front")
    card.refresh()
    assert card.input_of("ring symphysis").editor().currentText() == "torn"
    card.input_of("ring symphysis").changed("intact")
    assert window.document.case.ring.symphysis_mm is None
    window.document.start(Case(limb="arm", side="left"))
    card.refresh()
    assert "ring symphysis" not in card._inputs


def test_an_angle_typed_on_the_card_bends_the_elbow(window):
    window.document.start(Case(limb="arm", side="right"))
    card = window.column.limb
    card.refresh()
    card.input_of("elbow_flexion_deg").changed(60.0)
    assert window.document.case.elbow_flexion_deg == 60.0


@pytest.mark.parametrize("limb", ["leg", "arm", "pelvis"])
def test_the_menu_offers_the_starting_frames_of_the_limb(window, limb):
    window.document.start(Case(limb=limb, side="both" if limb == "pelvis" else "left"))
    menu = window.listed_menus["starting_frame"]
    menu.aboutToShow.emit()
    assert isinstance(menu, QMenu)
    assert [one.text() for one in menu.actions()] == [one.name for one in patterns(limb).values()]


def test_a_frame_is_laid_on_a_pelvis_from_the_menu(window):
    window.document.start(Case(limb="pelvis", side="both"))
    menu = window.listed_menus["starting_frame"]
    menu.aboutToShow.emit()
    menu.actions()[0].trigger()
    assert {pin.bone for pin in window.document.case.pins} == {"ilium-right", "ilium-left"}
    assert len(window.document.case.bars) == 1


def test_an_arm_is_splinted_along_the_forearm_and_a_pelvis_is_not(window):
    window.document.start(Case(limb="arm", side="right"))
    window.edits.add_splint()
    assert window.document.case.supports[-1].segment == "forearm"
    window.document.start(Case(limb="pelvis", side="both"))
    with pytest.raises(EditError, match="for a leg or an arm"):
        window.edits.add_splint()


def test_a_heel_stand_is_for_a_leg(window):
    window.document.start(Case(limb="arm", side="right"))
    with pytest.raises(EditError, match="heel stand is for a leg"):
        window.edits.add_heel_stand()


@pytest.mark.parametrize(
    ("name", "view", "by"),
    [
        ("distal-radius-wrist", "front", QPoint(-30, 0)),
        ("hand-metacarpal", "front", QPoint(30, 0)),
    ],
)
def test_a_bar_of_any_limb_is_dragged(hand, name, view, by):
    hand.window.open_path(ROOT / "sample_cases" / f"{name}.json")
    hand.window.pick_tool("select")
    bar = hand.case.bars[0]
    path = laid_bars(hand.case).paths[bar.id]
    drawn = hand.window.bench.drawn
    frame = drawn.view_frame(view)
    segment = limb_kind(hand.case.limb).standing(hand.case.side)
    posed = np.array([path.at(0.5 * path.joints[1].along_mm)])
    own = drawn.pose.from_limb(segment, posed)
    (at,) = drawn.at_of(frame, segment, own)
    start = hand.pixel(at)
    hand.drag(start, start + by)
    assert hand.window.bench.selection.subject is not None
    assert hand.case.bars[0].anchors != bar.anchors


@pytest.mark.parametrize("limb", ["leg", "arm", "pelvis"])
def test_a_bar_is_dragged_in_the_frame_of_a_segment_that_the_limb_has(limb):
    anchors = (PinAnchor(pin="pin-1", out_mm=30.0), PinAnchor(pin="pin-2", out_mm=30.0))
    bar = Bar(id="bar-1", number=1, anchors=anchors)
    case = Case(limb=limb, side="both" if limb == "pelvis" else "left", bars=(bar,))
    assert segment_of(case, "bar-1", {}) in limb_of_case(case).segments


@pytest.mark.qt_log_ignore("This plugin does not support")
def test_growth_plates_are_asked_of_a_small_patient_by_the_keyboard_too(dialog):
    made = dialog
    made.show()
    made.right.setChecked(True)
    assert not made.growth.isVisible()
    QTest.keyClicks(made.stature, "120")
    assert made.growth.isVisible()
    assert made.case().open_growth_plates is False
    made.growth.setFocus()
    QTest.keyClick(made.growth, Qt.Key.Key_Down)
    assert made.case().open_growth_plates is True
    QTest.keyClick(made.growth, Qt.Key.Key_Down)
    assert made.case().closed_growth_plates is True
    made.stature.clear()
    QTest.keyClicks(made.stature, "175")
    assert not made.growth.isVisible()
    assert made.case().closed_growth_plates is False
