"""Copies: new ids, free places, sides changed over, and what cannot be copied."""

from itertools import pairwise

import pytest
from msgspec.structs import replace

from fixplan.case import edits
from fixplan.case.copying import copied, decoded, encoded, pasted
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import (
    Bar,
    Candidate,
    Case,
    Fracture,
    FreeOutline,
    Injury,
    Pin,
    PinAnchor,
    Plate,
    Wound,
)
from fixplan.errors import EditError
from fixplan.geometry.paths import pin_path

RING = ((-30.0, 100.0), (20.0, 100.0), (20.0, 160.0))


def pin(number: int, level_mm: float, **fields: object) -> Pin:
    values = {"bone": "tibia", "bearing_deg": 120.0, "diameter_mm": 5.0, "offset_mm": 3.0}
    return Pin(id=f"pin-{number}", number=number, level_mm=level_mm, **(values | fields))


def framed() -> Case:
    anchors = (PinAnchor(pin="pin-1", out_mm=35.0), PinAnchor(pin="pin-2", out_mm=35.0))
    return Case(
        side="right",
        pins=(pin(1, 80.0), pin(2, 120.0)),
        bars=(Bar(id="bar-1", number=1, anchors=anchors),),
        injuries=(Injury(id="injury-1", segment="leg", front=RING),),
        wounds=(Wound(id="wound-1", kind="opening", segment="leg", view="side", outline=RING),),
        fractures=(Fracture(id="fracture-1", bone="tibia", from_mm=150.0, to_mm=170.0),),
        last_number=2,
    )


def test_a_pin_is_copied_to_the_next_free_level_under_a_new_number() -> None:
    case = pasted(framed(), copied(framed(), "pin-1"))
    assert (case.pins[-1].id, case.pins[-1].level_mm) == ("pin-3", 100.0)
    levels = sorted(one.level_mm for one in case.pins)
    assert min(b - a for a, b in pairwise(levels)) >= 20.0
    assert case.last_number == 3
    assert replace(case.pins[-1], id="pin-1", number=1, level_mm=80.0) == framed().pins[0]


def test_a_bone_full_of_pins_takes_no_copy() -> None:
    full = Case(side="right")
    bone = limb_of_case(full).bones["tibia"]
    level, number = bone.from_mm, 0
    while level <= bone.to_mm:
        number += 1
        full = edits.add_pin(full, pin(number, level))
        level += 19.0
    with pytest.raises(EditError, match="No level of the tibia is free"):
        pasted(full, full.pins[0])


def test_a_bar_is_copied_further_out_on_the_same_pins() -> None:
    case = pasted(framed(), framed().bars[0])
    assert case.bars[-1].number == 2
    assert [anchor.out_mm for anchor in case.bars[-1].anchors] == [65.0, 65.0]
    assert [anchor.pin for anchor in case.bars[-1].anchors] == ["pin-1", "pin-2"]


def test_a_bar_needs_its_pins() -> None:
    with pytest.raises(EditError, match="no pin-1 and pin-2"):
        pasted(Case(side="left"), framed().bars[0])


@pytest.mark.parametrize("id_", ["injury-1", "wound-1"])
def test_an_outline_is_copied_a_step_along(id_: str) -> None:
    thing = copied(framed(), id_)
    field = "injuries" if id_.startswith("injury") else "wounds"
    once = pasted(framed(), thing)
    twice = pasted(once, thing)
    ids = [one.id for one in getattr(twice, field)]
    assert len(set(ids)) == 3
    outlines = [one.front if field == "injuries" else one.outline for one in getattr(twice, field)]
    assert [points[0][1] for points in outlines] == [100.0, 110.0, 120.0]


def test_a_mirrored_pin_comes_from_the_other_side() -> None:
    before = framed().pins[0]
    after = pasted(framed(), before, is_mirrored=True).pins[-1]
    limb = limb_of_case(framed())
    there = replace(after, level_mm=before.level_mm)
    assert after.bearing_deg == pytest.approx(60.0)
    first, second = pin_path(limb, before), pin_path(limb, there)
    for path_mm in (0.0, 100.0):
        x, y, level = first.point(path_mm)
        assert second.point(path_mm)[1:] == pytest.approx([y, level])
        middle_x = 0.5 * (x + second.point(path_mm)[0])
        assert middle_x == pytest.approx(0.5 * (first.point(0)[0] + second.point(0)[0]))


def test_mirrored_twice_is_the_first_again() -> None:
    plate = Plate(
        bone="tibia", side="anterolateral", from_mm=20, to_mm=90, width_mm=14, thickness_mm=4
    )
    candidate = Candidate(
        id="candidate-1", kind="plate", parts=(plate, FreeOutline(segment="leg", front=RING))
    )
    case = edits.add_candidate(framed(), candidate)
    once = pasted(case, case.candidates[0], is_mirrored=True)
    assert once.candidates[-1].parts[0].side == "anteromedial"
    back = pasted(replace(once, candidates=()), once.candidates[-1], is_mirrored=True)
    assert back.candidates[-1].parts == candidate.parts


def test_a_wound_seen_from_the_side_goes_to_the_other_face() -> None:
    over = pasted(framed(), framed().wounds[0], is_mirrored=True).wounds[-1]
    assert (over.face, over.outline) == ("far", RING)


def test_on_a_pelvis_the_copy_goes_to_the_other_half() -> None:
    case = Case(side="both", limb="pelvis")
    case = edits.add_pin(case, pin(1, 10.0, bone="ilium-right", diameter_mm=6.0))
    over = pasted(case, case.pins[0], is_mirrored=True).pins[-1]
    assert (over.bone, over.bearing_deg) == ("ilium-left", 120.0)


def test_what_the_clipboard_holds_comes_back_the_same() -> None:
    for id_ in ("pin-1", "bar-1", "injury-1", "wound-1"):
        thing = copied(framed(), id_)
        assert decoded(encoded(thing)) == thing


@pytest.mark.parametrize("text", [b"", b"{}", b'{"kind":"pin","thing":{}}', b"[" * 5000])
def test_strange_things_on_the_clipboard_are_told(text: bytes) -> None:
    with pytest.raises(EditError, match="copy one first"):
        decoded(text)


def test_a_fracture_is_not_copied() -> None:
    with pytest.raises(EditError, match="is not copied"):
        copied(framed(), "fracture-1")


def test_a_thing_of_another_limb_is_refused() -> None:
    with pytest.raises(EditError, match="has no tibia"):
        pasted(Case(side="right", limb="arm"), framed().pins[0])
