"""A dead space worked out, and what it is refused for."""

import json

import pytest
from msgspec.structs import replace

from fixplan.case.care_edits import add_care, change_care
from fixplan.case.dead_space_records import Cover, DeadSpace, DrugInCement
from fixplan.case.file import decode, encode
from fixplan.case.records import Case, Wound
from fixplan.case.trip_records import Trip
from fixplan.errors import CaseFileError, EditError
from fixplan.trips.beads import beads_in_volume, beads_on_strand
from fixplan.trips.dead_space import filling_of
from fixplan.trips.drugs import packet_of, typed_amount
from fixplan.trips.packets import load_of, packets_needed
from fixplan.trips.space_prompts import space_prompts

EMPTY = Case(side="right")
SPACE = DeadSpace(id="dead-space-1", device="beads", volume_ml=60)


def ids(case: Case, space: DeadSpace) -> list[str]:
    return [one.id for one in space_prompts(case, space)]


def test_beads_of_a_volume_fill_the_share_of_it_that_is_asked_for() -> None:
    few = filling_of(EMPTY, replace(SPACE, packing_percent=55))
    many = filling_of(EMPTY, replace(SPACE, packing_percent=60))
    assert few is not None
    assert many is not None
    assert few.cement_ml <= 33 < few.cement_ml + 0.27
    assert many.cement_ml <= 36 < many.cement_ml + 0.27
    assert few.strands == 5


def test_beads_of_a_strand() -> None:
    assert beads_on_strand(98, 8, 2) == 10
    assert beads_on_strand(97.9, 8, 2) == 9
    found = filling_of(EMPTY, replace(SPACE, volume_ml=None, strand_mm=98, strands=3))
    assert found is not None
    assert (found.beads, found.strands, found.volume) == (30, 3, None)


def test_smaller_beads_have_more_surface_for_the_same_cement() -> None:
    small = filling_of(EMPTY, replace(SPACE, bead_mm=6))
    large = filling_of(EMPTY, replace(SPACE, bead_mm=10))
    assert small is not None
    assert large is not None
    assert small.beads_mm2_per_ml == pytest.approx(1000)
    assert large.beads_mm2_per_ml == pytest.approx(600)
    assert large.beads_mm2_per_ml > large.block_mm2_per_ml


def test_packets_are_whole_and_never_none() -> None:
    assert [packets_needed(ml, 40) for ml in (0.5, 40, 40.01, 120)] == [1, 1, 2, 3]


def test_a_packet_of_another_size_keeps_the_amount_per_40_g() -> None:
    space = replace(SPACE, packet_powder_g=60, drugs=(DrugInCement(drug="vancomycin", amount=3),))
    found = filling_of(EMPTY, space)
    assert found is not None
    assert found.load.per_40_g == pytest.approx(2)
    assert found.load.percent_of_powder == pytest.approx(5)


def test_a_bead_larger_than_its_space_is_told() -> None:
    with pytest.raises(EditError, match="does not hold one bead of 30 mm"):
        filling_of(EMPTY, replace(SPACE, volume_ml=1, bead_mm=30))


def test_a_line_has_no_area() -> None:
    wound = Wound(
        id="wound-1", kind="fasciotomy line", segment="leg", view="front", line=((0, 0), (0, 90))
    )
    space = replace(SPACE, volume_ml=None, drawn="wound-1", depth_mm=10)
    case = Case(side="right", wounds=(wound,), dead_spaces=(space,))
    (trouble,) = [one for one in space_prompts(case, space) if one.id == "space.size"]
    assert "is a line and has no area" in trouble.text


def test_negative_volume_is_refused_in_one_sentence() -> None:
    with pytest.raises(EditError, match=r"^dead-space-1: volume_ml must be more than 0") as told:
        change_care(Case(side="right", dead_spaces=(SPACE,)), "dead-space-1", volume_ml=-3.0)
    assert len(str(told.value).splitlines()) == 1
    with pytest.raises(EditError, match="A volume is -1"):
        beads_in_volume(-1, 8, 58)


def test_zero_packets_are_refused_in_one_sentence() -> None:
    with pytest.raises(EditError, match="0 packets of cement; type 1 or more"):
        change_care(Case(side="right", dead_spaces=(SPACE,)), "dead-space-1", packets=0)
    with pytest.raises(EditError, match="0 packets"):
        load_of(SPACE, packet_of(SPACE), 0, 10)


def test_two_drugs_with_unknown_units_are_told_together() -> None:
    drugs = (
        DrugInCement(drug="vancomycin", amount=2, unit="IU"),
        DrugInCement(drug="tobramycin", amount=3, unit="vials"),
    )
    document = json.loads(encode(Case(side="right", dead_spaces=(SPACE,))))
    document["case"]["dead_spaces"][0]["drugs"] = [
        {"amount": 2, "drug": "vancomycin", "unit": "IU"},
        {"amount": 3, "drug": "tobramycin", "unit": "vials"},
    ]
    with pytest.raises(CaseFileError) as told:
        decode(json.dumps(document).encode(), "plan.json")
    assert "vancomycin in 'IU' and tobramycin in 'vials'; give the amount in g or mg" in str(
        told.value
    )
    assert len(str(told.value).splitlines()) == 1
    with pytest.raises(EditError, match="give the amount in g or mg"):
        add_care(EMPTY, replace(SPACE, drugs=drugs))


@pytest.mark.parametrize(
    ("text", "found"),
    [("2.4 g", (2.4, "g")), ("2,4g", (2.4, "g")), (" 500 mg ", (500.0, "mg"))],
)
def test_typed_amounts(text: str, found: tuple[float, str]) -> None:
    assert typed_amount(text, "tobramycin") == found


@pytest.mark.parametrize("text", ["2", "2 IU", "two g", "", "0 g", "-1 g", "2 g 3 g"])
def test_an_amount_without_a_known_unit_is_told(text: str) -> None:
    with pytest.raises(EditError, match=r"^tobramycin: .*[a-z]"):
        typed_amount(text, "tobramycin")


def test_beads_or_spacer_is_always_asked() -> None:
    space = DeadSpace(id="dead-space-1", volume_ml=20)
    (asked,) = [one for one in space_prompts(EMPTY, space) if one.id == "space.device"]
    assert asked.evidence == ("LA-12", "LA-13")
    assert "2 to 4 weeks (outer 6)" in asked.text
    assert "6 to 8 weeks" in asked.text


def test_a_spacer_is_never_told_the_weeks_of_beads() -> None:
    told = space_prompts(EMPTY, replace(SPACE, device="spacer"))
    assert all("LA-12" not in one.evidence for one in told)
    assert any("LA-13" in one.evidence for one in told)


def test_vacuum_straight_over_beads_is_a_caution_and_offers_a_pouch() -> None:
    over = Cover(id="cover-1", kind="vacuum", vacuum_over="straight over beads")
    case = Case(side="right", dead_spaces=(SPACE,), cover=(over,))
    (prompt,) = [one for one in space_prompts(case, SPACE) if one.id == "space.vacuum"]
    assert (prompt.severity, prompt.evidence[0]) == ("caution", "LA-15")
    assert "animal" in prompt.text
    assert "pouch" in prompt.text


def test_vacuum_over_a_closed_layer_or_another_trip_is_no_caution() -> None:
    closed = Cover(id="cover-1", kind="vacuum", vacuum_over="closed layer")
    assert "space.vacuum" not in ids(Case(side="right", cover=(closed,)), SPACE)
    later = replace(closed, vacuum_over="straight over beads", trip="trip-2")
    first = replace(SPACE, trip="trip-1")
    assert "space.vacuum" not in ids(Case(side="right", cover=(later,)), first)
    assert "space.vacuum" in ids(Case(side="right", cover=(later,)), replace(first, trip="trip-2"))


def test_beads_out_are_counted_against_beads_in() -> None:
    short = replace(SPACE, beads_in=22, beads_out=20)
    (prompt,) = [one for one in space_prompts(EMPTY, short) if one.id == "space.count-out"]
    assert "2 not accounted for" in prompt.text
    assert "space.count-out" not in ids(EMPTY, replace(SPACE, beads_in=22, beads_out=22))


def test_an_absorbable_carrier_is_not_assessed() -> None:
    space = replace(SPACE, carrier="absorbable")
    assert filling_of(EMPTY, space) is None
    (prompt,) = [one for one in space_prompts(EMPTY, space) if one.id == "drug.carrier"]
    assert prompt.severity == "not assessed"


def test_too_few_packets_are_told() -> None:
    assert "space.packets" in ids(EMPTY, replace(SPACE, volume_ml=200, packets=1))
    assert "space.packets" not in ids(EMPTY, replace(SPACE, volume_ml=200, packets=3))


def test_out_before_in_is_told() -> None:
    trips = (Trip(id="trip-1"), Trip(id="trip-2"))
    case = Case(side="right", trips=trips)
    assert "space.order" in ids(case, replace(SPACE, trip="trip-2", out_trip="trip-1"))
    assert "space.order" not in ids(case, replace(SPACE, trip="trip-1", out_trip="trip-2"))
