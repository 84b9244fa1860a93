"""Another part for one that is short, accepted by the surgeon and kept in the case (D18)."""

import msgspec
from msgspec.structs import replace

from fixplan.case.records import Acceptance, Bar, Case, Pin
from fixplan.kit.asking import Asked
from fixplan.kit.effects import effect_of
from fixplan.kit.parts import KINDS, NAMED_MATERIALS, PIN_KIND, Part, PartKind

RULE = "rule.kit.replaced"
PREFIX = "part:"


class Replacement(msgspec.Struct, frozen=True, kw_only=True):
    """A part taken in place of the drawn one, with what it does and why it was accepted."""

    case: int
    owner: str
    wanted: Part
    used: Part
    effect: str
    reason: str

    @property
    def words(self) -> str:
        """In one line."""
        who = self.owner.replace("-", " ").capitalize()
        return (
            f"{who}: {self.used.name} in place of {self.wanted.name}; {self.effect}; "
            f"accepted: {self.reason}"
        )


def acceptance_for(owner: str, used: Part, reason: str) -> Acceptance:
    """The acceptance of a part in place of the one drawn for a pin or bar."""
    subjects = (owner, f"{PREFIX}{used.key}")
    return Acceptance(rule=RULE, subjects=subjects, reason=reason, severity="caution")


def replacements_accepted(case: Case) -> dict[str, tuple[Part, str]]:
    """For each pin or bar the part accepted in its place, with the reason."""
    found: dict[str, tuple[Part, str]] = {}
    for one in case.acceptances:
        if one.rule == RULE and len(one.subjects) == 2:
            part = part_of_key(one.subjects[1].removeprefix(PREFIX))
            if part is not None:
                found[one.subjects[0]] = part, one.reason
    return found


def part_of_key(key: str) -> Part | None:
    """The pin or bar that a key names; None for anything else."""
    kind, *rest = key.split("/")
    known: dict[str, PartKind] = {name.replace(" ", "-"): name for name in KINDS}
    material = rest.pop(0) if rest and rest[0] in NAMED_MATERIALS else ""
    try:
        diameter, length = (float(size) for size in rest)
    except ValueError:
        return None
    if kind not in ("half-pin", "through-pin", "bar"):
        return None
    return Part(kind=known[kind], diameter_mm=diameter, length_mm=length, material=material)


def with_part(case: Case, owner: str, part: Part) -> Case:
    """The case with one pin or bar of another size; unchanged where it is not there."""
    return replace(
        case,
        pins=tuple(_pin_with(pin, part) if pin.id == owner else pin for pin in case.pins),
        bars=tuple(_bar_with(bar, part) if bar.id == owner else bar for bar in case.bars),
    )


def _pin_with(pin: Pin, part: Part) -> Pin:
    if PIN_KIND[pin.kind] != part.kind:
        return pin
    return replace(pin, diameter_mm=part.diameter_mm, length_mm=part.length_mm)


def _bar_with(bar: Bar, part: Part) -> Bar:
    if part.kind != "bar":
        return bar
    return replace(
        bar,
        diameter_mm=part.diameter_mm,
        length_mm=part.length_mm,
        material=part.material or bar.material,
    )


def as_accepted(
    cases: tuple[Case, ...], asked: Asked, short: dict[int, int]
) -> tuple[tuple[Case, ...], tuple[Replacement, ...]]:
    """The cases with what was accepted in place of parts that are short, as many as are short."""
    built = list(cases)
    told: list[Replacement] = []
    for n, count in short.items():
        at, need = asked.case[n], asked.needs[n]
        kept = replacements_accepted(cases[at])
        for owner in [one for one in need.owners if one in kept][:count]:
            part, reason = kept[owner]
            changed = with_part(built[at], owner, part)
            if changed != built[at]:
                effect = effect_of(cases[at], with_part(cases[at], owner, part)).words
                told.append(
                    Replacement(
                        case=at,
                        owner=owner,
                        wanted=need.part,
                        used=part,
                        effect=effect,
                        reason=reason,
                    )
                )
                built[at] = changed
    return tuple(built), tuple(told)
