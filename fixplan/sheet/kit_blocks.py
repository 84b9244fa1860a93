"""Parts, trays and drills on the sheet: the answer of `fixplan.kit`, shortly and in full."""

import functools
from typing import NamedTuple

from fixplan.case.records import Case
from fixplan.case.remembered import remembered
from fixplan.errors import FixplanError
from fixplan.frame.stock import drill_for, is_self_drilling
from fixplan.kit.answer import Amount, KitAnswer, kit_for
from fixplan.kit.tray_files import house_trays
from fixplan.sheet.rows import Block, Row, stacked, text_row

OWNER = "table:kit"
LINKED = "For this case alone; the linked case takes kit of its own."
WORKING = "Being counted while something moves."


class KitTold(NamedTuple):
    """The kit in words: in brief for the wall, tray by tray, drills, and the rest of the trip."""

    brief: tuple[str, ...]
    trays: tuple[tuple[str, str], ...]
    drills: tuple[str, ...]
    other: tuple[str, ...]


MOVING = KitTold((WORKING,), ((WORKING, ""),), (), ())
"""While something is dragged, so that nothing stale is shown."""


@remembered
def kit_told(case: Case) -> KitTold:
    """What to open for this case, from this hospital's trays.

    Trays that cannot be read are told in their own sentence: the drawing does not depend on them.
    """
    try:
        answer = kit_for((case,), house_trays())
    except FixplanError as problem:
        return KitTold((str(problem),), ((str(problem), ""),), drill_lines(case), ())
    brief = (*_brief(answer), *((LINKED,) if case.linked else ()))
    return KitTold(brief, tuple(_trays(answer)), drill_lines(case), answer.other)


def _brief(answer: KitAnswer) -> tuple[str, ...]:
    """What must be known before the first tray is opened."""
    names = ", ".join(
        f"{one.name} ({one.place})" if one.place else one.name for one in answer.opened
    )
    told = [f"Open {names}." if names else "No tray to open."]
    told += [f"{one.words}." for one in answer.missing]
    told += [f"{one.words}." for one in answer.replaced]
    told += [f"{one.words}." for one in answer.clashes if one.is_open]
    singles = [one.amount.words for one in answer.packs if not one.is_ready]
    told += [f"Single packs: {'; '.join(singles)}."] if singles else []
    return (*told, f"From {answer.source}.")


def _words(amounts: tuple[Amount, ...]) -> str:
    """Amounts in one line; a count is not parted from what is counted."""
    return " \u00b7 ".join(one.words.replace(" ", "\u00a0", 2) for one in amounts)


def _trays(answer: KitAnswer) -> list[tuple[str, str]]:
    """Headings and texts, a tray at a time, then packs, what is missing and what clashes."""
    told: list[tuple[str, str]] = []
    for tray in answer.opened:
        family = f", clamps of family {tray.family}" if tray.family else ""
        last = "; the last of its kind in the house" if tray.is_last else ""
        told.append((f"{tray.name}: take", f"{_words(tray.taken)}{family}{last}"))
        if tray.spare:
            told.append((f"{tray.name}: spare", _words(tray.spare)))
    for pack in answer.packs:
        lead = "Ready, unopened" if pack.is_ready else "Single pack"
        told.append((lead, f"{pack.amount.words} ({pack.shelf})"))
    told += [("Missing", one.words) for one in answer.missing]
    told += [("Instead", one.words) for one in answer.replaced]
    told += [("Does not fit", one.words) for one in answer.clashes]
    if answer.unspared:
        told.append(("No spare in the house", ", ".join(answer.unspared)))
    if answer.lacking:
        told.append(("No caps in what is opened", ", ".join(answer.lacking)))
    return told


def drill_lines(case: Case) -> tuple[str, ...]:
    """A drill for each diameter of pin that is drawn (PP-21)."""
    lines = []
    for kind, diameter in sorted({(pin.kind, pin.diameter_mm) for pin in case.pins}):
        pair = drill_for(diameter)
        drilled = f"drill {pair.drill_mm:.1f} mm" if pair else "drill as the pin's packet says"
        own = "drills its own hole" if is_self_drilling(kind, diameter) else drilled
        lines.append(f"{kind}-pin {diameter:g} mm: {own}")
    return tuple(lines)


@functools.lru_cache(maxsize=64)
def brief_block(lines: tuple[str, ...], width_mm: float, size_mm: float) -> Block:
    """What to open, in a few lines for the wall."""
    rows = tuple(text_row(line, width_mm, size_mm, gap_mm=0.4) for line in lines)
    return Block(OWNER, "KIT TO OPEN", rows)


@functools.lru_cache(maxsize=64)
def tray_block(told: KitTold, width_mm: float, size_mm: float) -> Block:
    """Every part with the tray that it comes from, and the drills."""
    drills = [("Drills", "; ".join(told.drills))] if told.drills else []
    rows = tuple(_led_row(*one, width_mm, size_mm) for one in (*told.trays, *drills))
    return Block("table:trays", "PARTS AND TRAYS", rows)


def _led_row(lead: str, text: str, width_mm: float, size_mm: float) -> Row:
    """A bold line with a text beneath, never parted."""
    first = text_row(lead, width_mm, size_mm, bold=True, gap_mm=0.1)
    return stacked((first, text_row(text, width_mm, size_mm))) if text else first


@functools.lru_cache(maxsize=64)
def other_blocks(lines: tuple[str, ...], width_mm: float, size_mm: float) -> tuple[Block, ...]:
    """The other kit of the trip."""
    if not lines:
        return ()
    rows = tuple(text_row(line, width_mm, size_mm, gap_mm=0.3) for line in lines)
    return (Block("table:other-kit", "OTHER KIT", rows),)
