"""The limb under a case: which segment stands, what a frame spans, fragments, sizes."""

import msgspec
import pytest

from fixplan.case import edits
from fixplan.case.fragments import broken_ranges, fragment_of, fragments
from fixplan.case.limbs import (
    bar_systems,
    fixed_segment,
    knee_flexion_deg,
    limb_of_case,
    pose_of_case,
    segment_of,
    spans,
)
from fixplan.case.records import (
    Acceptance,
    Bar,
    BarAnchor,
    BoneSize,
    Candidate,
    Case,
    Fracture,
    FreeOutline,
    Girth,
    Incision,
    Injury,
    LimbSize,
    Nail,
    Pin,
    PinAnchor,
    Plate,
    Support,
    Wound,
)
from fixplan.case.unknown import unknown_ids
from fixplan.errors import EditError

SQUARE = ((0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0))


def pin(number: int, bone: str = "tibia", level_mm: float = 100.0, **fields: object) -> Pin:
    values: dict[str, object] = {"id": f"pin-{number}", "number": number, "bone": bone}
    return Pin(
        **(values | {"level_mm": level_mm, "bearing_deg": 90.0, "diameter_mm": 5.0} | fields)
    )


def bar(number: int, *held: int | str, also: tuple[str, ...] = ()) -> Bar:
    first, second = (
        PinAnchor(pin=f"pin-{one}", out_mm=30.0)
        if isinstance(one, int)
        else BarAnchor(bar=one, at_mm=50.0)
        for one in held
    )
    return Bar(id=f"bar-{number}", number=number, anchors=(first, second), also=also)


def fracture(from_mm: float, to_mm: float, bone: str = "tibia", number: int = 1) -> Fracture:
    return Fracture(id=f"fracture-{number}", bone=bone, from_mm=from_mm, to_mm=to_mm)


def broken(*fractures: Fracture) -> Case:
    return Case(side="right", fractures=fractures)


def pieces(case: Case, bone: str = "tibia") -> list[tuple[str, float, float]]:
    return [(one.name, one.from_mm, one.to_mm) for one in fragments(case, bone)]


def ends(bone: str = "tibia") -> tuple[float, float]:
    known = limb_of_case(Case(side="right")).bones[bone]
    return known.from_mm, known.to_mm


def test_a_whole_bone_is_one_fragment() -> None:
    assert pieces(broken()) == [("whole bone", *ends())]


def test_one_fracture_leaves_two_fragments() -> None:
    low, high = ends()
    assert pieces(broken(fracture(150.0, 190.0))) == [
        ("proximal fragment", low, 150.0),
        ("distal fragment", 190.0, high),
    ]


def test_two_fractures_leave_a_middle_fragment() -> None:
    names = [name for name, *_ in pieces(broken(fracture(250, 270), fracture(100, 120, number=2)))]
    assert names == ["proximal fragment", "middle fragment", "distal fragment"]


def test_three_fractures_leave_numbered_middle_fragments() -> None:
    case = broken(fracture(50, 60), fracture(100, 120, number=2), fracture(200, 220, number=3))
    names = [name for name, *_ in pieces(case)]
    assert names[1:3] == ["middle fragment 1", "middle fragment 2"]


def test_overlapping_and_touching_ranges_are_one_fracture() -> None:
    case = broken(fracture(100, 120), fracture(110, 140, number=2), fracture(140, 150, number=3))
    assert broken_ranges(case, "tibia") == ((100, 150),)
    assert len(pieces(case)) == 2


def test_a_fracture_within_5_mm_of_an_end_leaves_no_fragment_there() -> None:
    low, high = ends()
    assert pieces(broken(fracture(low + 5.0, 60.0))) == [("distal fragment", 60.0, high)]
    assert pieces(broken(fracture(300.0, high - 5.0))) == [("proximal fragment", low, 300.0)]
    assert len(pieces(broken(fracture(low + 5.5, 60.0)))) == 2


def test_a_fracture_past_the_joint_leaves_no_fragment_there() -> None:
    low, high = ends()
    assert pieces(broken(fracture(low - 20.0, 60.0))) == [("distal fragment", 60.0, high)]


def test_a_bone_broken_throughout_has_no_fragment() -> None:
    assert pieces(broken(fracture(*ends()))) == []


def test_another_bones_fracture_does_not_count() -> None:
    assert len(pieces(broken(fracture(100, 120, "fibula")))) == 1


def test_a_bone_that_is_not_there_has_no_fragments() -> None:
    assert fragments(broken(), "ulna") == ()


def test_a_pin_stands_in_its_fragment_or_in_the_fracture() -> None:
    case = broken(fracture(150.0, 190.0))
    upper, lower = (
        fragment_of(case, pin(1, level_mm=150.0)),
        fragment_of(case, pin(2, level_mm=191)),
    )
    assert upper is not None
    assert lower is not None
    assert (upper.index, lower.index) == (1, 2)
    assert fragment_of(case, pin(3, level_mm=170.0)) is None


@pytest.mark.parametrize(
    ("bones", "standing"),
    [
        ((), "leg"),
        (("tibia",), "leg"),
        (("femur",), "thigh"),
        (("patella",), "thigh"),
        (("femur", "tibia"), "leg"),
        (("calcaneus",), "leg"),
        (("ulna",), "leg"),
    ],
)
def test_the_broken_segment_stands(bones: tuple[str, ...], standing: str) -> None:
    assert fixed_segment(broken(*(fracture(10, 20, bone) for bone in bones))) == standing


def framed(*bars: Bar) -> Case:
    pins = (pin(1, "femur"), pin(2, "femur"), pin(3), pin(4), pin(5, "calcaneus", 20.0))
    return Case(side="right", pins=pins, bars=bars, last_number=5)


def test_a_bar_across_the_knee_spans_it() -> None:
    assert spans(framed(bar(1, 1, 3)), "knee")
    assert spans(framed(bar(1, 1, 2, also=("pin-3",))), "knee")
    assert not spans(framed(bar(1, 1, 2), bar(2, 3, 4)), "knee")
    assert not spans(framed(bar(1, 3, 5)), "knee")


def test_a_link_across_the_knee_spans_it() -> None:
    assert spans(framed(bar(1, 1, 2), bar(2, 3, 4), bar(3, "bar-1", "bar-2")), "knee")
    assert spans(framed(bar(3, "bar-1", "bar-2"), bar(1, 1, 2), bar(2, 3, 4)), "knee")


def test_pins_held_together_are_one_system() -> None:
    case = framed(bar(1, 1, 2), bar(2, 3, 4), bar(3, 4, 5))
    assert bar_systems(case) == (("pin-1", "pin-2"), ("pin-3", "pin-4", "pin-5"))


def test_the_knee_is_bent_15_degrees_under_a_spanning_frame() -> None:
    spanning = framed(bar(1, 1, 3))
    assert knee_flexion_deg(spanning) == 15.0
    assert knee_flexion_deg(framed()) == 0.0
    assert knee_flexion_deg(msgspec.structs.replace(spanning, knee_flexion_deg=0.0)) == 0.0


def test_the_pose_follows_the_case_and_is_remembered() -> None:
    assert pose_of_case(framed()) is pose_of_case(framed())
    assert pose_of_case(framed()) is not pose_of_case(framed(bar(1, 1, 3)))


def test_the_limb_does_not_depend_on_the_side() -> None:
    assert limb_of_case(Case(side="left")) is limb_of_case(Case(side="right"))


def test_segments_of_bones() -> None:
    assert [segment_of(framed(), one) for one in ("patella", "fibula", "ulna")] == [
        "thigh",
        "leg",
        None,
    ]


def test_bones_and_segments_that_are_not_there_are_named_and_the_limb_still_drawn() -> None:
    size = LimbSize(
        bones=(BoneSize(bone="ulna", length_mm=250.0),),
        girths=(Girth(segment="hand", girth_mm=200),),
    )
    plate = Plate(
        bone="radius", side="lateral", from_mm=1.0, to_mm=9.0, width_mm=9.0, thickness_mm=3.0
    )
    cut = Incision(segment="wrist", view="front", line=SQUARE[:2], half_width_mm=3.0)
    case = Case(
        side="right",
        size=size,
        fractures=(fracture(10, 20, "humerus"),),
        wounds=(Wound(id="wound-1", kind="opening", segment="arm", view="front", outline=SQUARE),),
        injuries=(Injury(id="injury-1", segment="forearm", front=SQUARE),),
        candidates=(Candidate(id="candidate-1", kind="plate", parts=(plate, cut)),),
        pins=(pin(1, "ulna"),),
        supports=(Support(id="support-1", kind="splint", segment="neck", from_mm=1, to_mm=2),),
        last_number=1,
    )
    told = unknown_ids(case, limb_of_case(case))
    assert told[2] == "pin-1 is on the bone ulna, which the leg does not have"
    names = ("ulna", "humerus", "ulna", "radius", "hand", "arm", "forearm", "neck", "wrist")
    assert all(f" {name}," in text for name, text in zip(names, told, strict=True))


def drawn() -> Case:
    """Everything that size touches, on a leg of the reference size."""
    plate = Plate(
        bone="tibia", side="medial", from_mm=9.0, to_mm=90.0, width_mm=16.0, thickness_mm=6.0
    )
    nail = Nail(
        bone="tibia",
        entry="proximal",
        from_mm=0.0,
        to_mm=300.0,
        width_mm=10.0,
        entry_zone=(0.0, 20.0),
        locking_zones=((280.0, 290.0),),
    )
    cut = Incision(segment="leg", view="front", line=((4.0, 0.0), (4.0, 50.0)), half_width_mm=5.0)
    free = FreeOutline(segment="leg", side=SQUARE)
    wound = Wound(
        id="wound-1",
        kind="fasciotomy line",
        segment="leg",
        view="side",
        line=((0.0, 10.0), (9.0, 60.0)),
        half_width_mm=5.0,
    )
    return Case(
        side="right",
        fractures=(fracture(100.0, 120.0), fracture(200.0, 210.0, "femur", 2)),
        wounds=(wound,),
        injuries=(Injury(id="injury-1", segment="leg", front=SQUARE, margin_mm=20.0),),
        candidates=(Candidate(id="candidate-1", kind="undecided", parts=(plate, nail, cut, free)),),
        pins=(pin(1, level_mm=50.0, offset_mm=4.0), pin(2, level_mm=300.0)),
        bars=(bar(1, 1, 2), bar(2, "bar-1", 2)),
        supports=(Support(id="support-1", kind="splint", from_mm=10.0, to_mm=200.0),),
        last_number=2,
    )


LONGER = LimbSize(sex="male", bones=(BoneSize(bone="tibia", length_mm=385.0 * 1.1),))


def test_a_longer_tibia_scales_levels_along_and_outlines_across() -> None:
    case = edits.set_size(drawn(), LONGER)
    across = 1.1**0.8
    plate, nail, cut, free = case.candidates[0].parts
    assert isinstance(plate, Plate)
    assert isinstance(nail, Nail)
    assert isinstance(cut, Incision)
    assert isinstance(free, FreeOutline)
    assert case.fractures[0].from_mm == pytest.approx(110.0)
    assert case.wounds[0].line[1] == pytest.approx((9.0 * across, 66.0))
    assert case.injuries[0].front[2] == pytest.approx((40.0 * across, 44.0))
    assert (plate.from_mm, plate.width_mm) == pytest.approx((9.9, 16.0 * across))
    assert (nail.to_mm, nail.width_mm) == pytest.approx((330.0, 10.0 * across))
    assert nail.locking_zones[0] == pytest.approx((308.0, 319.0))
    assert cut.line[1] == pytest.approx((4.0 * across, 55.0))
    assert free.side[2] == pytest.approx((40.0 * across, 44.0))
    assert (case.pins[0].level_mm, case.pins[0].offset_mm) == pytest.approx((55.0, 4.0 * across))
    assert case.supports[0].to_mm == pytest.approx(220.0)
    link = case.bars[1].anchors[0]
    assert isinstance(link, BarAnchor)
    assert link.at_mm == pytest.approx(55.0)


def test_a_longer_tibia_leaves_hardware_and_the_thigh_as_they_are() -> None:
    before, after = drawn(), edits.set_size(drawn(), LONGER)
    assert after.fractures[1] == before.fractures[1]
    assert after.pins[0].diameter_mm == 5.0
    assert after.bars[0] == before.bars[0]
    assert after.injuries[0].margin_mm == 20.0
    assert after.wounds[0].half_width_mm == 5.0
    plate = after.candidates[0].parts[0]
    assert isinstance(plate, Plate)
    assert plate.thickness_mm == 6.0


def test_with_the_tick_nothing_drawn_changes() -> None:
    case = edits.set_size(drawn(), LONGER, keep_mm=True)
    assert msgspec.structs.replace(case, size=LimbSize()) == drawn()


def test_there_and_back_is_where_it_was() -> None:
    back = edits.set_size(edits.set_size(drawn(), LONGER), LimbSize())
    assert back.pins[1].level_mm == pytest.approx(300.0, abs=1e-9)
    assert back.injuries[0].front[2] == pytest.approx((40.0, 40.0), abs=1e-9)


def test_a_larger_girth_alone_scales_across_only() -> None:
    slim, swollen = (
        LimbSize(girths=(Girth(segment="leg", girth_mm=girth_mm),)) for girth_mm in (350.0, 420.0)
    )
    case = msgspec.structs.replace(drawn(), size=slim)
    case = edits.set_size(case, swollen)
    assert case.injuries[0].front[2] == pytest.approx((48.0, 40.0))
    assert case.pins == drawn().pins


def test_a_size_out_of_bounds_is_told() -> None:
    with pytest.raises(EditError, match="stature_mm must be at most 2500"):
        edits.set_size(drawn(), LimbSize(stature_mm=3000.0))


def test_pins_are_numbered_anew_from_proximal_and_all_that_names_them_follows() -> None:
    pins = (pin(4, level_mm=300.0), pin(2, "calcaneus", 20.0), pin(7, "femur", 400.0), pin(5))
    bars = (bar(1, 4, 5, also=("pin-2",)), bar(2, 7, "bar-1"))
    accepted = Acceptance(
        rule="rule.x", subjects=("clamp:bar-1/pin-4", "pin-5"), reason="r", severity="note"
    )
    case = Case(side="right", pins=pins, bars=bars, acceptances=(accepted,), last_number=9)
    new = edits.renumber_from_proximal(case)
    assert [(one.id, one.number, one.bone) for one in new.pins] == [
        ("pin-1", 1, "femur"),
        ("pin-2", 2, "tibia"),
        ("pin-3", 3, "tibia"),
        ("pin-4", 4, "calcaneus"),
    ]
    assert new.bars == (bar(1, 3, 2, also=("pin-4",)), bar(2, 1, "bar-1"))
    assert new.acceptances[0].subjects == ("clamp:bar-1/pin-3", "pin-2")
    assert new.last_number == 4
    assert edits.renumber_from_proximal(new) == new
