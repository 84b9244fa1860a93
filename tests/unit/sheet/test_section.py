"""The section: which plane, what is drawn in it, and that right and left are not mixed up (D2)."""

from math import cos, hypot, radians, sin

import numpy as np
import pytest
import shapely
from msgspec.structs import replace

from fixplan.case.edits import set_side
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, LimbSize, Pin
from fixplan.checks.finding import Finding
from fixplan.limb.scale import limb_of
from fixplan.sheet.box import box_round, touches
from fixplan.sheet.later_picture import letter_of
from fixplan.sheet.pages import Page, compose
from fixplan.sheet.section_cut import cut_of, group_at
from fixplan.sheet.section_frame import SectionFrame
from fixplan.sheet.section_line import PLANE_LETTER
from fixplan.sheet.section_pin import section_owner
from fixplan.sheet.shapes import Disc, Line, Polygon, Text
from fixplan.sheet.standing import standing, text_box

PAPER = "A3"


def _with_pin(case: Case, side: str = "right", **fields: object) -> Case:
    values = {
        "id": "pin-9",
        "number": 9,
        "bone": "tibia",
        "level_mm": 190.0,
        "bearing_deg": 100.0,
        "diameter_mm": 5.0,
    }
    pin = Pin(**(values | fields))
    return replace(case, side=side, pins=(pin,), bars=(), supports=())


def _section(case: Case, **more: object) -> tuple[Page, SectionFrame]:
    pages = compose(case, (), PAPER, **more)
    page = next(page for page in pages if page.section is not None)
    assert page.section is not None
    return page, page.section


def _words(page: Page, *owners: str) -> str:
    return " ".join(
        s.text.replace("\u00a0", " ")
        for owner in owners
        for s in page.groups.get(owner, ())
        if isinstance(s, Text)
    )


# Which plane


def test_the_first_pin_with_an_open_finding_is_shown_else_the_first(tibia: Case) -> None:
    limb = limb_of_case(tibia)
    note, caution = (
        Finding(
            rule="rule.test", severity=severity, subjects=(pin,), subject="a pin", message="found"
        )
        for severity, pin in (("note", "pin-2"), ("caution", "pin-3"))
    )
    accepted = replace(caution, accepted="no better bone is left")
    shown = [cut_of(tibia, limb, f) for f in ((), (note,), (note, caution), (accepted,))]
    assert [cut.pin.id for cut in shown if cut and cut.pin] == ["pin-1", "pin-1", "pin-3", "pin-1"]


def test_a_pin_or_a_level_can_be_asked_for(tibia: Case) -> None:
    limb = limb_of_case(tibia)
    pin = cut_of(tibia, limb, (), "pin-4")
    level = cut_of(tibia, limb, (), ("thigh", 300.0))
    gone = cut_of(tibia, limb, (), "pin-99")
    assert pin
    assert pin.pin == pin.like == tibia.pins[3]
    assert level
    assert (level.segment, level.bone, level.pin) == ("thigh", "femur", None)
    assert level.like is not None
    assert level.like.kind == "half"
    assert gone
    assert gone.pin == tibia.pins[0]


def test_without_a_pin_there_is_no_section_unless_a_level_is_asked_for() -> None:
    case = Case(side="left")
    assert {page.section for page in compose(case, (), PAPER)} == {None}
    _, frame = _section(case, section_at=("leg", 200.0))
    assert (frame.level_mm, frame.pin) == (200.0, None)


def test_the_planes_letter_is_none_of_the_candidates(tibia: Case) -> None:
    assert PLANE_LETTER not in {letter_of(index) for index in range(60)}
    page, _ = _section(tibia)
    assert f"SECTION {PLANE_LETTER}-{PLANE_LETTER}" in _words(page, "section:title")


def test_a_pin_at_a_level_without_a_section_comes_last(tibia: Case) -> None:
    limb = limb_of_case(tibia)
    high = replace(tibia.pins[0], level_mm=2.0)
    case = replace(tibia, pins=(high, *tibia.pins[1:]))
    by_default, asked = cut_of(case, limb, ()), cut_of(case, limb, (), "pin-1")
    assert by_default
    assert asked
    assert (by_default.pin, asked.pin) == (tibia.pins[1], high)


@pytest.mark.parametrize("side", ["right", "left"])
@pytest.mark.parametrize("tilt_deg", [-20.0, 0.0, 20.0])
def test_letters_of_the_plane_touch_no_balloon_and_no_letter(
    tibia: Case, side: str, tilt_deg: float
) -> None:
    pins = tuple(replace(pin, tilt_deg=tilt_deg) for pin in tibia.pins)
    case = replace(tibia, side=side, pins=pins, knee_flexion_deg=25.0)
    for pin in pins:
        page, _ = _section(case, section_at=pin.id)
        letters = [
            text_box(s) for s in page.groups["section:line"] if isinstance(s, Text) and s.text
        ]
        others = [
            box
            for owner, shapes in page.groups.items()
            if owner.endswith(":label")
            for box in standing(shapes)
        ]
        assert len(letters) == 4
        assert not any(touches(letter, other) for letter in letters for other in others)


def test_the_pins_number_stands_at_its_outer_end(tibia: Case) -> None:
    page, frame = _section(_with_pin(tibia))
    shapes = page.groups["pin-9:section"]
    (number,) = [s for s in shapes if isinstance(s, Text)]
    (ring,) = [s for s in shapes if isinstance(s, Disc)]
    assert number.text == "9"
    assert frame.bearing_at(ring.centre) == pytest.approx(100.0, abs=6.0)
    skin = limb_of_case(tibia).skin("leg", frame.level_mm)
    assert skin is not None
    assert ring.centre[1] + ring.radius_mm < min(y for _, y in frame.to_page(skin))
    letters = standing(page.groups["section:letters"])
    assert not any(touches(box, other) for box in standing([ring]) for other in letters)


def test_the_words_stand_near_the_skin_at_mid_height(tibia: Case) -> None:
    page, frame = _section(tibia)
    words = {s.text: text_box(s) for s in page.groups["section:words"] if isinstance(s, Text)}
    skin = limb_of_case(tibia).skin("leg", frame.level_mm)
    assert skin is not None
    around = box_round(frame.to_page(skin))
    middle = around.y + 0.5 * around.height
    for word in ("lateral", "medial"):
        box = words[word]
        assert abs(box.y + 0.5 * box.height - middle) < 0.5 * around.height
        assert around.x - 12.0 < box.x < box.right < around.right + 12.0
    assert around.y - 12.0 < words["anterior"].y
    assert words["posterior"].bottom < around.bottom + 12.0


@pytest.mark.parametrize(
    ("limb", "bone", "level_mm", "bearing_deg"),
    [
        ("arm", "humerus", 135.0, 0.0),
        ("arm", "humerus", 268.0, 0.0),
        ("leg", "femur", 423.0, 180.0),
        ("leg", "tibia", 346.0, 180.0),
    ],
)
def test_no_word_stands_on_the_pin(
    limb: str, bone: str, level_mm: float, bearing_deg: float
) -> None:
    bare = Case(limb=limb, side="right", size=LimbSize(sex="male", stature_mm=1750, mass_kg=80))
    case = _with_pin(bare, bone=bone, level_mm=level_mm, bearing_deg=bearing_deg)
    page, _ = _section(case)
    rods = [
        shapely.Polygon(s.points)
        for s in page.groups[section_owner("pin-9")]
        if isinstance(s, Polygon)
    ]
    texts = [s for s in page.groups["section:words"] if isinstance(s, Text)]
    assert len(texts) == 4
    for text in texts:
        own = text_box(text)
        box = shapely.box(own.x, own.y, own.right, own.bottom)
        assert all(shapely.area(shapely.intersection(box, one)) < 0.05 for one in rods), text.text


def test_on_a4_the_section_stands_on_the_second_page(tibia: Case) -> None:
    pages = compose(tibia, (), "A4")
    assert [page.section is not None for page in pages][:2] == [False, True]
    assert "section:line" in pages[0].groups
    legend = [shape.text for shape in pages[0].groups["legend"] if isinstance(shape, Text)]
    assert legend[-1] == "S-S: the section is on page 2"


# Right and left


def test_the_page_and_the_plane_lead_to_each_other(tibia: Case) -> None:
    _, frame = _section(tibia)
    x, y = frame.point(12.5, -30.0)
    assert frame.from_page(x, y) == pytest.approx((12.5, -30.0))
    assert frame.to_page(np.array([[12.5, -30.0]]))[0] == pytest.approx((x, y))


@pytest.mark.parametrize("side", ["right", "left"])
@pytest.mark.parametrize("bearing_deg", [0.0, 50.0, 90.0, 180.0, 270.0])
def test_a_pin_points_the_right_way_in_the_section(
    tibia: Case, side: str, bearing_deg: float
) -> None:
    page, frame = _section(_with_pin(tibia, side, bearing_deg=bearing_deg))
    shapes = [s for s in page.groups["pin-9:section"] if isinstance(s, Polygon)]
    centre = frame.point(*frame.target)
    outer = max(
        (p for s in shapes for p in s.points),
        key=lambda p: hypot(p[0] - centre[0], p[1] - centre[1]),
    )
    across = (-1 if side == "right" else 1) * cos(radians(bearing_deg))
    along = (outer[0] - centre[0]) * across - (outer[1] - centre[1]) * sin(radians(bearing_deg))
    reach = hypot(outer[0] - centre[0], outer[1] - centre[1])
    assert along > 0.99 * reach > 10.0
    assert frame.bearing_at(outer) == pytest.approx(bearing_deg, abs=6.0) or bearing_deg == 0.0


@pytest.mark.parametrize(("half", "turn"), [("right", -1), ("left", 1)])
def test_either_half_of_a_pelvis_lies_as_in_the_front_view(half: str, turn: int) -> None:
    case = Case(
        limb="pelvis",
        side="both",
        pins=(
            Pin(
                id="pin-9",
                number=9,
                bone=f"ilium-{half}",
                level_mm=100,
                bearing_deg=72,
                diameter_mm=5,
            ),
        ),
        last_number=9,
    )
    page, frame = _section(case)
    found = {s.text: s.at for s in page.groups["section:words"] if isinstance(s, Text)}
    assert found["right"][0] < found["left"][0]
    assert frame.mirror == turn
    told = " ".join(s.text for s in page.groups["section:notes"] if isinstance(s, Text))
    assert "3 to 65 mm away" in told


@pytest.mark.parametrize("side", ["right", "left"])
def test_the_four_words_and_the_fibula_stand_on_their_sides(tibia: Case, side: str) -> None:
    page, frame = _section(set_side(tibia, side))
    found = {s.text: s.at for s in page.groups["section:words"] if isinstance(s, Text)}
    turn = -1 if side == "right" else 1
    assert turn * (found["lateral"][0] - found["medial"][0]) > 0
    assert found["anterior"][1] < frame.inner.y + 0.5 * frame.inner.height < found["posterior"][1]
    fibula = limb_of_case(tibia).section("fibula", frame.level_mm)
    assert fibula is not None
    on_page = frame.point(*fibula.target)
    assert turn * (on_page[0] - frame.point(*frame.target)[0]) > 0


def test_both_sides_say_the_same_and_mirror_each_other(tibia: Case) -> None:
    (right, a), (left, b) = (_section(set_side(tibia, side)) for side in ("right", "left"))
    assert (a.scale, a.mirror, a.target) == (b.scale, -b.mirror, b.target)
    assert _words(right, "section:notes") == _words(left, "section:notes")


# What is drawn


@pytest.mark.parametrize("diameter_mm", [4.0, 5.0, 6.0])
def test_the_pin_is_true_to_scale(tibia: Case, diameter_mm: float) -> None:
    page, frame = _section(_with_pin(tibia, diameter_mm=diameter_mm))
    shape = page.groups["pin-9:section"][0]
    assert isinstance(shape, Polygon)
    a, b = shape.points[0], shape.points[3]
    assert hypot(a[0] - b[0], a[1] - b[1]) == pytest.approx(frame.scale * diameter_mm)


def test_a_through_pin_shows_both_ends(tibia: Case) -> None:
    case = _with_pin(
        tibia, bone="calcaneus", level_mm=24.0, bearing_deg=180.0, kind="through", diameter_mm=6.0
    )
    page, frame = _section(case)
    xs = [x for s in page.groups["pin-9:section"] if isinstance(s, Polygon) for x, _ in s.points]
    skin = limb_of_case(case).skin("hindfoot", 24.0)
    assert skin is not None
    edges = [x for x, _ in frame.to_page(skin)]
    assert min(xs) < min(edges) < max(edges) < max(xs)


def test_beyond_the_window_the_pin_is_broken_off(tibia: Case) -> None:
    page, frame = _section(_with_pin(tibia, length_mm=300.0))
    shapes = page.groups["pin-9:section"]
    points = [p for s in shapes if isinstance(s, Polygon) for p in s.points]
    assert sum(isinstance(s, Line) for s in shapes) == 2
    assert min(y for _, y in points) >= frame.inner.y - frame.scale * 3.0


@pytest.mark.parametrize("level_mm", [-20.0, 5.0, 384.0])
def test_outside_the_authored_levels_nothing_is_drawn_and_that_is_said(
    tibia: Case, level_mm: float
) -> None:
    page, _ = _section(tibia, section_at=("leg", level_mm))
    assert _words(page, "section") == "no section here: not assessed"
    assert "section:bands" not in page.groups
    assert not any(owner.endswith(":section") for owner in page.groups)


def test_the_title_tells_pin_level_and_the_way_of_looking(tibia: Case) -> None:
    page, _ = _section(_with_pin(tibia, level_mm=302.0))
    title = _words(page, "section:title")
    assert "at pin 9," in title
    assert "mm above the tip of the medial malleolus, seen from below" in title


@pytest.mark.parametrize("view", ["front", "side"])
def test_the_line_of_the_plane_joins_the_views(tibia: Case, view: str) -> None:
    page, frame = _section(tibia)
    seen = next(one for one in page.views if one.view == view)
    left, right = seen.limits
    shapes = [
        s
        for s in page.groups["section:line"]
        if isinstance(s, Line) and all(left - 3 < x < right + 3 for x, _ in s.points)
    ]
    level = seen.point(0.0, frame.level_mm)[1]
    across = [s for s in shapes if s.stroke.dash == "dash-dot"]
    assert [p[1] for s in across for p in s.points] == pytest.approx([level, level])
    letters = [
        s.at for s in page.groups["section:line"] if isinstance(s, Text) and left - 9 < s.at[0]
    ]
    assert len(letters) >= 2
    assert all(y > level for _, y in letters)


def test_the_front_view_of_the_foot_has_no_line(tibia: Case) -> None:
    case = _with_pin(tibia, bone="calcaneus", level_mm=24.0, bearing_deg=180.0)
    page, _ = _section(case)
    letters = [s for s in page.groups["section:line"] if isinstance(s, Text)]
    assert len(letters) == 2
    assert min(s.at[0] for s in letters) > page.views[0].limits[1]


def test_the_pins_section_belongs_to_the_pin() -> None:
    assert section_owner("pin-3") == "pin-3:section"


@pytest.mark.parametrize(
    ("shown", "asked", "group", "level"),
    [
        ("hand", 30.0, "hand", 30.0),
        ("hand", 90.0, "proximal-phalanx-2", 90.0),
        ("proximal-phalanx-4", 90.0, "proximal-phalanx-4", 90.0),
        ("proximal-phalanx-4", 30.0, "hand", 30.0),
        ("hand", -9.0, "metacarpal-1", -9.0),
        ("hand", 400.0, "hand", 139.0),
        ("forearm", 400.0, "forearm", 252.0),
    ],
)
def test_a_level_is_cut_in_the_group_that_is_shown_or_known_there(
    shown: str, asked: float, group: str, level: float
) -> None:
    found = group_at(limb_of("arm"), shown, asked)
    assert found[0] == group
    assert found[1] == pytest.approx(level, abs=1.0)
