"""What the desk says about firmness: the sheet's lines, the card's rows and sentences. No Qt."""

from collections.abc import Iterator
from typing import NamedTuple

from fixplan.case.records import Case
from fixplan.frame.hold import Firmness, Hold, Results, has_frame
from fixplan.frame.hold_words import (
    UNITS,
    Range,
    figure,
    firmness_ranges,
    load_lines,
    said_lines,
    sheet_lines,
    strain_lines,
    upper,
)
from fixplan.frame.limb_length import length_lines
from fixplan.frame.loads import patient_words
from fixplan.frame.trying import Tried
from fixplan.frame.usual import compared

WORKING = "Being worked out while something moves."
MODES = ("Along the bone", "Front-back bend", "Side bend", "Twist")
SHORT = ("Along", "Front-back", "Side", "Twist")


class FirmRow(NamedTuple):
    """One stiffness: its name, value, range, the usual frame's value, and words beside the bar."""

    name: str
    value: float
    low: float
    high: float
    usual: float | None
    figure: str
    change: str


class Known(NamedTuple):
    """What is known about the shown frame; `hold` and `advice` come later than `results`."""

    results: Results
    hold: Hold | None = None
    advice: tuple[Tried, ...] | None = None
    before: tuple[Firmness, ...] | None = None


def hold_lines(case: Case, *, is_moving: bool) -> tuple[str, ...]:
    """The sheet's lines; while something moves a placeholder, so that nothing stale is shown."""
    if is_moving:
        return (WORKING,) if has_frame(case) else ()
    return sheet_lines(case, with_advice=False)


def load_names(results: Results | None) -> tuple[tuple[str, str], ...]:
    """Id and name of every reference load."""
    if results is None:
        return ()
    return tuple((one.load.id, one.load.name) for one in results.loads)


def firm_rows(case: Case, known: Known, gap: int) -> tuple[FirmRow, ...]:
    """The four stiffnesses of a gap, with their ranges once these are known."""
    found = known.results.gaps[gap]
    usual = compared(case, found)
    values = [Range(value, value, value) for value in found.firmness]
    ranges = firmness_ranges(known.hold, gap) if known.hold is not None else tuple(values)
    before = known.before[gap] if known.before and gap < len(known.before) else None
    return tuple(
        FirmRow(
            MODES[n],
            one.middle,
            one.low,
            one.high,
            None if usual is None else one.middle / usual.ratios[n],
            f"{one.words if known.hold is not None else figure(one.middle)} {UNITS[n]}",
            "" if before is None else _change(one.middle / before[n]),
        )
        for n, one in enumerate(ranges)
    )


def _change(ratio: float) -> str:
    percent = round(100 * (ratio - 1))
    return f"{percent:+d} %" if percent else "0 %"


def card_lines(case: Case, known: Known, gap: int) -> Iterator[str]:
    """Sentences under the bars: the comparison first, then movement, stress and advice."""
    usual = compared(case, known.results.gaps[gap])
    if usual is not None:
        yield f"{upper(usual.words)} ({usual.name})."
    if known.hold is not None:
        yield from (f"{upper(line)}." for line in load_lines(known.hold, gap))
    yield from (f"{line}." for line in strain_lines(known.results))
    if known.advice is not None:
        told = "; ".join(one.words for one in known.advice)
        yield f"Firmer: {told or 'no single change tried gains much'}."
    yield from length_lines(case)
    yield f"Loads count with a body mass of {patient_words(case)}."
    yield from said_lines(case)
