"""What of an earlier frame gives way to a starting frame, what stays, and how that is told."""

from collections.abc import Set

from fixplan.case import edits
from fixplan.case.fragments import fragment_of
from fixplan.case.records import Case, Pin
from fixplan.frame.groups import pins_without_bar
from fixplan.frame.order import bars_in_words, pins_in_words


def cleared(case: Case, bones: tuple[str, ...], staying: frozenset[str] = frozenset()) -> Case:
    """The case without the pins of these bones and what hangs on them; `staying`: ids to keep."""
    for pin in case.pins:
        if pin.bone in bones and pin.id not in staying:
            case = edits.remove(case, pin.id)
    return case


def untouched(case: Case, laid: Case, laid_pins: Set[str]) -> frozenset[str]:
    """Ids of earlier pins that gave way though the new frame puts no pin in their fragment.

    A pin in a fracture, or off its bone, belongs to no fragment and is not among them.
    """
    pieces = _pieces(laid, laid_pins)
    still = {pin.id for pin in laid.pins}
    gone = [pin for pin in case.pins if pin.id not in still]
    return frozenset(
        pin.id for pin in gone if (piece := _piece(case, pin)) is not None and piece not in pieces
    )


def shares_fragment(case: Case, some: Set[str], others: Set[str]) -> bool:
    """Whether pins of two groups (ids) stand in one fragment."""
    return bool((_pieces(case, some) & _pieces(case, others)) - {None})


def replaced_words(before: Case, after: Case) -> str:
    """What gave way and what stays without a bar, in sentences; empty when nothing gave way."""
    pins, bars = ({one.id for one in things} for things in (after.pins, after.bars))
    lost = (
        pins_in_words([pin for pin in before.pins if pin.id not in pins]),
        bars_in_words([bar for bar in before.bars if bar.id not in bars]),
    )
    told = " and ".join(words for words in lost if words)
    if not told:
        return ""
    was_held = {pin.id for pin in before.pins} - {pin.id for pin in pins_without_bar(before)}
    loose = pins_in_words([pin for pin in pins_without_bar(after) if pin.id in was_held])
    stays = f" No bar holds {loose} any longer." if loose else ""
    return f"{told[0].upper()}{told[1:]} gave way to this frame.{stays}"


def _pieces(case: Case, pins: Set[str]) -> set[tuple[str, int] | None]:
    return {_piece(case, pin) for pin in case.pins if pin.id in pins}


def _piece(case: Case, pin: Pin) -> tuple[str, int] | None:
    found = fragment_of(case, pin)
    return None if found is None else (found.bone, found.index)
