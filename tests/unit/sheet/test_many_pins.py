"""Sheets with many pins: all of them on page 1, nothing over anything, what goes on is named."""

import pytest
from msgspec.structs import replace

from fixplan.case.records import Case
from fixplan.checks.grouping import grouped
from fixplan.checks.run import check
from fixplan.sheet.pages import Page, compose
from fixplan.sheet.shapes import Text
from fixplan.sheet.statements import brief_words
from fixplan.sheet.wall import MOST_IN_SMALL
from tests.unit.sheet.test_pages import _overlaps, papers
from tests.unit.sheet.test_wall import _many

counts = pytest.mark.parametrize("count", [6, 8, 9, 12, 20, 30, 31])


def composed(count: int, paper: str) -> tuple[Case, tuple[Page, ...]]:
    case = _many(count)
    return case, compose(case, check(case), paper, printed_at="2030-01-02 21:40")


def texts(page: Page, *owners: str) -> list[str]:
    found = (s for owner in owners for s in page.groups.get(owner, ()))
    return [s.text for s in found if isinstance(s, Text)]


@papers
@counts
def test_no_words_lie_on_others(count: int, paper: str) -> None:
    """Of blocks, title and cautions; pins so close together are no drawing to be read."""
    _, pages = composed(count, paper)
    for page in pages:
        words = {
            owner: shapes
            for owner, shapes in page.groups.items()
            if owner.startswith("table:") or owner in ("title-block", "cautions", "header")
        }
        assert _overlaps(replace(page, groups=words)) == []


@papers
@counts
def test_all_pins_are_told_on_the_wall_side(count: int, paper: str) -> None:
    case, pages = composed(count, paper)
    told = {number for page in pages for number in texts(page, "table:wall")}
    if count <= MOST_IN_SMALL:
        assert {str(pin.number) for pin in case.pins} <= told
    over = any(texts(page, "table:wall") for page in pages[1:])
    assert over is ("pins" in " ".join(texts(pages[0], "table:overleaf")))
    assert not over or count == MOST_IN_SMALL


@papers
@counts
def test_what_of_the_wall_side_goes_on_overleaf_is_named(count: int, paper: str) -> None:
    _, pages = composed(count, paper)
    wanted = {
        words
        for owner, words in (
            ("table:order", "build order"),
            ("table:open", "open findings"),
            ("table:kit", "kit to open"),
        )
        if any(texts(page, owner) for page in pages[1:])
    }
    pointer = " ".join(texts(pages[0], "table:overleaf"))
    assert bool(pointer) is bool(wanted)
    assert all(words in pointer for words in wanted)


def _run_on(words: str) -> str:
    return "".join(words.split())


@pytest.mark.parametrize("count", [6, 8])
def test_what_is_open_is_told_in_brief_where_not_all_has_room(count: int) -> None:
    case, pages = composed(count, "A4")
    is_open = [one for one in grouped(check(case)) if one.is_open]
    wall, rest = (_run_on("".join(texts(page, "table:open"))) for page in pages[:2])
    full = _run_on("".join(t for page in pages for t in texts(page, "table:open-full")))
    assert is_open
    assert full
    assert _run_on(brief_words(is_open[0])) in wall
    for one in is_open:
        assert _run_on(brief_words(one)) in wall + rest
        assert _run_on(one.message.rstrip(".")) in full
