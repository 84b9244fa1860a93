"""What the trips mean for each other, the pin-site gate, the usual trips."""

import pytest
from msgspec.structs import replace

from fixplan.case.edits import add_candidate, add_pin
from fixplan.case.records import Candidate, Case, Fracture, Pin
from fixplan.case.scalars import OpenGrade
from fixplan.case.trip_edits import add_trip, change_course
from fixplan.case.trip_records import Moment, PinSite, Trip
from fixplan.checks.finding import Finding
from fixplan.errors import EditError
from fixplan.trips.interplay import frame_days, remarks
from fixplan.trips.pin_sites import is_conversion_held
from fixplan.trips.suggesting import with_usual_trips
from fixplan.trips.tasks import kit_of_trip


def at(day: int, month: int = 3) -> Moment:
    return Moment(utc=f"2026-{month:02d}-{day:02d}T09:00Z", zone="Europe/London")


def case_of(grade: OpenGrade, *trips: tuple[Moment, tuple[str, ...]]) -> Case:
    broken = Fracture(id="fracture-1", bone="tibia", from_mm=100, to_mm=140, open_grade=grade)
    case = Case(side="right", fractures=(broken,))
    for when, what in trips:
        case = add_trip(case, Trip(id="trip-1", planned=when, what=what))
    return case


def told(case: Case, severity: str = "") -> str:
    return " ".join(
        one.message for one in remarks(case) if not severity or one.severity == severity
    )


def test_an_implant_in_a_iiib_without_cover_is_a_caution() -> None:
    case = case_of("IIIB", (at(2), ("debridement", "final fixation")), (at(4), ("cover",)))
    assert "Trip 1 puts an implant into an open IIIB" in told(case, "caution")


@pytest.mark.parametrize(
    "trips",
    [
        [(at(2), ("debridement", "frame")), (at(4), ("cover", "final fixation"))],
        [(at(2), ("debridement", "cover")), (at(4), ("final fixation",))],
    ],
)
def test_cover_with_it_or_before_it_is_none(trips: list[tuple[Moment, tuple[str, ...]]]) -> None:
    assert "implant" not in told(case_of("IIIB", *trips))


def test_it_is_asked_of_iiib_only() -> None:
    assert "implant" not in told(case_of("II", (at(2), ("final fixation",))))


@pytest.mark.parametrize(
    ("last", "severity", "said"),
    [
        (at(15), "note", ""),
        (at(17), "note", "past day 14"),
        (at(31), "caution", "past day 28"),
    ],
)
def test_days_in_the_frame(last: Moment, severity: str, said: str) -> None:
    case = case_of("II", (at(1), ("frame",)), (last, ("final fixation",)))
    assert (said in told(case, severity)) is True
    assert ("past day" in told(case)) is bool(said)


def test_a_frame_without_an_end_is_told() -> None:
    case = case_of("II", (at(1), ("frame",)))
    assert frame_days(case) is None
    assert "No trip is planned that ends the frame" in told(case)


def test_a_second_look_is_asked_for_only_when_tissue_is_doubtful() -> None:
    case = case_of("II", (at(1), ("debridement",)))
    assert "second look" not in told(case)
    assert "no second look is planned" in told(change_course(case, tissue_doubtful="yes"))


def logged(*looks: tuple[str, str, str]) -> Case:
    case = Case(side="right")
    for level in (100, 140):
        placed = {"level_mm": level, "bearing_deg": 180, "diameter_mm": 5}
        case = add_pin(case, Pin(id="pin-1", number=1, bone="tibia", **placed))
    log = tuple(PinSite(pin=pin, day=day, state=state) for pin, day, state in looks)
    return change_course(case, pin_sites=log)


def test_an_infected_site_holds_conversion_until_it_is_calm() -> None:
    bad = (("pin-1", "2026-03-04", "dry"), ("pin-1", "2026-03-06", "infected"))
    assert is_conversion_held(logged(*bad))
    assert "Pin 1 infected: before conversion take the frame off" in told(logged(*bad), "caution")
    assert not is_conversion_held(logged(*bad, ("pin-1", "2026-03-20", "dry")))


def test_a_pin_that_was_never_looked_at_is_told() -> None:
    assert "Pin 2: no entry in the pin-site log" in told(logged(("pin-1", "2026-03-04", "wet")))
    assert told(logged()) == ""


def test_a_pin_that_is_out_holds_nothing() -> None:
    assert not is_conversion_held(logged(("removed-pin-3", "2026-03-04", "infected")))


def test_the_chosen_fixation_counts_its_findings() -> None:
    case = case_of("II", (at(1), ("frame",)), (at(9), ("final fixation",)))
    for label in ("lateral plate", "nail"):
        case = add_candidate(case, Candidate(id="candidate-1", kind="undecided", label=label))
    assert "is not chosen" in told(case)
    found = Finding(
        rule="rule.x",
        severity="caution",
        subjects=("pin-1", "candidate-1"),
        subject="Pin 1",
        message="in the way",
    )
    plate = change_course(case, fixation="candidate-1")
    nail = change_course(case, fixation="candidate-2")
    assert "lateral plate. Findings about it: 1 open of 1" in remarks(plate, (found,))[-1].message
    assert "nail. Findings about it: none" in remarks(nail, (found,))[-1].message


def test_the_usual_trips_fix_and_cover_by_72_h() -> None:
    case = with_usual_trips(change_course(case_of("IIIB"), injured_at=at(1), energy="high"))
    assert [trip.what for trip in case.trips] == [
        ("debridement", "frame"),
        ("cover", "final fixation", "pin removal"),
    ]
    assert [trip.planned for trip in case.trips] == [
        Moment(utc="2026-03-01T21:00Z", zone="Europe/London"),
        Moment(utc="2026-03-04T09:00Z", zone="Europe/London"),
    ]
    assert "plastic" in case.trips[1].who
    assert "second look" not in [task for trip in case.trips for task in trip.what]


def test_the_usual_trips_need_the_time_of_injury_and_no_trips() -> None:
    with pytest.raises(EditError, match="time of injury is not given"):
        with_usual_trips(case_of("IIIB"))
    with pytest.raises(EditError, match="planned already"):
        with_usual_trips(change_course(case_of("I", (at(1), ("frame",))), injured_at=at(1)))


def test_a_closed_fracture_is_converted_within_14_days() -> None:
    case = with_usual_trips(change_course(case_of("closed"), injured_at=at(1)))
    assert case.trips[1].planned == Moment(utc="2026-03-16T09:00Z", zone="Europe/London")


def test_the_kit_of_a_trip_names_each_thing_once() -> None:
    kit = kit_of_trip(Trip(id="trip-1", what=("debridement", "second look")))
    assert len(kit) == len(set(kit))
    assert "Debridement set" in kit
    assert kit_of_trip(replace(Trip(id="trip-1"), what=())) == ()


@pytest.mark.parametrize(("day", "is_told"), [(10, False), (17, True)])
def test_pins_in_a_nails_canal_weigh_more_in_a_frame_that_stays(day: int, is_told: bool) -> None:
    case = case_of("II", (at(1), ("frame",)), (at(day), ("final fixation",)))
    found = Finding(
        rule="rule.pin.nail-canal",
        severity="note",
        subjects=("pin-1", "candidate-1"),
        subject="Pins 1 to 4",
        message="out before reaming",
    )
    told = [one.message for one in remarks(case, (found,)) if one.severity == "caution"]
    assert any("Pins 1 to 4: through the canal" in one for one in told) is is_told
    assert not any("canal" in one.message for one in remarks(case))
