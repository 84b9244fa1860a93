"""When a clock counts at all: what must hold of the case, and what is not known of it yet."""

from collections.abc import Callable, Iterator, Mapping

from fixplan.case.records import Case
from fixplan.case.trip_records import Trip, TripTask
from fixplan.trips.clock_book import Condition, Scope
from fixplan.trips.grades import is_open, worst_grade

SEVERE = ("IIIA", "IIIB")
FLOW_SIGNS = frozenset({"cold or pale limb", "no pulse"})


def trips_with(case: Case, *tasks: TripTask) -> tuple[Trip, ...]:
    """The trips at which any of these is done or planned, in the order of the case."""
    return tuple(trip for trip in case.trips if set(tasks) & set(trip.what))


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
        if "cover" in trip.what:
            return True
    return False


def _has_pouch(case: Case) -> bool:
    return is_open(case) and any("cover" not in trip.what for trip in trips_with(case, "beads in"))


CONDITIONS: Mapping[Condition, Callable[[Case], bool]] = {
    "open": is_open,
    "goes at once": goes_at_once,
    "not at once": lambda case: not goes_at_once(case),
    "severe": is_severe,
    "not severe": lambda case: not is_severe(case),
    "no flow": has_no_flow,
    "release decided": _is_release_decided,
    "released": lambda case: bool(trips_with(case, "fasciotomy")),
    "tissue doubtful": lambda case: case.course.tissue_doubtful == "yes",
    "covered": lambda case: bool(trips_with(case, "cover")),
    "covered first": _is_covered_first,
    "pouch": _has_pouch,
    "beads": lambda case: bool(trips_with(case, "beads in")),
    "spacer": lambda case: bool(trips_with(case, "spacer in")),
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
    if not is_open(case):
        return
    if case.course.contamination == "not known":
        yield "Contamination is not given: when it is heavy, debridement goes at once (OF-11)."
    if worst_grade(case) == "not graded":
        yield "The open fracture is not graded: a high-energy IIIA or IIIB has 12 h (OF-12)."
    if worst_grade(case) in SEVERE and case.course.energy == "not known":
        yield "Energy is not given and taken as high: 12 h instead of 24 h (OF-12, OF-13)."
    if case.course.tissue_doubtful == "not known":
        yield "Is any tissue doubtful? Then a second look is asked for at 48 to 72 h (OF-17)."
