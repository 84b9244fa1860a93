"""Parts that do not go together: a size that no clamp takes, families of clamps mixed."""

from collections.abc import Iterator
from typing import Literal

import msgspec

from fixplan.case.records import Acceptance, Case
from fixplan.frame.stock import parts
from fixplan.kit.asking import Asked, Choice, chosen
from fixplan.kit.parts import CLAMPS
from fixplan.kit.trays import Tray

MIXING_RULE = "rule.kit.families"
FRAME = ("frame",)


class Clash(msgspec.Struct, frozen=True, kw_only=True):
    """What does not go together, which pins, bars or clamps it concerns, and a reason if kept."""

    severity: Literal["stop", "caution", "note"]
    case: int
    message: str
    subjects: tuple[str, ...]
    accepted: str | None = None

    @property
    def is_open(self) -> bool:
        """Whether it is a stop that nobody has accepted."""
        return self.severity == "stop" and self.accepted is None

    @property
    def words(self) -> str:
        """As one line."""
        kept = f" (accepted: {self.accepted})" if self.accepted is not None else ""
        return f"{self.severity}: {self.message}{kept}"


def mixing_accepted(case: Case) -> bool:
    """Whether the surgeon accepted clamps of several families in one frame."""
    return any(one.rule == MIXING_RULE for one in case.acceptances)


def mixing_acceptance(reason: str) -> Acceptance:
    """The acceptance of clamps of several families in one frame."""
    return Acceptance(rule=MIXING_RULE, subjects=FRAME, reason=reason, severity="stop")


def clashes_of(
    cases: tuple[Case, ...],
    asked: Asked,
    house: tuple[Tray, ...],
    inside: tuple[Tray, ...],
    choice: Choice,
    met: tuple[int, ...],
) -> Iterator[Clash]:
    """Everything that does not go together, stops first."""
    yield from _untaken(asked, house)
    for place, case in enumerate(cases):
        if mixing_accepted(case):
            reason = next(one.reason for one in case.acceptances if one.rule == MIXING_RULE)
            words = (
                "clamps of several families may be mixed; that they hold together is not assessed"
            )
            yield Clash(severity="stop", case=place, message=words, subjects=FRAME, accepted=reason)
        elif _mixing_serves(asked, inside, choice, met, place):
            words = "one family of clamps is not enough and families are not mixed unless accepted"
            yield Clash(severity="stop", case=place, message=words, subjects=FRAME)
        yield from _other_family(place, choice)


def _untaken(asked: Asked, house: tuple[Tray, ...]) -> Iterator[Clash]:
    for n, need in enumerate(asked.needs):
        part = need.part
        if part.kind not in CLAMPS:
            continue
        if not any(stock.serves(part) for tray in house for stock in tray.stock):
            what = "bar" if part.kind == "bar-to-bar clamp" else "pin"
            yield Clash(
                severity="stop",
                case=asked.case[n],
                message=(
                    f"no clamp of any tray joins a {what} of {part.diameter_mm:g} mm "
                    f"to a bar of {part.bar_mm:g} mm; choose another size"
                ),
                subjects=need.owners,
            )


def _mixing_serves(
    asked: Asked, inside: tuple[Tray, ...], choice: Choice, met: tuple[int, ...], place: int
) -> bool:
    """Whether clamps of any family would leave fewer clamps short in one case."""
    short = any(
        need.part.kind in CLAMPS and asked.case[n] == place and met[n] < need.count
        for n, need in enumerate(asked.needs)
    )
    if not short or choice.families[place] is None:
        return False
    mixing = tuple(at == place or letter is None for at, letter in enumerate(choice.families))
    return chosen(asked, inside, mixing).cover.cost.short < choice.cover.cost.short


def _other_family(place: int, choice: Choice) -> Iterator[Clash]:
    """Clamps of another family than the one whose sizes are drawn."""
    letter, drawn = choice.families[place], {clamp.family for clamp in parts().clamps.values()}
    if letter and drawn - {""} and letter not in drawn:
        words = (
            f"clamps of family {letter} are taken, and those drawn are of family "
            f"{', '.join(sorted(drawn))}; their distance from pin to bar may differ"
        )
        yield Clash(severity="note", case=place, message=words, subjects=FRAME)
