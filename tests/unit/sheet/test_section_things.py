"""What the section cuts of the plan: zones, marks on the skin, later fixation, pins and bars."""

from math import hypot

import numpy as np
import pytest
from msgspec.structs import replace

from fixplan.case.edits import set_side
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Candidate, Case, Injury, Nail, Pin, Plate, Wound
from fixplan.geometry.section_marks import mark_section, zone_section
from fixplan.sheet.pages import compose
from fixplan.sheet.shapes import Disc, Line, Polygon, Text

BARE = Case(side="right")
LEVEL = 200.0
SQUARE = ((-20.0, 150.0), (20.0, 150.0), (20.0, 250.0), (-20.0, 250.0))


def _groups(case: Case, level_mm: float = LEVEL) -> dict:
    pages = compose(case, (), "A3", section_at=("leg", level_mm), hold=())
    page = next(page for page in pages if page.section is not None)
    return dict(page.groups) | {"frame": page.section}


def _names(groups: dict) -> str:
    return " ".join(s.text for s in groups["section:labels"] if isinstance(s, Text))


def test_a_zone_drawn_in_one_view_reaches_through_the_limb() -> None:
    limb = limb_of_case(BARE)
    zone = Injury(id="injury-1", segment="leg", front=SQUARE)
    (ring,) = zone_section(limb, zone, LEVEL)
    skin = limb.skin("leg", LEVEL)
    assert skin is not None
    assert ring[:, 0].min() == pytest.approx(-20.0)
    assert ring[:, 0].max() == pytest.approx(20.0)
    inside = skin[np.abs(skin[:, 0]) < 20.0]
    assert ring[:, 1].max() >= inside[:, 1].max() - 0.5
    assert zone_section(limb, zone, 260.0) == ()


def test_a_zone_drawn_in_both_views_is_where_they_meet() -> None:
    limb = limb_of_case(BARE)
    zone = Injury(id="injury-1", segment="leg", front=SQUARE, side=SQUARE)
    (ring,) = zone_section(limb, zone, LEVEL)
    assert np.abs(ring).max() == pytest.approx(20.0)


@pytest.mark.parametrize(
    ("view", "face", "axis", "sign"),
    [
        ("front", "near", 1, 1),
        ("front", "far", 1, -1),
        ("side", "near", 0, 1),
        ("side", "far", 0, -1),
    ],
)
def test_a_mark_lies_on_its_face_of_the_skin(view: str, face: str, axis: int, sign: int) -> None:
    limb = limb_of_case(BARE)
    outline = tuple((u / 2, v) for u, v in SQUARE)
    wound = Wound(
        id="wound-1", kind="opening", segment="leg", view=view, face=face, outline=outline
    )
    (line,) = mark_section(limb, wound, LEVEL)
    skin = limb.skin("leg", LEVEL)
    assert skin is not None
    middle = 0.5 * (skin[:, axis].min() + skin[:, axis].max())
    assert np.all(sign * (line[:, axis] - middle) > 0)
    assert np.abs(line[:, 1 - axis]).max() <= 10.0
    assert mark_section(limb, wound, 251.0) == ()


def test_a_line_without_width_is_cut_where_it_crosses_the_level() -> None:
    limb = limb_of_case(BARE)
    line = Wound(
        id="wound-1",
        kind="fasciotomy line",
        segment="leg",
        view="front",
        line=((0.0, 100.0), (20.0, 300.0)),
    )
    (piece,) = mark_section(limb, line, LEVEL)
    assert piece[:, 0].mean() == pytest.approx(10.0, abs=1.5)
    assert float(np.ptp(piece[:, 0])) < 3.5


def test_injury_and_wound_are_drawn_and_named() -> None:
    case = replace(
        BARE,
        injuries=(Injury(id="injury-1", segment="leg", front=SQUARE),),
        wounds=(Wound(id="wound-1", kind="blister", segment="leg", view="front", outline=SQUARE),),
    )
    groups = _groups(case)
    shapes = groups["section:things"]
    assert any(isinstance(s, Polygon) and s.fill and s.fill.hatch != "none" for s in shapes)
    assert any(isinstance(s, Line) and s.stroke.width_mm > 0.8 for s in shapes)
    assert "zone of injury, open" in _names(groups)
    assert "blister" in _names(groups)
    assert _groups(case, 300.0)["section:things"] == ()


def test_plate_and_nail_of_each_candidate_are_cut_and_lettered() -> None:
    plate = Plate(
        bone="tibia", side="medial", from_mm=100.0, to_mm=250.0, width_mm=14.0, thickness_mm=5.0
    )
    nail = Nail(
        bone="tibia",
        entry="proximal",
        from_mm=10.0,
        to_mm=350.0,
        width_mm=10.0,
        entry_zone=(0.0, 40.0),
    )
    case = replace(
        BARE,
        candidates=(
            Candidate(id="later-1", kind="plate", parts=(plate,)),
            Candidate(id="later-2", kind="nail", parts=(nail,)),
        ),
    )
    groups = _groups(case)
    assert "X plate" in _names(groups)
    assert "Y nail" in _names(groups)
    frame = groups["frame"]
    footprint = next(s for s in groups["section:things"] if s.fill is not None)
    xs = [frame.from_page(*point)[0] for point in footprint.points]
    section = limb_of_case(case).section("tibia", LEVEL)
    assert section is not None
    assert max(xs) < float(section.target[0])
    assert "X plate" not in _names(_groups(case, 300.0))


@pytest.mark.parametrize("side", ["right", "left"])
def test_a_bar_stands_where_it_passes(tibia: Case, side: str) -> None:
    case = set_side(tibia, side)
    level = tibia.pins[0].level_mm + 15.0
    groups = _groups(case, level)
    named = {s.text for s in groups["section:bars"] if isinstance(s, Text)}
    assert "bar 1" in named
    assert any(isinstance(s, Disc) for s in groups["section:bars"])


def test_other_pins_near_the_level_are_shown_with_their_number(tibia: Case) -> None:
    first = tibia.pins[0]
    near = replace(first, id="pin-9", number=9, bearing_deg=20.0, level_mm=first.level_mm + 4.0)
    case = replace(tibia, pins=(*tibia.pins, near), last_number=9)
    pages = compose(case, (), "A3", section_at=first.id, hold=())
    page = next(page for page in pages if page.section is not None)
    numbers = [s.text for s in page.groups["section:things"] if isinstance(s, Text)]
    assert numbers == ["9"]
    ring = next(s for s in page.groups["section:things"] if isinstance(s, Disc))
    frame = page.section
    assert frame is not None
    assert frame.holds(ring.centre)
    assert frame.bearing_at(ring.centre) == pytest.approx(20.0, abs=12.0)
    assert hypot(*frame.from_page(*ring.centre)) > 20.0


def test_a_pin_alone_has_no_other_beside_it() -> None:
    pin = Pin(id="pin-1", number=1, bone="tibia", level_mm=LEVEL, bearing_deg=90.0, diameter_mm=5.0)
    pages = compose(replace(BARE, pins=(pin,), last_number=1), (), "A3", hold=())
    page = next(page for page in pages if page.section is not None)
    assert page.groups["section:things"] == page.groups["section:bars"] == ()
