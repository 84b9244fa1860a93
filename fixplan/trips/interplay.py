"""What the trips mean for each other: implant and cover, days in the frame, second look."""

from collections.abc import Iterator, Sequence
from datetime import timedelta

import msgspec

from fixplan.case.records import Case
from fixplan.case.scalars import Severity
from fixplan.case.trip_edits import in_order
from fixplan.case.trip_records import Trip, TripTask
from fixplan.checks.finding import Finding
from fixplan.checks.texts import candidate_words
from fixplan.trips.clock_words import trip_words
from fixplan.trips.covering import may_cover
from fixplan.trips.flag_book import flag_book
from fixplan.trips.grades import worst_grade
from fixplan.trips.looking import look_after
from fixplan.trips.moments import utc_of
from fixplan.trips.pin_sites import is_conversion_held, pin_site_lines

CANAL_RULE = "rule.pin.nail-canal"


class Remark(msgspec.Struct, frozen=True, kw_only=True):
    """One sentence about the trips together, with its severity and evidence."""

    severity: Severity
    message: str
    evidence: tuple[str, ...] = ()

    def as_json(self) -> dict[str, object]:
        """The remark as plain values."""
        return {
            "severity": self.severity,
            "message": self.message,
            "sources": list(self.evidence),
        }


def remarks(case: Case, findings: Sequence[Finding] = ()) -> tuple[Remark, ...]:
    """Everything that the trips mean for each other, cautions first. Raises LibraryError.

    `findings` are those of the case; those about the chosen final fixation are counted.
    """
    found = (
        *_uncovered_implant(case),
        *_frame_days(case),
        *_sites(case),
        *_second_look(case),
        *_fixation(case, findings),
        *_pins_in_canal(case, findings),
    )
    return tuple(sorted(found, key=lambda one: one.severity != "caution"))


def _first(case: Case, *tasks: TripTask) -> Trip | None:
    return next((trip for trip in in_order(case.trips) if set(tasks) & set(trip.what)), None)


def _uncovered_implant(case: Case) -> Iterator[Remark]:
    """An implant in an open IIIB or IIIC without cover before it or with it (OF-16)."""
    if worst_grade(case) not in ("IIIB", "IIIC"):
        return
    for trip in in_order(case.trips):
        if may_cover(case, trip):
            return
        if "final fixation" in trip.what:
            yield Remark(
                severity="caution",
                message=f"{trip_words(trip)} puts an implant into an open {worst_grade(case)} "
                "without definitive cover at the same trip: fix and cover in one trip, or keep "
                "the frame until then (OF-16).",
                evidence=("OF-16",),
            )
            return


def frame_days(case: Case) -> float | None:
    """Days from the frame's trip to the one that ends it; None while either has no time."""
    on, off = _first(case, "frame"), _first(case, "final fixation", "pin removal")
    if on is None or off is None:
        return None
    first, last = on.done_at or on.planned, off.done_at or off.planned
    if first is None or last is None:
        return None
    return (utc_of(last) - utc_of(first)) / timedelta(days=1)


def _frame_days(case: Case) -> Iterator[Remark]:
    days, limits = frame_days(case), flag_book().frame
    if days is None:
        if _first(case, "frame") is not None:
            yield Remark(severity="note", message="No trip is planned that ends the frame.")
        return
    if days > limits.risky_day:
        yield Remark(
            severity="caution",
            message=f"The frame is to stay {days:.0f} days, past day {limits.risky_day:g}: direct "
            "conversion counts as high risk; splint and wait between frame and implant is an "
            "alternative (PP-12).",
            evidence=("PP-12",),
        )
    elif days > limits.long_day:
        yield Remark(
            severity="note",
            message=f"The frame is to stay {days:.0f} days, past day {limits.long_day:g}: plan "
            "pin-site cleaning for weeks, and check the sites before conversion (PP-11, SF-11, "
            "PP-35).",
            evidence=("PP-11", "SF-11", "PP-35"),
        )


def _pins_in_canal(case: Case, findings: Sequence[Finding]) -> Iterator[Remark]:
    """Pins through a nail's canal weigh more once the frame stays long or a site is infected."""
    crossing = [one for one in findings if one.rule == CANAL_RULE]
    days, limit = frame_days(case), flag_book().frame.long_day
    reasons = [f"the frame stays past day {limit:g}"] if days is not None and days > limit else []
    if is_conversion_held(case):
        reasons.append("a pin site is infected")
    if crossing and reasons:
        yield Remark(
            severity="caution",
            message=f"{crossing[0].subject}: through the canal of a later nail, and "
            f"{' and '.join(reasons)}: move what is in it, or splint and wait "
            "before nailing (PP-10, PP-11).",
            evidence=("PP-10", "PP-11"),
        )


def _sites(case: Case) -> Iterator[Remark]:
    held = is_conversion_held(case)
    for number, line in enumerate(pin_site_lines(case)):
        is_gate = held and number == 0
        yield Remark(severity="caution" if is_gate else "note", message=line, evidence=("PP-35",))


def _second_look(case: Case) -> Iterator[Remark]:
    """A second look is a question, and is planned only when somebody says yes."""
    asked = [one for one in case.debridements if one.look_again == "yes"]
    if asked and all(look_after(case, one) is None for one in asked[-1:]):
        yield Remark(
            severity="caution",
            message="A further look is asked for by a debridement, and none is planned (OF-17).",
            evidence=("OF-17",),
        )
    elif not asked and case.course.tissue_doubtful == "yes" and _first(case, "second look") is None:
        yield Remark(
            severity="note",
            message="Tissue is doubtful and no second look is planned (OF-17).",
            evidence=("OF-17",),
        )


def _fixation(case: Case, findings: Sequence[Finding]) -> Iterator[Remark]:
    """What the chosen final fixation finds against the pins as they are."""
    chosen = next((one for one in case.candidates if one.id == case.course.fixation), None)
    if chosen is None:
        if len(case.candidates) > 1 and _first(case, "final fixation") is not None:
            yield Remark(severity="note", message="Which later fixation it will be is not chosen.")
        return
    against = [one for one in findings if chosen.id in one.subjects]
    still = sum(one.is_open for one in against)
    words = f"{still} open of {len(against)}" if against else "none"
    yield Remark(
        severity="note",
        message=f"Final fixation: {candidate_words(chosen)}. Findings about it: {words}.",
    )
