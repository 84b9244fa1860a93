"""A torn pelvic ring on the page: on the patient's own side, and told in title and legend."""

from msgspec.structs import replace

from fixplan.case.records import Case
from fixplan.case.ring_records import RingInjury
from fixplan.checks.run import check
from fixplan.sheet.pages import compose
from fixplan.sheet.shapes import Line, Text
from fixplan.sheet.standing import text_box
from tests.unit.frame.other_limbs import laid

TORN = RingInjury(symphysis="torn", symphysis_mm=40, back_right="torn through", back_left="intact")


def groups_of(ring: RingInjury) -> dict:
    case = Case(limb="pelvis", side="both", ring=ring)
    return dict(compose(case, check(case), "A4")[0].groups)


def middle_of(line: Line) -> float:
    return sum(x for x, _ in line.points) / len(line.points)


def test_nothing_is_drawn_of_a_ring_that_is_not_told() -> None:
    assert not groups_of(RingInjury()).get("ring")


def test_the_torn_back_of_the_right_lies_on_the_viewers_left() -> None:
    groups = groups_of(TORN)
    front, back = sorted(map(middle_of, groups["ring"]), reverse=True)
    assert back < front
    other = groups_of(replace(TORN, back_right="intact", back_left="torn through"))
    turned = [middle_of(line) for line in other["ring"]]
    assert sum(turned) / 2 > front
    told = [shape.text for shape in groups["ring:label"] if isinstance(shape, Text)]
    assert told == ["40 mm open"]


def test_the_gap_is_told_beside_the_symphysis_where_the_view_is_cut_off_below() -> None:
    framed = replace(laid("pelvis-crest").case, ring=TORN)
    page = compose(framed, check(framed), "A4")[0]
    (word,) = [one for one in page.groups["ring:label"] if isinstance(one, Text)]
    assert word.text == "40 mm open"
    front = next(frame for frame in page.views if frame.view == "front")
    assert text_box(word).bottom <= front.box.bottom
