"""Every change to a case, as a function from Case to Case."""

import pytest

from fixplan.case import edits
from fixplan.case.file import decode, encode
from fixplan.case.records import (
    Acceptance,
    Bar,
    BarAnchor,
    Candidate,
    Case,
    Fracture,
    FreeOutline,
    Incision,
    Injury,
    Nail,
    Pin,
    PinAnchor,
    Plate,
    Support,
    Wound,
)
from fixplan.errors import EditError

SQUARE = ((0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0))


def pin(level_mm: float = 100.0, **fields: object) -> Pin:
    values: dict[str, object] = {"id": "new", "number": 1, "bone": "tibia", "bearing_deg": 90.0}
    return Pin(**(values | {"level_mm": level_mm, "diameter_mm": 5.0} | fields))


def bar(first: str, second: str, **fields: object) -> Bar:
    anchors = (PinAnchor(pin=first, out_mm=30.0), PinAnchor(pin=second, out_mm=35.0))
    return Bar(**({"id": "new", "number": 1, "anchors": anchors} | fields))


def framed() -> Case:
    """Four pins, two bars, a link between them, a heel stand on the link, two acceptances."""
    case = Case(side="right")
    for level in (60.0, 100.0, 240.0, 280.0):
        case = edits.add_pin(case, pin(level))
    case = edits.add_bar(case, bar("pin-1", "pin-2"))
    case = edits.add_bar(case, bar("pin-3", "pin-4"))
    link = (BarAnchor(bar="bar-1", at_mm=10.0), BarAnchor(bar="bar-2", at_mm=12.0))
    case = edits.add_bar(case, bar("pin-1", "pin-4", anchors=link))
    case = edits.add_support(case, Support(id="new", kind="heel stand", bar="bar-3"))
    for subjects in (("clamp:bar-1/pin-2",), ("pin-4", "bar-2")):
        accepted = Acceptance(rule="rule.x", subjects=subjects, reason="r", severity="caution")
        case = edits.accept(case, accepted)
    return case


def drawn() -> Case:
    """An injury, a wound and a candidate with one part of each kind."""
    case = edits.add_injury(Case(side="left"), Injury(id="x", segment="leg", front=SQUARE))
    wound = Wound(id="x", kind="opening", segment="leg", view="side", outline=SQUARE)
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
    cut = Incision(segment="leg", view="front", line=((0.0, 0.0), (0.0, 50.0)), half_width_mm=5.0)
    free = FreeOutline(segment="leg", side=SQUARE)
    later = Candidate(id="x", kind="undecided", parts=(plate, nail, cut, free))
    return edits.add_candidate(edits.add_wound(case, wound), later)


def test_new_things_get_the_next_number_of_their_kind() -> None:
    case = framed()
    assert [one.id for one in case.pins] == ["pin-1", "pin-2", "pin-3", "pin-4"]
    assert [one.number for one in case.bars] == [1, 2, 3]
    assert case.supports[0].id == "support-1"
    assert case.last_number == 4


def test_a_pins_number_is_never_given_again() -> None:
    case = edits.remove(framed(), "pin-4")
    assert edits.add_pin(case, pin()).pins[-1].id == "pin-5"


def test_a_bars_number_is_never_given_again() -> None:
    case = edits.remove(framed(), "bar-3")
    assert case.retired == ("bar-3", "support-1")
    assert edits.add_bar(case, bar("pin-1", "pin-4")).bars[-1].number == 4


def test_numbers_stay_unused_after_saving_and_loading() -> None:
    case = decode(encode(edits.remove(framed(), "bar-3")), "x")
    assert edits.add_bar(case, bar("pin-1", "pin-4")).bars[-1].id == "bar-4"


def test_removing_a_pin_takes_the_bar_and_what_hangs_on_it() -> None:
    case = framed()
    assert edits.removed_with(case, "pin-2") == ("pin-2", "bar-1", "bar-3", "support-1")
    left = edits.remove(case, "pin-2")
    assert [one.id for one in left.pins] == ["pin-1", "pin-3", "pin-4"]
    assert [one.id for one in left.bars] == ["bar-2"]
    assert left.supports == ()
    assert [one.subjects for one in left.acceptances] == [("pin-4", "bar-2")]


def test_a_bar_that_loses_an_anchor_holds_on_to_the_next_pin_it_carries() -> None:
    case = edits.change(framed(), "bar-1", also=("pin-3",))
    left = edits.remove(case, "pin-1")
    assert left.bars[0].anchors[0] == PinAnchor(pin="pin-3", out_mm=30.0)
    assert left.bars[0].also == ()


def test_removing_a_carried_pin_leaves_the_bar() -> None:
    case = edits.change(framed(), "bar-1", also=("pin-3",))
    left = edits.remove(edits.remove(case, "bar-2"), "pin-3")
    assert left.bars[0].also == ()
    assert left.bars[0].anchors == case.bars[0].anchors


def test_removing_an_injury_leaves_the_rest() -> None:
    case = drawn()
    left = edits.remove(case, "injury-1")
    assert left.injuries == ()
    assert left.wounds == case.wounds


def test_removing_what_is_not_there_is_told() -> None:
    with pytest.raises(EditError, match="pin-9 is not in the case"):
        edits.remove(framed(), "pin-9")


def test_a_change_keeps_everything_else() -> None:
    case = framed()
    changed = edits.change(case, "pin-2", tilt_deg=10.0, note="by the wound")
    assert changed.pins[1].tilt_deg == 10.0
    assert changed.pins[0] is case.pins[0]
    assert edits.change(changed, "pin-2", tilt_deg=0.0, note="") == case


def test_a_value_out_of_bounds_is_told_in_words() -> None:
    with pytest.raises(EditError, match=r"pin-2: tilt_deg must be at most 60\.0"):
        edits.change(framed(), "pin-2", tilt_deg=75.0)


@pytest.mark.parametrize("fields", [{"id": "pin-9"}, {"number": 9}, {"depth_mm": 3.0}])
def test_fields_that_cannot_be_changed_are_told(fields: dict[str, object]) -> None:
    with pytest.raises(EditError, match="pin-2"):
        edits.change(framed(), "pin-2", **fields)


def test_a_change_that_makes_no_sense_is_refused() -> None:
    case = edits.change(framed(), "pin-1", kind="through")
    far = (PinAnchor(pin="pin-1", end="far", out_mm=20.0), case.bars[0].anchors[1])
    case = edits.change(case, "bar-1", anchors=far)
    with pytest.raises(EditError, match="far end of pin-1"):
        edits.change(case, "pin-1", kind="half")


def test_replacing_a_record_that_is_not_there_is_told() -> None:
    with pytest.raises(EditError, match="pin-7"):
        edits.replace(framed(), pin(id="pin-7", number=7))


def test_a_thing_of_another_kind_is_told() -> None:
    with pytest.raises(EditError, match="bar-1 is not a pin"):
        edits.slide_pin(framed(), "bar-1", 5.0)


def test_the_two_hundred_and_first_pin_is_refused() -> None:
    pins = tuple(pin(id=f"pin-{n}", number=n) for n in range(1, 201))
    with pytest.raises(EditError, match="200"):
        edits.add_pin(Case(side="right", pins=pins, last_number=200), pin())


def test_case_fields_are_changed_within_their_bounds() -> None:
    assert edits.change_case(framed(), label="bed 4").label == "bed 4"
    with pytest.raises(EditError, match="knee_flexion_deg must be at most 30"):
        edits.change_case(framed(), knee_flexion_deg=40.0)


def test_a_pin_slides_turns_and_tilts() -> None:
    case = edits.slide_pin(framed(), "pin-1", 5.0, -2.0)
    case = edits.tilt_pin(edits.turn_pin(case, "pin-1", -100.0), "pin-1", 5.0)
    moved = case.pins[0]
    assert (moved.level_mm, moved.offset_mm) == (65.0, -2.0)
    assert (moved.bearing_deg, moved.tilt_deg) == (350.0, 5.0)


def test_a_bar_slides_away_from_the_skin_at_its_pins() -> None:
    first, second = edits.slide_bar(framed(), "bar-1", 5.0).bars[0].anchors
    assert isinstance(first, PinAnchor)
    assert isinstance(second, PinAnchor)
    assert (first.out_mm, second.out_mm) == (35.0, 40.0)


def test_accepting_again_replaces_the_reason() -> None:
    again = Acceptance(
        rule="rule.x", subjects=("clamp:bar-1/pin-2",), reason="new", severity="caution"
    )
    case = edits.accept(framed(), again)
    assert [one.reason for one in case.acceptances] == ["r", "new"]


def test_an_acceptance_needs_a_reason() -> None:
    empty = Acceptance(rule="rule.x", subjects=("pin-1",), reason="", severity="stop")
    with pytest.raises(EditError, match="reason"):
        edits.accept(framed(), empty)


def test_an_acceptance_is_withdrawn() -> None:
    case = edits.withdraw(framed(), "rule.x", ("pin-4", "bar-2"))
    assert len(case.acceptances) == 1
    with pytest.raises(EditError, match="not accepted"):
        edits.withdraw(case, "rule.x", ("pin-4", "bar-2"))


def test_the_side_is_one_field_and_mirroring_twice_changes_nothing() -> None:
    case = framed()
    assert edits.mirrored(case) == edits.set_side(case, "left")
    assert edits.mirrored(edits.mirrored(case)) == case


def test_an_injury_moves_across_in_its_view_only() -> None:
    case = edits.set_outline(drawn(), "injury-1", "side", SQUARE)
    moved = edits.move(case, "injury-1", "front", 3.0, 5.0).injuries[0]
    assert moved.front[0] == (3.0, 5.0)
    assert moved.side[0] == (0.0, 5.0)


def test_a_candidate_moves_with_all_its_parts() -> None:
    plate, nail, cut, free = (
        edits.move(drawn(), "candidate-1", "front", 3.0, 5.0).candidates[0].parts
    )
    assert isinstance(plate, Plate)
    assert isinstance(nail, Nail)
    assert isinstance(cut, Incision)
    assert isinstance(free, FreeOutline)
    assert (plate.from_mm, plate.to_mm) == (14.0, 95.0)
    assert (nail.entry_zone, nail.locking_zones) == ((5.0, 25.0), ((285.0, 295.0),))
    assert cut.line[0] == (3.0, 5.0)
    assert free.side[0] == (0.0, 5.0)


def test_a_wound_moves_across_in_its_own_view_only() -> None:
    assert edits.move(drawn(), "wound-1", "front", 3.0, 5.0).wounds[0].outline[0] == (0.0, 5.0)
    assert edits.move(drawn(), "wound-1", "side", 3.0, 5.0).wounds[0].outline[0] == (3.0, 5.0)


def test_fracture_and_pin_move_along() -> None:
    fracture = Fracture(id="x", bone="tibia", from_mm=10.0, to_mm=20.0)
    case = edits.move(edits.add_fracture(framed(), fracture), "fracture-1", "front", 9.0, 5.0)
    assert (case.fractures[0].from_mm, case.fractures[0].to_mm) == (15.0, 25.0)
    assert edits.move(case, "pin-1", "front", 9.0, 5.0).pins[0].level_mm == 65.0


def test_in_the_foot_seen_from_above_the_views_share_the_way_forward() -> None:
    injury = Injury(id="x", segment="hindfoot", front=SQUARE, side=SQUARE)
    case = edits.add_injury(Case(side="right"), injury)
    from_above = edits.move(case, "injury-1", "front", 3.0, 5.0).injuries[0]
    assert (from_above.front[0], from_above.side[0]) == ((3.0, 5.0), (5.0, 0.0))
    from_aside = edits.move(case, "injury-1", "side", 3.0, 5.0).injuries[0]
    assert (from_aside.front[0], from_aside.side[0]) == ((0.0, 3.0), (3.0, 5.0))


def test_in_the_foot_seen_from_above_nothing_moves_along_the_levels() -> None:
    heel = pin(20.0, bone="calcaneus", kind="through")
    case = edits.add_pin(Case(side="right"), heel)
    assert edits.move(case, "pin-1", "front", 3.0, 5.0).pins[0].level_mm == 20.0
    assert edits.move(case, "pin-1", "side", 3.0, 5.0).pins[0].level_mm == 25.0


def test_a_splint_moves_and_a_heel_stand_does_not() -> None:
    splint = Support(id="x", kind="splint", from_mm=10.0, to_mm=90.0)
    case = edits.add_support(framed(), splint)
    assert edits.move(case, "support-2", "side", 0.0, 5.0).supports[1].to_mm == 95.0
    with pytest.raises(EditError, match="support-1 follows"):
        edits.move(case, "support-1", "side", 0.0, 5.0)


def test_a_bar_does_not_move_by_itself() -> None:
    with pytest.raises(EditError, match="bar-1 follows what holds it"):
        edits.move(framed(), "bar-1", "front", 1.0, 1.0)


def test_a_vertex_is_moved_added_and_taken_away() -> None:
    case = edits.move_vertex(drawn(), "injury-1", "front", 2, (50.0, 45.0))
    case = edits.insert_vertex(case, "injury-1", "front", 3, (-5.0, 20.0))
    case = edits.delete_vertex(case, "injury-1", "front", 0)
    assert case.injuries[0].front == ((40.0, 0.0), (50.0, 45.0), (0.0, 40.0), (-5.0, 20.0))


def test_a_vertex_of_a_part_is_moved() -> None:
    case = edits.move_vertex(drawn(), "candidate-1", "side", 0, (-4.0, -4.0), part=3)
    free = case.candidates[0].parts[3]
    assert isinstance(free, FreeOutline)
    assert free.side[0] == (-4.0, -4.0)
    assert case.candidates[0].parts[:3] == drawn().candidates[0].parts[:3]


def test_a_vertex_that_would_cross_its_outline_is_refused() -> None:
    with pytest.raises(EditError, match="injury-1 front crosses itself"):
        edits.move_vertex(drawn(), "injury-1", "front", 0, (60.0, 20.0))


def test_the_third_vertex_cannot_be_taken_away() -> None:
    case = edits.delete_vertex(drawn(), "injury-1", "front", 0)
    with pytest.raises(EditError, match="at least 3"):
        edits.delete_vertex(case, "injury-1", "front", 0)


@pytest.mark.parametrize(
    ("id_", "name", "index", "part"),
    [
        ("injury-1", "front", 4, None),
        ("injury-1", "front", -1, None),
        ("injury-1", "line", 0, None),
        ("injury-1", "front", 0, 0),
        ("candidate-1", "front", 0, None),
        ("candidate-1", "front", 0, 0),
        ("candidate-1", "front", 0, 9),
    ],
)
def test_vertices_that_are_not_there_are_told(
    id_: str, name: edits.OutlineName, index: int, part: int | None
) -> None:
    with pytest.raises(EditError, match=id_):
        edits.move_vertex(drawn(), id_, name, index, (1.0, 1.0), part)


def test_a_part_of_a_candidate_is_changed_by_itself() -> None:
    case = edits.change_part(drawn(), "candidate-1", 0, side="lateral", width_mm=18.0)
    plate = case.candidates[0].parts[0]
    assert isinstance(plate, Plate)
    assert (plate.side, plate.width_mm) == ("lateral", 18.0)
    with pytest.raises(EditError, match="no part 5"):
        edits.change_part(drawn(), "candidate-1", 4, width_mm=18.0)


def test_edits_never_change_the_case_they_start_from() -> None:
    case = framed()
    before = encode(case)
    edits.remove(edits.slide_pin(case, "pin-1", 5.0), "pin-2")
    assert encode(case) == before
