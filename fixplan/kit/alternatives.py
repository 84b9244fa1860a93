"""Other parts of the house for a part that is short, and the case drawn with each, untried."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from msgspec.structs import replace

from fixplan.case import edits
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Bar, Case
from fixplan.checks.texts import listed
from fixplan.frame.joining import bar_paths
from fixplan.frame.lengths import pin_length
from fixplan.kit.answer import Missing
from fixplan.kit.effects import firmness_ratios, middle
from fixplan.kit.parts import CLAMPS, PINS, Part
from fixplan.kit.replacing import acceptance_for, with_part
from fixplan.kit.trays import SAME_MM, Stock

MOST_SORTS, MOST_LENGTHS = 3, 2
"""How many thicknesses, and lengths of each, are tried for a part that is short."""


class Draft(NamedTuple):
    """A change before it is tried: the case to keep, and the case as it would be built.

    `sort`: thickness and material of the other part; once a length of it does, no longer is tried.
    """

    words: str
    sort: tuple[float, str]
    changed: Case
    built: Case


def drafts_for(case: Case, inside: list[Stock], missing: Missing, source: str) -> Iterator[Draft]:
    """Every change to try for a part that is short; `source` names the trays in the reason."""
    if missing.part.kind in (*PINS, "bar"):
        yield from _replacing(case, inside, missing, source)
    elif missing.part.kind in CLAMPS:
        yield from _other_bars(case, inside, missing)


def _replacing(case: Case, inside: list[Stock], missing: Missing, source: str) -> Iterator[Draft]:
    """Another pin or bar of the same kind, long enough, for as many as are short."""
    drawn = {pin.id for pin in case.pins} | {bar.id for bar in case.bars}
    owners = [one for one in missing.owners if one in drawn]
    least = {one: needed_mm(case, one) for one in owners}
    for part in _alternatives(inside, missing.part, min(least.values(), default=0.0)):
        long_enough = [one for one in owners if part.length_mm >= least[one] - SAME_MM]
        chosen = _losing_least(case, part, long_enough, missing.count)
        if not chosen:
            continue
        reason = f"{missing.part.name} is short ({source})"
        kept = built = case
        for owner in chosen:
            kept = edits.accept(kept, acceptance_for(owner, part, reason))
            built = with_part(built, owner, part)
        names = listed([one.replace("-", " ") for one in chosen])
        words = f"{part.name} in place of {missing.part.name} for {names}"
        yield Draft(words, (part.diameter_mm, part.material), kept, built)


def needed_mm(case: Case, owner: str) -> float:
    """The least length of a pin or bar that still reaches; 0 where it cannot be laid."""
    for pin in case.pins:
        if pin.id == owner and pin.bone in limb_of_case(case).bones:
            return pin_length(case, pin).needed_mm
    path = bar_paths(case).get(owner)
    return 0.0 if path is None else path.length_mm


def _alternatives(inside: Iterable[Stock], wanted: Part, least_mm: float) -> list[Part]:
    """Other parts of the kind that the house holds, the nearest in thickness and length first."""
    found = {
        Part(
            kind=wanted.kind,
            diameter_mm=line.diameter_mm,
            length_mm=line.length_mm,
            material=line.material,
        )
        for line in inside
        if line.part == wanted.kind
        and line.count
        and line.length_mm >= least_mm - SAME_MM
        and not line.serves(wanted)
    }
    ranked = sorted(
        found,
        key=lambda one: (
            abs(one.diameter_mm - wanted.diameter_mm),
            abs(one.length_mm - wanted.length_mm),
            one,
        ),
    )
    sorts = list(dict.fromkeys((one.diameter_mm, one.material) for one in ranked))[:MOST_SORTS]
    return [
        part
        for sort in sorts
        for part in [one for one in ranked if (one.diameter_mm, one.material) == sort][
            :MOST_LENGTHS
        ]
    ]


def _losing_least(case: Case, part: Part, owners: list[str], count: int) -> list[str]:
    """The pins or bars whose change costs the frame least; all, when all are short."""
    if len(owners) <= count:
        return owners

    def kept(owner: str) -> float:
        ratios = firmness_ratios(case, with_part(case, owner, part))
        return 0.0 if ratios is None else middle(ratios)

    return sorted(sorted(owners, key=kept, reverse=True)[:count], key=owners.index)


def _other_bars(case: Case, inside: list[Stock], missing: Missing) -> Iterator[Draft]:
    """The bars at the clamps that are short, of another thickness, drawn anew."""
    joined = {
        name
        for owner in missing.owners
        for name in owner.removeprefix("clamp:").split("/")
        if owner.startswith("clamp:")
    }
    bars = [bar for bar in case.bars if bar.id in joined]
    made = sorted({(line.diameter_mm, line.material) for line in inside if line.part == "bar"})
    for diameter_mm, material in made[: MOST_SORTS + 1] if bars else ():
        if all(bar.diameter_mm == diameter_mm for bar in bars):
            continue
        changed = _thick(case, bars, diameter_mm, material)
        names = listed([f"bar {bar.number}" for bar in bars])
        now = listed(sorted({f"{bar.diameter_mm:g} mm" for bar in bars}))
        words = f"bars of {diameter_mm:g} mm in place of {now} for {names}"
        yield Draft(words, (diameter_mm, material), changed, changed)


def _thick(case: Case, bars: list[Bar], diameter_mm: float, material: str) -> Case:
    for bar in bars:
        case = edits.replace(
            case,
            replace(
                bar, diameter_mm=diameter_mm, material=material or bar.material, length_mm=None
            ),
        )
    return case
