"""Both halves of the pelvis in one section: true to scale, the patient's right on the left."""

import numpy as np
import pytest
from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case
from fixplan.checks.run import check
from fixplan.geometry.paths import pin_path
from fixplan.sheet.pages import compose
from fixplan.sheet.section_halves import halves, lateral_part, other_bone, side_words, skin_points
from fixplan.sheet.shapes import Disc, Polygon, Text
from tests.unit.frame.other_limbs import laid


@pytest.fixture(scope="module")
def case():
    return laid("pelvis-low").case


def page_with_section(case, at=None):
    pages = compose(case, check(case), "A4", section_at=at)
    return next(page for page in pages if page.section is not None)


@pytest.fixture(scope="module")
def page(case):
    return page_with_section(case)


def test_the_right_half_lies_on_the_left_of_the_page(case, page) -> None:
    limb, frame = limb_of_case(case), page.section
    own, other = halves(frame, limb)
    assert (own.bone, other.bone) == ("ilium-right", "ilium-left")
    assert own.point(100, 0)[0] < own.point(0, 0)[0] < other.point(100, 0)[0]
    assert own.point(0, 0) == other.point(0, 0)
    words = {one.text: one.at for one in page.groups["section:words"] if isinstance(one, Text)}
    assert set(words) == {"right", "anterior", "left", "posterior"}
    assert words["right"][0] < frame.point(0, 0)[0] < words["left"][0]
    assert words["anterior"][1] < words["posterior"][1]


def test_the_pin_of_the_other_half_stands_at_its_place(case, page) -> None:
    limb, frame = limb_of_case(case), page.section
    _, other = halves(frame, limb)
    inside = pin_path(limb, case.pins[1]).near_point_mm
    at = other.point(float(inside[0]), float(inside[1]))
    drawn = [s for s in page.groups["section:things"] if isinstance(s, Polygon)]
    (body,) = drawn
    xs, ys = zip(*body.points, strict=True)
    assert min(xs) <= at[0] <= max(xs)
    assert min(ys) <= at[1] <= max(ys)
    (number,) = [s for s in page.groups["section:things"] if isinstance(s, Text)]
    assert number.text == "2"


def test_a_section_at_a_left_pin_still_has_the_right_at_the_left(case) -> None:
    page = page_with_section(case, "pin-2")
    own, other = halves(page.section, limb_of_case(case))
    assert own.bone == "ilium-left"
    assert other.point(100, 0)[0] < own.point(100, 0)[0]
    assert side_words(page.section, limb_of_case(case))[0] == "left"


def test_both_halves_are_of_one_size_and_their_nerves_mirror_each_other(case, page) -> None:
    frame = page.section
    middle = frame.point(0, 0)[0]
    body = page.groups["section"]
    centres = [s.centre for s in body if isinstance(s, Disc)]
    mirrored = {(round(2 * middle - x, 3), round(y, 3)) for x, y in centres}
    assert mirrored == {(round(x, 3), round(y, 3)) for x, y in centres}
    skin = np.array(skin_points(frame, limb_of_case(case)))
    assert 2 * middle == pytest.approx(skin[:, 0].min() + skin[:, 0].max())


def test_one_half_alone_has_none_beside_it(case) -> None:
    right = replace(case, side="right", pins=case.pins[:1], bars=())
    limb = limb_of_case(right)
    assert other_bone(limb, "ilium-right", 100.0, "right") == ""
    page = page_with_section(right)
    assert page.section.beside == ""
    words = {one.text for one in page.groups["section:words"] if isinstance(one, Text)}
    assert words == {"lateral", "anterior", "medial", "posterior"}


def test_what_lies_beyond_the_midline_is_left_out() -> None:
    ring = np.array([(-3.0, -2.0), (4.0, -2.0), (4.0, 2.0), (-3.0, 2.0)])
    cut = lateral_part(ring)
    assert cut[0] == pytest.approx((0.0, -2.0))
    assert cut[-1] == pytest.approx((0.0, 2.0))
    assert cut[:, 0].min() == pytest.approx(0.0)
