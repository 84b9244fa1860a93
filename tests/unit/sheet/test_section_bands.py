"""Clear directions as the section draws and tells them."""

import pytest
from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Pin
from fixplan.checks.clear_sides import clear_bands, shape_of
from fixplan.geometry.clear_arcs import Arc, Blocked
from fixplan.geometry.clear_directions import ClearDirections
from fixplan.geometry.clear_limb import Bands
from fixplan.geometry.section_structures import structures_at
from fixplan.limb.scale import limb_of
from fixplan.sheet.box import Box
from fixplan.sheet.layout import A4_SECTION_MM, NOTES_MM, TITLE_MM
from fixplan.sheet.pages import compose
from fixplan.sheet.section_bands import CLEAR_FILL, CUSTOMARY_FILL, lettered
from fixplan.sheet.section_cut import Cut, cut_of
from fixplan.sheet.section_notes import note_shapes, notes_of
from fixplan.sheet.shapes import Polygon, Text

NERVE, VESSEL = Blocked("a nerve", "near", 40.0, 90.0), Blocked("a vessel", "far", 200.0, 210.0)
SIDE = Blocked("customary side (medial)", "entry", 130.0, 40.0)


def _pin(**fields: object) -> Pin:
    values = {
        "id": "pin-9",
        "number": 9,
        "bone": "tibia",
        "level_mm": 190.0,
        "bearing_deg": 100.0,
        "diameter_mm": 5.0,
    }
    return Pin(**(values | fields))


def _bands(clear: tuple[Arc, ...], customary: tuple[Arc, ...]) -> Bands:
    return Bands(ClearDirections(clear, (NERVE, VESSEL)), customary)


def _told(case: Case, pin: Pin) -> str:
    limb = limb_of_case(case)
    bands = clear_bands(limb, pin.bone, pin.level_mm, shape_of(pin))
    cut = Cut(limb.bones[pin.bone].segment, pin.level_mm, pin.bone, pin, pin)
    notes = notes_of(limb, cut, None if bands is None else lettered(bands))
    return " ".join(f"{note.lead} {note.words}".strip() for note in notes).replace("\u00a0", " ")


def test_ends_at_one_bearing_share_a_letter() -> None:
    bands = lettered(_bands((Arc(90.0, 200.0, NERVE, VESSEL),), (Arc(90.0, 130.0, NERVE, SIDE),)))
    assert [(end.letter, end.bearing_deg) for end in bands.ends] == [
        ("a", 90.0),
        ("b", 130.0),
        ("c", 200.0),
    ]
    assert bands.letter(130.0) == "b"
    assert bands.letter(131.0) == ""


def test_an_arc_across_the_lateral_side_keeps_its_letters() -> None:
    bands = lettered(_bands((Arc(340.0, 400.0, VESSEL, NERVE),), ()))
    assert [bands.letter(arc.to_deg) for arc in bands.clear.arcs] == ["a"]
    assert bands.letter(340.0) == "b"


def test_narrow_arcs_are_counted_not_drawn() -> None:
    narrow = Arc(10.0, 11.5, VESSEL, NERVE)
    bands = lettered(_bands((narrow, Arc(90.0, 200.0, NERVE, VESSEL)), (narrow,)))
    assert (len(bands.clear.arcs), bands.clear.narrow, bands.customary.narrow) == (1, 1, 1)
    assert len(bands.ends) == 2


def test_the_bands_are_drawn_where_nothing_was_found(tibia: Case) -> None:
    pin = _pin()
    case = replace(tibia, pins=(pin,), bars=(), supports=())
    page = next(page for page in compose(case, (), "A3") if page.section)
    frame = page.section
    bands = clear_bands(limb_of_case(case), "tibia", 190.0, shape_of(pin))
    assert frame is not None
    assert bands is not None
    for fill, arcs in ((CLEAR_FILL, bands.clear.drawn), (CUSTOMARY_FILL, bands.customary)):
        drawn = [
            s for s in page.groups["section:bands"] if isinstance(s, Polygon) and s.fill == fill
        ]
        assert len(drawn) == sum(not arc.narrow for arc in arcs)
        for shape in drawn:
            for point in shape.points:
                bearing = frame.bearing_at(point)
                assert any(
                    (bearing - arc.from_deg + 0.01) % 360 <= arc.width_deg + 0.02 for arc in arcs
                )


def test_the_notes_say_what_was_looked_for_and_what_limits_it(tibia: Case) -> None:
    told = _told(tibia, _pin())
    assert "nothing found within 5 mm of a 5 mm half-pin: a to" in told
    assert "deep peroneal nerve" in told
    assert "anterior tibial vessels, at the tip" in told
    assert "safe" not in told


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"tilt_deg": 5.0}, "Bands drawn for an untilted pin."),
        ({"tilt_deg": -2.5}, "Bands drawn for an untilted pin."),
        ({"offset_mm": 4.0}, "Bands drawn for a pin through the bone's middle."),
    ],
)
def test_what_the_bands_do_not_hold_for_is_said(
    tibia: Case, fields: dict[str, float], words: str
) -> None:
    assert words in _told(tibia, _pin(**fields))
    assert words not in _told(tibia, _pin(tilt_deg=1.9))


def test_arcs_that_are_not_drawn_are_told(tibia: Case) -> None:
    narrow = Arc(10.0, 11.5, VESSEL, NERVE)
    limb, pin = limb_of_case(tibia), _pin()
    cut = Cut("leg", 190.0, "tibia", pin, pin)
    notes = notes_of(limb, cut, lettered(_bands((narrow, narrow), ())))
    words = [note.words for note in notes]
    assert "2 arcs under 2° not drawn." in words
    assert any(text.endswith("no direction") for text in words)


def test_what_blocks_every_side_is_named() -> None:
    """In the proximal third of the radius one nerve alone, by its published band (CO-R1)."""
    limb = limb_of("arm", "male", 1750.0, 80.0, (), ())
    pin = _pin(bone="radius", level_mm=60.0, diameter_mm=4.0)
    told = {}
    for open_approach in (False, True):
        cut_pin = replace(pin, open_approach=open_approach)
        cut = Cut("forearm", 60.0, "radius", cut_pin, cut_pin)
        bands = clear_bands(limb, "radius", 60.0, shape_of(pin), open_approach=open_approach)
        told[open_approach] = " ".join(n.words for n in notes_of(limb, cut, lettered(bands)))
    nerve = "Blocked on every side by: posterior interosseous nerve, winding round."
    assert nerve in told[False]
    assert "Blocked on every side" not in told[True]


def test_in_the_thigh_the_customary_side_keeps_off_tendons_alone(tibia: Case) -> None:
    told = _told(tibia, _pin(bone="femur", level_mm=260.0, diameter_mm=6.0))
    assert "off tendons" in told
    assert "off muscle" not in told


def test_a_published_spread_is_named_and_others_are_not_known(tibia: Case) -> None:
    assert "published spread of the anterior tibial vessels" in _told(tibia, _pin(level_mm=300.0))
    assert "spread not known" in _told(tibia, _pin(level_mm=190.0))


@pytest.mark.parametrize(
    ("kind", "bone", "level_mm", "name"),
    [
        ("arm", "humerus", 70.0, "axillary nerve and posterior circumflex humeral artery"),
        ("leg", "femur", 208.0, "femoral nerve branch to vastus intermedius"),
    ],
)
def test_a_spread_is_drawn_where_its_structure_has_an_outline_or_lies_at_another_level(
    kind: str, bone: str, level_mm: float, name: str
) -> None:
    """The checks judge it there, so the section shows it, on the sides that are published."""
    limb = limb_of(kind, "male", 1750.0, 80.0, (), ())
    bands = [
        band
        for band in structures_at(limb, limb.group_of(bone), level_mm).spreads
        if band.name == name
    ]
    sides = {(band.from_deg, band.to_deg) for band in bands}
    assert sides == ({(270.0, 90.0)} if kind == "arm" else {(60.0, 120.0)})
    assert all(15.0 < band.inner_mm < band.outer_mm < 40.0 for band in bands)


def test_a_bone_without_a_section_is_not_assessed(tibia: Case) -> None:
    limb = limb_of_case(tibia)
    cut = Cut("leg", 5.0, "tibia", None, None)
    assert [note.words for note in notes_of(limb, cut, None)] == [
        "Clear directions in the tibia: not assessed."
    ]


@pytest.mark.parametrize("limb_name", ["leg", "arm", "pelvis"])
def test_what_stands_beside_a_section_never_runs_over_its_room(limb_name: str) -> None:
    case = Case(side="both" if limb_name == "pelvis" else "right", limb=limb_name)
    limb = limb_of_case(case)
    room = Box(0.0, 0.0, NOTES_MM, A4_SECTION_MM - TITLE_MM)
    told = 0
    for name, group in limb.groups.items():
        bone = limb.bones[group.primary]
        for share in (0.04, 0.3, 0.5, 0.7, 0.96):
            level = bone.from_mm + share * (bone.to_mm - bone.from_mm)
            cut = cut_of(case, limb, (), (name, level))
            assert cut is not None
            bands = (
                None
                if cut.like is None
                else clear_bands(limb, cut.bone, cut.level_mm, shape_of(cut.like))
            )
            shapes = note_shapes(room, limb, cut, None if bands is None else lettered(bands))
            lowest = max(shape.at[1] for shape in shapes if isinstance(shape, Text))
            assert lowest <= room.bottom, (name, level)
            told += bands is not None
    assert told > 5


def test_of_many_that_block_every_side_a_few_are_named(tibia: Case) -> None:
    limb = limb_of_case(tibia)
    cut = Cut("leg", 190.0, "tibia", _pin(), _pin())
    blocked = tuple(Blocked(f"nerve {n}", "near", 45.0 * n, 45.0 * n + 46.0) for n in range(8))
    bands = lettered(Bands(ClearDirections((), blocked), ()))
    words = " ".join(note.words for note in notes_of(limb, cut, bands))
    assert "Blocked on every side by: nerve 0, nerve 1" in words
    assert "and 3 more." in words
    assert "nerve 6" not in words
