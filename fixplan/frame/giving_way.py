"""What of an earlier frame gives way to a starting frame, what stays, and how that is told."""

from collections.abc import Set

from msgspec.structs import replace

from fixplan.case import edits
from fixplan.case.fragments import fragment_of
from fixplan.case.naming import number_of
from fixplan.case.records import Case, Pin
from fixplan.frame.groups import pins_without_bar
from fixplan.frame.order import bars_in_words, pins_in_words


def cleared(case: Case, bones: tuple[str, ...], staying: frozenset[str] = frozenset()) -> Case:
    """The case without the pins of these bones and what hangs on them; `staying`: ids to keep.

    Pins and bars are then numbered on from those that stay, so that a new frame begins at 1 again;
    not where something still speaks of the earlier ones (`_is_spoken_of`).
    """
    gone = [pin.id for pin in case.pins if pin.bone in bones and pin.id not in staying]
    bare = case
    for id_ in gone:
        bare = edits.remove(bare, id_)
    if not gone or _is_spoken_of(bare):
        return bare
    return replace(
        bare,
        last_number=max((pin.number for pin in bare.pins), default=0),
        retired=tuple(id_ for id_ in bare.retired if number_of(id_, "bar") is None),
    )


def _is_spoken_of(case: Case) -> bool:
    """Whether numbers of pins that were taken out may still stand elsewhere than in the drawing.

    In a kept plan, a frame that was built, or the log of pin sites.
    """
    return bool(case.kept_plans or case.built is not None or case.course.pin_sites)


def untouched(case: Case, bare: Case, laid: Case, laid_pins: Set[str]) -> frozenset[str]:
    """Ids of earlier pins that gave way though the new frame puts no pin in their fragment.

    `bare` is the case without what gave way. A pin in a fracture, or off its bone, belongs to no
    fragment and is not among them.
    """
    pieces = _pieces(laid, laid_pins)
    still = {pin.id for pin in bare.pins}
    gone = [pin for pin in case.pins if pin.id not in still]
    return frozenset(
        pin.id for pin in gone if (piece := _piece(case, pin)) is not None and piece not in pieces
    )


def shares_fragment(case: Case, some: Set[str], others: Set[str]) -> bool:
    """Whether pins of two groups (ids) stand in one fragment."""
    return bool((_pieces(case, some) & _pieces(case, others)) - {None})


def replaced_words(before: Case, bare: Case, after: Case) -> str:
    """What gave way and what stays without a bar, in sentences; empty when nothing gave way.

    `bare` is the case once it had given way, before anything was laid.
    """
    pins, bars = ({one.id for one in things} for things in (bare.pins, bare.bars))
    lost = (
        pins_in_words([pin for pin in before.pins if pin.id not in pins]),
        bars_in_words([bar for bar in before.bars if bar.id not in bars]),
    )
    told = " and ".join(words for words in lost if words)
    if not told:
        return ""
    was_held = pins & ({pin.id for pin in before.pins} - {p.id for p in pins_without_bar(before)})
    loose = pins_in_words([pin for pin in pins_without_bar(after) if pin.id in was_held])
    stays = f" No bar holds {loose} any longer." if loose else ""
    return f"{told[0].upper()}{told[1:]} gave way to this frame.{stays}"


def _pieces(case: Case, pins: Set[str]) -> set[tuple[str, int] | None]:
    return {_piece(case, pin) for pin in case.pins if pin.id in pins}


def _piece(case: Case, pin: Pin) -> tuple[str, int] | None:
    found = fragment_of(case, pin)
    return None if found is None else (found.bone, found.index)
