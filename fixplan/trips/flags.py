"""Flags on sheet and screen: prompts, never diagnoses. What was not given is said to be so."""

from collections.abc import Iterator
from datetime import date, datetime

import msgspec

from fixplan.case.records import Case
from fixplan.checks.rules import sources_behind
from fixplan.trips.delta_p import gap_mmhg, is_gap_low, is_pressure_high, pressure_lines
from fixplan.trips.flag_book import flag_book
from fixplan.trips.grades import has_open_fracture
from fixplan.trips.schools import school_lines, schools_raised

DAYS_A_YEAR = 365.25


class Flag(msgspec.Struct, frozen=True, kw_only=True):
    """One subject, what is prompted, and whether something given calls for it.

    `urgent` is what has to be told before all else; empty for nothing.
    """

    id: str
    title: str
    lines: tuple[str, ...]
    is_raised: bool
    urgent: str = ""
    evidence: tuple[str, ...]

    def as_json(self) -> dict[str, object]:
        """The flag as plain values."""
        return {
            "flag": self.id,
            "title": self.title,
            "raised": self.is_raised,
            "prompts": list(self.lines),
            "sources": [*self.evidence, *sources_behind(self.evidence)],
        }


def flags_of(case: Case, now: datetime) -> tuple[Flag, ...]:
    """Every flag, raised or not, in the order in which a team asks. Raises LibraryError."""
    return (_compartment(case), _vascular(case), _resuscitation(case), *_tetanus(case, now))


def _compartment(case: Case) -> Flag:
    told = case.course.compartment
    pain = "yes" in (told.pain_out_of_proportion, told.pain_on_stretch)
    is_raised = pain or is_gap_low(told) or is_pressure_high(told) or told.decided_at is not None
    lines = [_compartment_signs(case), *pressure_lines(told)]
    if is_raised:
        lines.append("If released: within 1 h of the decision, look again at about 48 h (SF-04).")
    return Flag(
        id="compartment",
        title="Compartment syndrome",
        lines=tuple(lines),
        is_raised=is_raised,
        urgent="; ".join(_urgent(case)),
        evidence=("SF-01", "SF-02", "SF-03", "SF-04"),
    )


def _urgent(case: Case) -> Iterator[str]:
    """Pain and a low pressure gap, until a release has been done."""
    if any("fasciotomy" in trip.what and trip.done_at is not None for trip in case.trips):
        return
    told = case.course.compartment
    if told.pain_out_of_proportion == "yes":
        yield "pain out of proportion (SF-01)"
    if told.pain_on_stretch == "yes":
        yield "pain on passive stretch (SF-01)"
    if is_gap_low(told):
        limit = flag_book().compartment.gap_mmhg
        yield f"pressure gap {gap_mmhg(told):g} mmHg, under {limit:g} (SF-02)"


def _compartment_signs(case: Case) -> str:
    told = case.course.compartment
    answers = (
        ("out of proportion", told.pain_out_of_proportion),
        ("on passive stretch", told.pain_on_stretch),
    )
    given = ", ".join(f"{name}: {answer}" for name, answer in answers)
    return f"Pain {given}. Pulses are usually there; a frame does not exclude it (SF-01)."


def _vascular(case: Case) -> Flag:
    told, limit = case.course.vascular, flag_book().vascular.index
    lines = []
    if told.signs:
        lines.append(f"Hard sign: {', '.join(told.signs)}. To theatre; flow before bone (SF-07).")
        lines.append("Shunt, then frame, then repair; leave the vessel's way in free (SF-06).")
        lines.append("Flow back within 4 h, at most 6 h of warm ischaemia (SF-05).")
    index = told.index
    if index is not None:
        against = "under" if index < limit else "not under"
        image = "; image the artery" if index < limit else ""
        lines.append(f"Index {index:g}, {against} {limit:g} (SF-07){image}.")
    elif told.soft_signs == "yes":
        lines.append("Soft signs: measure the index and image the artery (SF-07).")
    if not lines:
        lines.append("No hard sign given; feel the pulses again after pulling to length (SF-07).")
    low = index is not None and index < limit
    return Flag(
        id="vascular",
        title="Artery",
        lines=tuple(lines),
        is_raised=bool(told.signs) or told.soft_signs == "yes" or low,
        evidence=("SF-05", "SF-06", "SF-07"),
    )


def _resuscitation(case: Case) -> Flag:
    told = case.course.resuscitation
    return Flag(
        id="resuscitation",
        title="Resuscitation before final fixation",
        lines=tuple(school_lines(told)),
        is_raised=schools_raised(told),
        evidence=("SF-08", "SF-09", "SF-10"),
    )


def _tetanus(case: Case, now: datetime) -> Iterator[Flag]:
    """Every open fracture is tetanus-prone; the rule that counts is the local one."""
    if not has_open_fracture(case):
        return
    course, rule = case.course, flag_book().tetanus
    lines = ["Every open fracture is tetanus-prone (SF-13); the local rule decides."]
    is_due = False
    if course.last_tetanus is None:
        lines.append("Last dose: not given; ask.")
    else:
        years = (now.date() - date.fromisoformat(course.last_tetanus)).days / DAYS_A_YEAR
        is_due = years > rule.booster_years
        due = "booster due" if is_due else "no booster due"
        lines.append(
            f"Last dose {course.last_tetanus}, {years:.1f} years ago: {due} by the rule of the "
            f"{rule.rule} ({rule.booster_years} years)."
        )
    if course.tetanus_course_complete != "yes":
        lines.append(f"First course complete: {course.tetanus_course_complete}; ask.")
    if course.contamination == "heavy":
        lines.append("Heavy contamination counts as high risk.")
    yield Flag(
        id="tetanus",
        title="Tetanus",
        lines=tuple(lines),
        is_raised=is_due or course.last_tetanus is None,
        evidence=("SF-13",),
    )


def pause_lines() -> tuple[str, ...]:
    """The three pauses with what a frame adds; added to the local list, never in its place."""
    return tuple(f"{pause.name}: {'; '.join(pause.items)}" for pause in flag_book().pause)
