"""Names in the section: none over another, none cut off, leaders that do not cross."""

from itertools import combinations

import pytest

from fixplan.case.scalars import Side
from fixplan.geometry.section_structures import structures_at
from fixplan.limb.scale import limb_of
from fixplan.sheet.box import Box
from fixplan.sheet.layout import SectionSpot
from fixplan.sheet.section_cut import Cut
from fixplan.sheet.section_picture import SectionDrawing, draw_section
from fixplan.sheet.section_words import side_words
from fixplan.sheet.shapes import Line, Text
from fixplan.sheet.standing import text_box

SPOT = SectionSpot(0, Box(20.0, 8.0, 120.0, 96.0), Box(143.0, 40.0, 54.0, 64.0))
SIDES: tuple[Side, ...] = ("right", "left")
PLACES = [
    ("leg", "thigh", "femur"),
    ("leg", "leg", "tibia"),
    ("leg", "hindfoot", "calcaneus"),
    ("arm", "upper-arm", "humerus"),
    ("arm", "forearm", "radius"),
    ("arm", "forearm", "ulna"),
]
SIZES = [(), ("female", 1520.0, 48.0), ("male", 1980.0, 120.0)]


def _drawings(kind: str, segment: str, bone: str, size: tuple[object, ...]) -> list[SectionDrawing]:
    limb = limb_of(kind, *size)
    low, high = limb.segments[segment].known_from_mm, limb.segments[segment].known_to_mm
    levels = [low + share * (high - low) for share in (0.0, 0.2, 0.41, 0.6, 0.83, 1.0)]
    return [
        draw_section(Cut(segment, level, bone, None, None), limb, side, SPOT, {})
        for level in levels
        for side in SIDES
    ]


def _texts(drawing: SectionDrawing) -> list[Text]:
    return [s for group in drawing.groups.values() for s in group if isinstance(s, Text)]


def _bounds(text: Text) -> tuple[float, float, float, float]:
    box = text_box(text)
    return box.x, box.y, box.right, box.bottom


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(("kind", "segment", "bone"), PLACES)
def test_no_word_lies_on_another_or_leaves_its_place(
    kind: str, segment: str, bone: str, size: tuple[object, ...]
) -> None:
    for drawing in _drawings(kind, segment, bone, size):
        bounds = [_bounds(text) for text in _texts(drawing)]
        for a, b in combinations(bounds, 2):
            across, down = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
            assert across <= 0.2 or down <= 0.2
        for left, top, right, bottom in bounds:
            assert SPOT.picture.x - 0.3 <= left <= right <= SPOT.notes.right + 0.3
            assert SPOT.picture.y - 0.3 <= top <= bottom <= SPOT.picture.bottom + 0.3


@pytest.mark.parametrize(("kind", "segment", "bone"), PLACES)
def test_every_structure_is_named_and_leaders_do_not_cross(
    kind: str, segment: str, bone: str
) -> None:
    limb = limb_of(kind)
    for drawing in _drawings(kind, segment, bone, ()):
        found = structures_at(limb, segment, drawing.frame.level_mm)
        labels = drawing.groups["section:labels"]
        words = " ".join(s.text for s in labels if isinstance(s, Text))
        assert all(one.name.split(" ")[0] in words for one in (*found.round, *found.outlined))
        leaders = [s.points[:2] for s in labels if isinstance(s, Line)]
        assert len(leaders) == len(found.round) + len(found.outlined)
        crossing = [1 for a, b in combinations(leaders, 2) if _cross(*a, *b)]
        assert sum(crossing) == 0


def _turn(a, b, c):
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _cross(a, b, c, d):
    return _turn(a, b, c) * _turn(a, b, d) < -1e-9 and _turn(c, d, a) * _turn(c, d, b) < -1e-9


def test_words_of_other_limbs_go_where_their_bearings_are() -> None:
    radial = ("radial", "palmar", "ulnar", "dorsal")
    assert side_words(radial, 1) == ("palmar", "radial", "dorsal", "ulnar")
    assert side_words(radial, -1) == ("palmar", "ulnar", "dorsal", "radial")
