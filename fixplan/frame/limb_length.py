"""Length and turn of the limb: what is lost on arrival, what is pulled, what comes back."""

from collections.abc import Iterator
from typing import NamedTuple

from fixplan.case.records import Case
from fixplan.frame.bodies import bodies, runs_past_gap
from fixplan.frame.hold import Hold, Results
from fixplan.frame.joining import BarPath, laid_bars
from fixplan.frame.loads import load_list

ALIKE_MM = 0.5


class BarLength(NamedTuple):
    """A bar that runs past a gap: length needed before and after pulling, mm."""

    bar: str
    before_mm: float
    after_mm: float


class Sag(NamedTuple):
    """How much length the pull of the muscles takes back, mm: tight, usual and loose clamps."""

    tight_mm: float
    middle_mm: float
    loose_mm: float


def left_short_mm(case: Case) -> float | None:
    """How short the limb is left: shortening on arrival less the correction; None if not given."""
    plan = case.length
    if plan.shortening_mm is None and plan.correction_mm is None:
        return None
    return (plan.shortening_mm or 0.0) - (plan.correction_mm or 0.0)


def bar_lengths(case: Case) -> tuple[BarLength, ...]:
    """Bars past a gap: the drawing shows them after pulling, so before it they are shorter."""
    pull_mm = case.length.correction_mm or 0.0
    held = bodies(case)
    paths = laid_bars(case).paths.values()
    return tuple(
        BarLength(path.bar.id, path.length_mm - pull_mm * _share_along(path), path.length_mm)
        for path in paths
        if runs_past_gap(path.bar, held)
    )


def _share_along(path: BarPath) -> float:
    """How much of a pull along the limb goes along a bar."""
    return abs(path.direction[2])


def sag_mm(hold: Hold) -> tuple[Sag | None, ...]:
    """Length given back at each gap under the pull that the frame holds against, mm.

    None where that pull is beyond what can be calculated.
    """
    loose, middle, tight = (_along_mm(one) for one in hold.all)
    pull = hold.middle.load(load_list().hold.id)
    withdrawn = () if pull is None else pull.withdrawn
    rows = zip(tight, middle, loose, withdrawn, strict=True)
    return tuple(None if row[3] else Sag(*row[:3]) for row in rows)


def _along_mm(results: Results) -> list[float]:
    found = results.load(load_list().hold.id)
    return [] if found is None else [one.along_mm for one in found.movements]


def length_lines(case: Case) -> Iterator[str]:
    """What the case says about length and turn, in sentences for the sheet."""
    plan = case.length
    left = left_short_mm(case)
    if plan.shortening_mm is not None:
        yield f"{_off(plan.shortening_mm)} on arrival."
    if plan.correction_mm is not None:
        yield f"{_pull(plan.correction_mm)}; after it {_left(left or 0.0)}."
        for one in bar_lengths(case):
            if abs(one.after_mm - one.before_mm) > ALIKE_MM:
                bar = one.bar.replace("-", " ")
                yield (
                    f"{bar.capitalize()} needs {one.before_mm:.0f} mm before, "
                    f"{one.after_mm:.0f} mm after."
                )
    if plan.rotation_deg is not None:
        way = "outward" if plan.rotation_deg >= 0 else "inward"
        yield f"Turn the distal part {abs(plan.rotation_deg):.0f}° {way}."
    if plan.other_limb_mm is not None:
        yield f"The other limb measures {plan.other_limb_mm:.0f} mm."


def _off(short_mm: float) -> str:
    return f"{abs(short_mm):.0f} mm {'short' if short_mm >= 0 else 'too long'}"


def _pull(correction_mm: float) -> str:
    if correction_mm < 0:
        return f"Shorten by {-correction_mm:.0f} mm on purpose"
    return f"Pull out by {correction_mm:.0f} mm at the fracture"


def _left(short_mm: float) -> str:
    return "at length" if abs(short_mm) < ALIKE_MM else _off(short_mm)
