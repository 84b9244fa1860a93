"""After theatre: parts used, opened and wasted, and what was built otherwise than planned."""

from collections import Counter
from collections.abc import Iterator

from msgspec.structs import replace

from fixplan.case import edits
from fixplan.case.built_records import PartUsed
from fixplan.case.file import snapshot_id
from fixplan.case.film_pixels import without_pixels
from fixplan.case.records import AsBuilt, Case
from fixplan.errors import EditError
from fixplan.film.built import built_words, found_as_built
from fixplan.kit.answer import kit_for
from fixplan.kit.trays import Trays
from fixplan.notes.difference import Change, differences


def planned_parts(case: Case, trays: Trays) -> tuple[PartUsed, ...]:
    """The parts that the plan takes, told as if all were used: what is to be corrected."""
    answer = kit_for([case], trays)
    counts: Counter[str] = Counter()
    for tray in answer.opened:
        counts.update({one.name: one.count for one in tray.taken})
    counts.update({one.amount.name: one.amount.count for one in answer.packs if not one.is_ready})
    return tuple(
        PartUsed(name=name[:200], planned=n, opened=n, used=n) for name, n in counts.items()
    )


def marked(case: Case, parts: tuple[PartUsed, ...], told_at: str, *, is_as_drawn: bool) -> Case:
    """The case marked as built; its frame as drawn now, or as first marked, is kept as the plan.

    Raises EditError when there is no frame, or a count makes no sense.
    """
    if not case.pins:
        raise EditError("There is no frame to mark as built; draw it first.")
    plan = case if case.built is None else case.built.plan
    built = AsBuilt(
        snapshot=snapshot_id(plan),
        is_as_drawn=is_as_drawn,
        told_at=told_at,
        plan=without_pixels(replace(plan, kept_plans=(), built=None)),
        parts=parts,
    )
    return edits.change_case(case, built=built)


def unmarked(case: Case) -> Case:
    """The case as a plan again; the drawing stays as it is."""
    return edits.change_case(case, built=None)


def built_changes(case: Case) -> tuple[Change, ...]:
    """What was built otherwise than planned; empty when all is as planned, or not marked."""
    if case.built is None:
        return ()
    return differences(case.built.plan, replace(case, built=None, kept_plans=()))


def film_lines(case: Case) -> Iterator[str]:
    """Pins as the films after theatre show them, and what is found in that frame."""
    lines = built_words(case)
    if lines:
        yield from lines
        yield from (f"As built, {line}" for line in found_as_built(case))


def built_lines(case: Case) -> Iterator[str]:
    """The frame as built, in words."""
    if case.built is None:
        return
    when = f", told {case.built.told_at}" if case.built.told_at else ""
    changes = built_changes(case)
    if case.built.is_as_drawn and not changes:
        yield f"Built as drawn: plan {case.built.snapshot}{when}"
        return
    if case.built.is_as_drawn:
        yield f"Marked as built as drawn{when}, but the drawing was changed since:"
    elif changes:
        yield f"Built otherwise than plan {case.built.snapshot}{when}:"
    else:
        yield f"Built otherwise than plan {case.built.snapshot}{when}; no change is drawn yet"
    yield from (f"  {one.words}" for one in changes)
