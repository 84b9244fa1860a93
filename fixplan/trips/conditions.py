"""When a clock counts at all: what must hold of the case, and what is not known of it yet."""

from collections.abc import Callable, Iterator, Mapping

from fixplan.case.dead_space_records import Device
from fixplan.case.records import Case
from fixplan.case.trip_records import Trip, TripTask
from fixplan.trips.clock_book import Condition, Scope
from fixplan.trips.covering import may_cover, pouch_trips
from fixplan.trips.grades import has_open_fracture, worst_grade

PUTS_IN: Mapping[Device, TripTask] = {"beads": "beads in", "spacer": "spacer in"}
SEVERE = ("IIIA", "IIIB")
FLOW_SIGNS = frozenset({"cold or pale limb", "no pulse"})


def trips_with(case: Case, *tasks: TripTask) -> tuple[Trip, ...]:
    """The trips at which any of these is done or planned, in the order of the case."""
    return tuple(trip for trip in case.trips if set(tasks) & set(trip.what))


def is_look_asked(case: Case) -> bool:
    """Whether tissue is doubtful, or a debridement's record asks for a further look."""
    recorded = any(one.look_again == "yes" for one in case.debridements)
    return recorded or case.course.tissue_doubtful == "yes"


def look_trips(case: Case) -> frozenset[str]:
    """The trips whose record asks for a further look; empty: none names its trip."""
    return frozenset(
        one.trip for one in case.debridements if one.look_again == "yes" and one.trip is not None
    )


def device_trips(case: Case, device: Device) -> tuple[Trip, ...]:
    """The trips at which beads, or a spacer, went in: as the dead space says, else as planned.

    A dead space that names no trip says what went in at every trip that puts something in.
    """
    return tuple(trip for trip in case.trips if device in _devices_of(case, trip))


def _devices_of(case: Case, trip: Trip) -> frozenset[str]:
    decided = [one for one in case.dead_spaces if one.device != "not decided"]
    recorded = frozenset(one.device for one in decided if one.trip == trip.id)
    planned = frozenset(name for name, task in PUTS_IN.items() if task in trip.what)
    loose = frozenset(one.device for one in decided if one.trip is None)
    return recorded or (loose if planned and len(loose) == 1 else planned)


def is_taken_out(case: Case, device: Device, trip: Trip) -> bool:
    """Whether a trip takes this device out, as its tasks or the dead space say."""
    spaces = [one for one in case.dead_spaces if one.out_trip == trip.id]
    recorded = {one.device for one in spaces if one.device != "not decided"}
    if recorded:
        return device in recorded
    out = {"beads out", "spacer out"} & set(trip.what)
    is_only = not device_trips(case, "spacer" if device == "beads" else "beads")
    return f"{device} out" in out or (bool(out) and is_only)


def is_severe(case: Case) -> bool:
    """Type IIIA or IIIB of high energy; energy that is not known is taken as high (OF-12)."""
    return worst_grade(case) in SEVERE and case.course.energy != "low"


def has_no_flow(case: Case) -> bool:
    """Whether the limb is told to be without blood flow, or the artery needs repair (SF-05)."""
    return bool(FLOW_SIGNS & set(case.course.vascular.signs)) or worst_grade(case) == "IIIC"


def goes_at_once(case: Case) -> bool:
    """Heavy contamination, a torn artery or compartment syndrome: debridement at once (OF-11)."""
    heavy = case.course.contamination == "heavy"
    return heavy or has_no_flow(case) or _is_release_decided(case)


def _is_release_decided(case: Case) -> bool:
    return case.course.compartment.decided_at is not None


def has_frame(case: Case) -> bool:
    """Whether the case has a frame: pins drawn, or a trip that puts one on."""
    return bool(case.pins) or bool(trips_with(case, "frame"))


def _is_covered_first(case: Case) -> bool:
    """Whether cover comes at an earlier trip than the final fixation."""
    for trip in case.trips:
        if "final fixation" in trip.what:
            return False
        if may_cover(case, trip):
            return True
    return False


def _has_pouch(case: Case) -> bool:
    return has_open_fracture(case) and bool(pouch_trips(case))


CONDITIONS: Mapping[Condition, Callable[[Case], bool]] = {
    "open": has_open_fracture,
    "goes at once": goes_at_once,
    "not at once": lambda case: not goes_at_once(case),
    "severe": is_severe,
    "not severe": lambda case: not is_severe(case),
    "no flow": has_no_flow,
    "release decided": _is_release_decided,
    "released": lambda case: bool(trips_with(case, "fasciotomy")),
    "tissue doubtful": is_look_asked,
    "covered": lambda case: any(may_cover(case, one) for one in case.trips),
    "covered first": _is_covered_first,
    "pouch": _has_pouch,
    "beads": lambda case: bool(device_trips(case, "beads")),
    "spacer": lambda case: bool(device_trips(case, "spacer")),
    "frame": has_frame,
}


def is_out_of_scope(case: Case, scope: Scope) -> bool:
    """Whether all that is broken lies where the guideline says that it does not count (OF-19).

    Judged by the fractures' bones and codes; without a fracture by the segments of what is drawn.
    """
    if case.fractures:
        return all(
            any(_is_kind(one.bone, kind) for kind in scope.bones)
            or one.code.startswith(scope.codes)
            for one in case.fractures
        )
    segments = {one.segment for one in case.injuries} | {one.segment for one in case.wounds}
    return bool(segments) and segments <= set(scope.segments)


def _is_kind(bone: str, kind: str) -> bool:
    """Whether a bone is of a kind: `metacarpal-3` of `metacarpal`."""
    return bone == kind or bone.startswith(f"{kind}-")


def open_questions(case: Case) -> Iterator[str]:
    """What is not known and would change the clocks, a sentence each."""
    yield from _contradicted_devices(case)
    if not has_open_fracture(case):
        return
    if case.course.contamination == "not known":
        yield "Contamination is not given: when it is heavy, debridement goes at once (OF-11)."
    if worst_grade(case) == "not graded":
        yield "The open fracture is not graded: a high-energy IIIA or IIIB has 12 h (OF-12)."
    if worst_grade(case) in SEVERE and case.course.energy == "not known":
        yield "Energy is not given and taken as high: 12 h instead of 24 h (OF-12, OF-13)."
    if case.course.tissue_doubtful == "not known" and not is_look_asked(case):
        yield "Is any tissue doubtful? Then a second look is asked for at 48 to 72 h (OF-17)."


def _contradicted_devices(case: Case) -> Iterator[str]:
    """A trip that puts in one thing while the dead space records the other."""
    for trip in case.trips:
        planned = {name for name, task in PUTS_IN.items() if task in trip.what}
        actual = _devices_of(case, trip)
        if planned and actual != planned:
            name = trip.id.replace("-", " ").capitalize()
            yield (
                f"{name} is planned with {' and '.join(sorted(planned))}, and the dead space has "
                f"{' and '.join(sorted(actual))}: the clocks follow the dead space (LA-12, LA-13)."
            )
