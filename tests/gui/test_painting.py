"""Painting: nothing breaks over thousands of repaints; only what changed is replaced."""

import os
import subprocess
import sys

import pytest
from PySide6.QtCore import QPoint, QRectF, Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QStyleOptionGraphicsItem

from fixplan.geometry.paths import pin_path


def test_ten_thousand_repaints_in_one_process(hand):
    """Some releases of the Qt binding lose a reference to None at each call and then abort."""
    pin = hand.pin(level=120.0)
    item = hand.view._sheet_scene().shapes_item(pin.id)
    image = QImage(40, 40, QImage.Format.Format_ARGB32_Premultiplied)
    option = QStyleOptionGraphicsItem()
    painter = QPainter(image)
    references = sys.getrefcount(None)
    for _ in range(10_000):
        item.paint(painter, option, None)
        item.boundingRect()
    painter.end()
    assert references - sys.getrefcount(None) < 1000


def test_the_whole_view_repaints_hundreds_of_times(hand):
    hand.pin(level=120.0)
    references = sys.getrefcount(None)
    for _ in range(200):
        hand.view.viewport().repaint()
    assert references - sys.getrefcount(None) < 1000


def items(hand):
    scene = hand.view._sheet_scene()
    return {key: item.shapes for key, item in scene._items.items()}


def test_a_moved_pin_replaces_its_own_items_and_leaves_the_limb(hand):
    for level in (100.0, 130.0, 160.0):
        hand.pin(level=level)
    pin = hand.case.pins[1]
    hand.window.pick_tool("select")
    before = items(hand)
    start = hand.solid("front", "leg", pin_path(hand.window.bench.drawn.limb, pin).near_point_mm)
    hand.press(start)
    hand.move(start + QPoint(0, 6))
    hand.move(start + QPoint(0, 10))
    after = items(hand)
    assert after[0, "limb"] is before[0, "limb"]
    assert after[0, hand.case.pins[0].id] is before[0, hand.case.pins[0].id]
    assert after[0, pin.id] is not before[0, pin.id]
    assert hand.shown.pins[1].level_mm > pin.level_mm
    hand.key(Qt.Key.Key_Escape)
    assert items(hand)[0, pin.id] == before[0, pin.id]


def test_the_views_stay_where_they_are_while_a_drag_runs(hand):
    pin = hand.pin(level=120.0)
    hand.pin(level=160.0)
    hand.window.pick_tool("select")
    views = hand.window.bench.drawn.views
    start = hand.solid("front", "leg", pin_path(hand.window.bench.drawn.limb, pin).near_point_mm)
    hand.press(start)
    hand.move(start + QPoint(0, 5))
    hand.move(start + QPoint(0, 90))
    assert hand.window.bench.drawn.views == views
    hand.release(start + QPoint(0, 90))


def test_every_item_paints_inside_its_own_bounds(hand):
    """What is painted outside an item's bounds would be left behind on the screen."""
    hand.window.edits.add_fracture("tibia", 150.0, 40.0)
    hand.window.lay_frame("per-fragment")
    scene = hand.view._sheet_scene()
    outside = []
    for (_, owner), item in scene._items.items():
        bounds = item.boundingRect()
        margin = 6.0
        grown = bounds.adjusted(-margin, -margin, margin, margin)
        scale = 6.0
        image = QImage(
            int(grown.width() * scale) + 1,
            int(grown.height() * scale) + 1,
            QImage.Format.Format_ARGB32_Premultiplied,
        )
        image.fill(0)
        painter = QPainter(image)
        painter.scale(scale, scale)
        painter.translate(-grown.left(), -grown.top())
        painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_SourceOver)
        item.paint(painter, QStyleOptionGraphicsItem(), None)
        painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_Clear)
        painter.fillRect(QRectF(bounds), Qt.GlobalColor.transparent)
        painter.end()
        blank = QImage(image.size(), image.format())
        blank.fill(0)
        if image != blank:
            outside.append(owner)
    assert outside == []


SCALED = """
import sys
from PySide6.QtWidgets import QApplication, QWidget, QAbstractButton, QLabel
from fixplan.case.records import Case
from fixplan.desk.running import Desk
desk = Desk()
window = desk.new_window()
window.resize({width}, {height})
window.show()
window.document.start(Case(side="right"))
window.show_recovered()
window.edits.add_pin("tibia", 120.0)
for _ in range(5):
    QApplication.processEvents()
clipped = [
    widget.text()
    for widget in window.findChildren(QAbstractButton)
    if widget.isVisible() and widget.text() and widget.width() < widget.sizeHint().width() - 2
]
page = window.bench.drawn.pages[0]
fits = window.view.zoom * page.width_mm <= window.view.viewport().width() + 1
print(window.devicePixelRatioF(), clipped, fits, window.width(), window.height())
"""


@pytest.mark.parametrize(
    ("factor", "width", "height"),
    [("1", 1280, 800), ("1", 2560, 1440), ("1.5", 1280, 800), ("2", 1280, 720)],
)
def test_nothing_is_clipped_at_any_scale(factor, width, height):
    environment = os.environ | {"QT_SCALE_FACTOR": factor, "QT_QPA_PLATFORM": "offscreen"}
    code = SCALED.format(width=width, height=height)
    answer = subprocess.run(
        [sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=False
    )
    assert answer.returncode == 0, answer.stderr
    assert answer.stdout.split() == [str(float(factor)), "[]", "True", str(width), str(height)], (
        answer.stdout
    )


def test_a_case_opened_before_the_window_shows_shares_the_width_as_later(make_window, hand):
    """The window has its true size only once it is shown."""
    from fixplan.case.records import Case

    window = make_window()
    window.hide()
    window.document.start(Case(side="right"))
    window.show_recovered()
    window.show()
    assert window._split.sizes()[1] == pytest.approx(hand.window._split.sizes()[1], abs=2)
    page = window.bench.drawn.pages[0]
    assert window.view.zoom * page.width_mm <= window.view.viewport().width() + 1
