"""One labelled marker followed from the limb to the page: right and left, front and side (D2)."""

import pytest
from msgspec.structs import replace

from fixplan.case.edits import set_side
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Pin
from fixplan.frame.new_pins import new_pin
from fixplan.sheet.limb_picture import edge_words
from fixplan.sheet.pages import compose
from fixplan.sheet.shapes import Disc, Polygon, Text

WIDE = "A3"


def _with_one_pin(case: Case, side: str, bearing_deg: float) -> Case:
    pin = Pin(
        id="pin-9", number=9, bone="tibia", level_mm=120.0, bearing_deg=bearing_deg, diameter_mm=5.0
    )
    return replace(case, side=side, pins=(pin,), bars=(), supports=())


def _mean_x(case: Case, view: str) -> tuple[float, float]:
    """Mean page x of the pin's metal in a view, and of the tibia's axis there."""
    (page, *_) = compose(case, (), WIDE)
    frame = next(frame for frame in page.views if frame.view == view)
    shapes = [s for s in page.groups["pin-9"] if isinstance(s, Polygon | Disc)]
    points = [p for s in shapes for p in (s.points if isinstance(s, Polygon) else (s.centre,))]
    inside = [x for x, _ in points if frame.box.x - 20 <= x <= frame.box.right + 20]
    return sum(inside) / len(inside), frame.point(0.0, 120.0)[0]


@pytest.mark.parametrize(
    ("side", "bearing_deg", "view", "to_the_right"),
    [
        ("right", 0.0, "front", False),
        ("left", 0.0, "front", True),
        ("right", 180.0, "front", True),
        ("left", 180.0, "front", False),
        ("right", 90.0, "side", True),
        ("left", 90.0, "side", False),
    ],
)
def test_a_pin_points_the_right_way_on_the_page(
    tibia: Case, side: str, bearing_deg: float, view: str, to_the_right: bool
) -> None:
    pin_x, axis_x = _mean_x(_with_one_pin(tibia, side, bearing_deg), view)
    assert (pin_x > axis_x) == to_the_right


@pytest.mark.parametrize(
    ("view", "side", "words"),
    [
        ("front", "right", ("lateral", "medial")),
        ("front", "left", ("medial", "lateral")),
        ("side", "right", ("posterior", "anterior")),
        ("side", "left", ("anterior", "posterior")),
    ],
)
def test_the_words_stand_at_their_edges(
    tibia: Case, view: str, side: str, words: tuple[str, str]
) -> None:
    (page, *_) = compose(set_side(tibia, side), (), WIDE)
    frame = next(frame for frame in page.views if frame.view == view)
    found = {s.text: s.at[0] for s in page.groups["view-words"] if isinstance(s, Text)}
    middle = 0.5 * (frame.limits[0] + frame.limits[1])
    assert found[words[0]] < middle < found[words[1]]
    assert edge_words(view, frame.mirror) == words


@pytest.mark.parametrize("side", ["right", "left"])
def test_the_fibula_lies_on_the_lateral_side(tibia: Case, side: str) -> None:
    (page, *_) = compose(set_side(tibia, side), (), WIDE)
    front = page.views[0]
    fibula_x = front.point(35.0, 200.0)[0]
    assert (fibula_x < front.point(0.0, 200.0)[0]) == (side == "right")


def test_mirroring_the_case_mirrors_the_drawing_and_keeps_every_level(tibia: Case) -> None:
    right, left = (compose(set_side(tibia, side), (), WIDE)[0] for side in ("right", "left"))
    for frame, other in zip(right.views, left.views, strict=True):
        assert frame.scale == other.scale
        assert frame.mirror == -other.mirror
        assert frame.point(20.0, 250.0)[1] == other.point(20.0, 250.0)[1]


def test_the_table_says_the_same_for_both_sides(tibia: Case) -> None:
    texts = [
        [
            s.text
            for s in compose(set_side(tibia, side), (), WIDE)[1].groups["table:pins"]
            if isinstance(s, Text)
        ]
        for side in ("right", "left")
    ]
    assert texts[0] == texts[1]


@pytest.mark.parametrize(
    ("bone", "level", "words", "seen"),
    [
        ("radius", 150.0, {"radial", "ulnar"}, "facing the patient"),
        ("radius", 150.0, {"palmar", "dorsal"}, "from the radial side"),
        ("metacarpal-3", 30.0, {"palmar", "dorsal"}, "from the radial side"),
        ("humerus", 150.0, {"lateral", "medial"}, "facing the patient"),
        ("tibia", 150.0, {"anterior", "posterior"}, "from the lateral side"),
    ],
)
def test_views_have_the_words_of_the_parts_that_they_show(
    bone: str, level: float, words: set[str], seen: str
) -> None:
    """The same words as in the section of that part."""
    case = Case(side="right", limb="leg" if bone == "tibia" else "arm")
    pin = replace(new_pin(case, bone, level), id="pin-1", number=1)
    (page, *_) = compose(replace(case, pins=(pin,), last_number=1), (), WIDE)
    limb = limb_of_case(case)
    sides = limb.segments[limb.bones[bone].segment].sides
    assert words in ({sides[0], sides[2]}, {sides[1], sides[3]})
    told = [s.text for s in page.groups["view-words"] if isinstance(s, Text)]
    assert words <= {word for text in told for word in text.split(" / ")}
    assert seen in told or any("/" in text for text in told)


def test_a_foot_which_lies_across_has_the_usual_words_in_the_side_view() -> None:
    case = Case(side="right", limb="leg")
    pin = replace(new_pin(case, "metatarsal-1", 30.0), id="pin-1", number=1)
    (page, *_) = compose(replace(case, pins=(pin,), last_number=1), (), WIDE)
    told = {s.text for s in page.groups["view-words"] if isinstance(s, Text)}
    assert {"anterior", "posterior", "lateral", "medial"} <= told
    assert not any("/" in text for text in told)
