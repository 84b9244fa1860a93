"""Pages for who takes over: what changed stands first, the old frame is drawn beneath the new."""

import pytest
from msgspec.structs import replace

from fixplan.case import edits
from fixplan.case.built_records import Talk
from fixplan.case.records import Case
from fixplan.checks.run import check
from fixplan.notes.built_page import built_pages
from fixplan.notes.handover import Earlier, change_lines, phone_pages, unit_pages
from fixplan.notes.one_page import PHONE
from fixplan.notes.section import Told
from fixplan.sheet.fonts import text_width_mm
from fixplan.sheet.paper import Page
from fixplan.sheet.shapes import Polygon, Text
from tests.unit.notes.test_built import mark


@pytest.fixture
def moved(tibia: Case) -> Case:
    changed = edits.slide_pin(tibia, "pin-2", -18.0)
    talk = Talk(discussed_with="vascular surgeon on call", agreed_at="21:40", agreed="frame first")
    return edits.change_case(changed, talks=(talk,))


def told(case: Case) -> Told:
    return Told(case=case, findings=check(case), dated="2030-01-02")


def earlier(case: Case) -> Earlier:
    return Earlier(case=case, findings=check(case))


def words(pages: tuple[Page, ...]) -> str:
    return " ".join(s.text for page in pages for s in page.shapes() if isinstance(s, Text))


def test_the_page_tells_what_changed_and_with_whom_it_was_agreed(tibia: Case, moved: Case) -> None:
    found = words(unit_pages(told(moved), earlier(tibia)))
    for must in (
        "RIGHT",
        "Pin 2: 18 mm further proximal",
        "DIAGNOSIS",
        "PINS",
        "CHECKS",
        "Discussed with vascular surgeon on call, agreed at 21:40: frame",
        "Taken over by:",
        "not a medical device",
    ):
        assert must in found


def test_nothing_changed_is_said(tibia: Case) -> None:
    assert change_lines(told(tibia), earlier(tibia)) == ("Nothing was changed.",)


def test_the_old_pin_lies_grey_and_dashed_beneath_the_new(tibia: Case, moved: Case) -> None:
    page = unit_pages(told(moved), earlier(tibia))[0]
    owners = list(page.groups)
    assert owners.index("was:pin-2") < owners.index("pin-2")
    assert "was:pin-3" not in page.groups
    old = [s for s in page.groups["was:pin-2"] if isinstance(s, Polygon)]
    assert {s.stroke.dash for s in old} == {"dash"}
    assert {s.fill for s in old} == {None}


def test_another_side_is_not_drawn_over(tibia: Case) -> None:
    other = edits.mirrored(tibia)
    pages = unit_pages(told(other), earlier(tibia))
    assert not [owner for page in pages for owner in page.groups if owner.startswith("was:")]
    assert "The plan is for the left leg, was right leg" in words(pages)


def test_no_text_leaves_the_page(any_case: Case) -> None:
    for pages in (unit_pages(told(any_case), None), phone_pages(told(any_case), None)):
        for page in pages:
            for text in [s for s in page.shapes() if isinstance(s, Text) and s.align == "left"]:
                wide = text_width_mm(text.text, text.size_mm, text.bold, text.italic)
                assert -0.5 <= text.at[0] <= page.width_mm - wide + 0.5, text.text
                assert 0 <= text.at[1] <= page.height_mm, text.text


def test_the_telephones_picture_is_one_tall_page_with_large_words(moved: Case) -> None:
    (page,) = phone_pages(told(moved), earlier(moved))
    assert (page.width_mm, page.height_mm) == (108.0, 192.0)
    lines = [s for s in page.shapes() if isinstance(s, Text) and s.owner.startswith("section:")]
    assert min(s.size_mm for s in lines) >= min(PHONE.text_mm, 3.0)


def test_what_has_no_room_on_the_telephone_is_said(moved: Case) -> None:
    many = replace(moved, talks=tuple(Talk(discussed_with=f"role {n}") for n in range(20)))
    assert "More in the case notes" in words(phone_pages(told(many), None))


def test_the_page_as_built_has_a_blank_for_each_lot_label(tibia: Case) -> None:
    pages = built_pages(told(mark(tibia)))
    found = words(pages)
    for must in ("lot labels", "Built as drawn: plan", "half-pin 5 mm, 150 mm", "Counted by:"):
        assert must in found
    labels = [s for s in pages[-1].groups["labels"] if isinstance(s, Polygon)]
    assert len(labels) == 1
    wide = max(x for x, _ in labels[0].points) - min(x for x, _ in labels[0].points)
    assert wide >= 50.0
