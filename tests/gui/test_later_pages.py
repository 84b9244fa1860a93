"""While a pin is dragged, a page that nobody sees waits; at the end it is up to date."""

from pathlib import Path

from PySide6.QtCore import QPoint

from fixplan.sheet.shapes import Text
from tests.gui.conftest import Hand

SAMPLE = Path(__file__).parents[2] / "sample_cases" / "open-tibial-shaft.json"


def words_of(page) -> list[str]:
    return [s.text for shapes in page.groups.values() for s in shapes if isinstance(s, Text)]


def dragged(window, pages: list) -> None:
    """Drag pin 1 some 20 mm down, noting the pages in the middle of the drag."""
    hand = Hand(window)
    pin = window.document.case.pins[0]
    from fixplan.geometry.paths import pin_path

    path = pin_path(window.bench.drawn.limb, pin)
    start = hand.solid("front", "leg", path.near_point_mm)
    hand.press(start)
    pages.append(window.bench.drawn.pages)
    for step in (8, 16, 24):
        hand.move(start + QPoint(0, step))
    pages.append(window.bench.drawn.pages)
    hand.release(start + QPoint(0, 24))


def test_a_page_out_of_sight_waits_for_the_end_of_a_drag(window) -> None:
    window.open_path(SAMPLE)
    window.view.fit()
    seen: list = []
    dragged(window, seen)
    before, during = seen
    assert len(before) > 1
    assert during[0] is not before[0]
    assert during[1] is before[1]
    after = window.bench.drawn.pages
    assert after[1] is not before[1]
    assert words_of(after[1]) != words_of(before[1])


def test_a_page_in_sight_follows_the_drag(window) -> None:
    window.open_path(SAMPLE)
    window.view.fit()
    window.view.zoom_by(0.4)
    seen: list = []
    dragged(window, seen)
    before, during = seen
    assert during[1] is not before[1]
