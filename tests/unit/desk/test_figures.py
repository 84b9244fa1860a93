"""Figures beside the selected thing: what the pins are in the way of, and titles of bones."""

from msgspec.structs import replace

from fixplan.case.records import Bar, Candidate, Case, LimbSize, Nail, Pin, PinAnchor
from fixplan.desk.panels.figures import beside_title, figures_of
from tests.unit.frame.other_limbs import laid

NAIL = Nail(
    bone="tibia",
    entry="proximal",
    from_mm=0.0,
    to_mm=340.0,
    width_mm=10.0,
    entry_zone=(0.0, 30.0),
    locking_zones=((320.0, 345.0),),
)
HELD = (PinAnchor(pin="pin-1", out_mm=40.0), PinAnchor(pin="pin-2", out_mm=40.0))
CANDIDATE = Candidate(id="candidate-1", kind="nail", parts=(NAIL,))


def pin(number: int, level_mm: float, bone: str = "tibia") -> Pin:
    return Pin(
        id=f"pin-{number}",
        number=number,
        bone=bone,
        level_mm=level_mm,
        bearing_deg=120.0,
        diameter_mm=5.0,
    )


def test_beside_a_candidate_stands_what_the_pins_are_in_the_way_of():
    pins = (pin(1, 60.0), pin(2, 120.0), pin(3, 330.0), pin(4, 20.0, "calcaneus"))
    case = Case(side="right", pins=pins, candidates=(CANDIDATE,), last_number=4)
    told = figures_of(case, CANDIDATE)
    assert told["Pins 1 and 2"] == "out before reaming"
    assert told["Pin 3"].startswith("in a locking zone")
    assert told["Pin 4"] == "nothing found"
    assert figures_of(replace(case, pins=()), CANDIDATE) == {}


def test_a_length_that_does_not_cover_the_doubt_about_the_skin_says_so():
    """It needs 78.4 mm as drawn and 81 where the skin lies further out (`rule.pin.length`)."""
    size = LimbSize(sex="male", stature_mm=1750, mass_kg=80)
    typed, chosen = replace(pin(1, 200.0), length_mm=80.0), pin(2, 200.0)
    case = Case(side="right", size=size, pins=(typed, chosen), last_number=2)
    assert figures_of(case, typed)["Chosen"].endswith("too short where the skin lies further out")
    assert "skin" not in figures_of(case, chosen)["Chosen"]


def test_a_bone_is_called_by_its_title():
    case = Case(side="right", pins=(pin(1, 30.0, "metatarsal-2"),), last_number=1)
    assert beside_title(case, case.pins[0]).startswith("second metatarsal")


def test_a_hole_that_costs_strength_is_told_beside_its_pin():
    """A fifth to a quarter of the width is no finding, and still worth knowing (PD-17)."""
    thick, thin = pin(1, 260.0), replace(pin(2, 260.0), diameter_mm=3.0)
    case = Case(side="right", pins=(thick, thin), last_number=2)
    assert "less torsional strength" in figures_of(case, thick)["Its hole"]
    assert "Its hole" not in figures_of(case, thin)


def test_a_pin_that_no_bar_holds_is_told_first_and_one_that_is_held_is_not():
    bar = Bar(id="bar-1", number=1, anchors=HELD)
    pins = (pin(1, 60.0), pin(2, 120.0), pin(3, 240.0))
    case = Case(side="right", pins=pins, bars=(bar,), last_number=3)
    loose = figures_of(case, pins[2])
    assert next(iter(loose)) == "On no bar"
    assert loose["On no bar"] == "not held"
    assert "On no bar" not in figures_of(case, pins[0])
    assert "no bar is laid" in figures_of(replace(case, bars=()), pins[0])["On no bar"]


def test_of_a_pin_between_two_tables_no_cortices_are_told() -> None:
    case = laid("pelvis-crest").case
    words = figures_of(case, case.pins[0])["Chosen"]
    assert "cortices" not in words
    assert "all along its way in bone" in words
