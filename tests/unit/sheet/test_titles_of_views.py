"""Titles over the views: apart from each other, from the key, and from what is drawn."""

from itertools import combinations

import pytest

from fixplan.case.records import Case, Fracture, LimbSize
from fixplan.checks.finding import Finding
from fixplan.checks.run import check, judge_pin
from fixplan.frame.starting import lay_frame
from fixplan.notes.steps import step_shapes
from fixplan.sheet.box import Box, box_round, touches
from fixplan.sheet.limb_picture import view_words
from fixplan.sheet.pages import compose
from fixplan.sheet.picture import TITLE_BASE_MM, TITLE_TEXT_MM, beside_titles, elsewhere_mark
from fixplan.sheet.shapes import Text
from fixplan.sheet.standing import text_box


def test_words_at_the_edges_of_a_narrow_view_stand_apart():
    words = view_words("side", 1, (100.0, 110.0), 30.0, 2.8)
    for one, other in combinations(words, 2):
        assert not touches(text_box(one), text_box(other))


def test_a_title_does_not_pass_what_stands_at_its_right():
    words = view_words("side", 1, (150.0, 190.0), 30.0, 2.8, most_x=170.0)
    assert max(text_box(word).right for word in words[:2]) <= 170.0


@pytest.mark.parametrize(
    ("case", "pattern"),
    [
        (Case(limb="pelvis", side="both"), "pelvis-crest"),
        (
            Case(
                limb="arm",
                side="right",
                size=LimbSize(stature_mm=1750, sex="male"),
                fractures=(Fracture(id="fracture-1", bone="humerus", from_mm=160.0, to_mm=175.0),),
            ),
            "humerus-fragments",
        ),
    ],
)
def test_no_bar_or_key_lies_over_a_title(case, pattern):
    framed = lay_frame(case, pattern, judge_pin).case
    (page, *_) = compose(framed, check(framed), "A4")
    titles = [text_box(word) for word in page.groups["view-words"]]
    owners = [owner for owner in page.groups if owner.startswith(("pin-", "bar-"))]
    drawn = [s for o in ("key", *owners) for s in page.groups[o] if hasattr(s, "points")]
    assert drawn
    for shape in drawn:
        assert not any(touches(title, box_round(shape.points)) for title in titles)


def test_titles_stand_over_their_views_where_no_key_is_drawn():
    """The steps' picture has no key; its box lies at the left of both views."""
    fracture = Fracture(id="fracture-1", bone="tibia", from_mm=160.0, to_mm=175.0)
    case = Case(limb="leg", side="left", fractures=(fracture,))
    framed = lay_frame(case, "per-fragment", judge_pin).case
    words = [one for one in step_shapes(framed, check(framed), 0) if isinstance(one, Text)]
    titles = [text_box(one) for one in words if one.text in ("FRONT", "SIDE")]
    assert len(titles) == 2
    assert min(title.x for title in titles) > 0
    assert not touches(*titles)


@pytest.mark.parametrize("left_mm", [0.0, 60.0])
def test_the_mark_of_the_frame_is_told_whole_beside_the_titles(left_mm):
    """Where the words of a wide view leave no room at the left, it stands at their right."""
    box = Box(20.0, 30.0, 180.0, 100.0)
    limits = (20.0 + left_mm, 120.0)
    words = view_words("front", 1, limits, box.y + TITLE_BASE_MM, TITLE_TEXT_MM)
    rooms = beside_titles(words, box, Box(180.0, 0.0, 15.0, 40.0))
    found = Finding(
        rule="rule.pelvis.groin",
        severity="caution",
        subjects=("bar-1",),
        subject="Bar 1",
        message="Bar 1 passes 3 mm from the middle of the right groin",
    )
    mark = elsewhere_mark((found,), rooms)
    texts = [one for one in mark if isinstance(one, Text)]
    assert [one.text for one in texts] == ["!", "Caution: Bar 1"]
    assert not any(touches(text_box(one), text_box(word)) for one in texts for word in words)
    assert all(box.x <= text_box(one).x and text_box(one).right <= 180.0 for one in texts)
