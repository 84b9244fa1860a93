"""What another part does to the frame: hole ratio, length that stands out, firmness, findings."""

from collections.abc import Iterator
from math import prod
from typing import NamedTuple

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.checks.run import check
from fixplan.errors import UnstableFrame
from fixplan.frame.hold import Firmness, has_frame, quick_hold
from fixplan.frame.joining import bar_paths
from fixplan.frame.lengths import pin_length
from fixplan.geometry.measures import hole_ratio

MODES = ("along", "front-back", "side", "twist")
TELLING = 0.005


class Effect(NamedTuple):
    """What changes, in words; `firmness`: the middle (geometric) ratio at the gap that loses most.

    `new_stops` and `new_cautions` are findings that the frame as drawn does not have.
    """

    told: tuple[str, ...]
    firmness: float | None
    new_stops: tuple[Finding, ...]
    new_cautions: tuple[Finding, ...]

    @property
    def words(self) -> str:
        """In one line."""
        found = [*self.told, *(f"new caution: {one.message}" for one in self.new_cautions)]
        return "; ".join(found) or "no change of hole, length or firmness"


def effect_of(case: Case, changed: Case) -> Effect:
    """The whole effect of a change, judged by every rule."""
    ratios = firmness_ratios(case, changed)
    before = {(one.rule, one.subjects) for one in check(case)}
    fresh = [one for one in check(changed) if (one.rule, one.subjects) not in before]
    return Effect(
        told=(*_holes(case, changed), *_lengths(case, changed), *_firmness_words(ratios)),
        firmness=None if ratios is None else middle(ratios),
        new_stops=tuple(one for one in fresh if one.severity == "stop" and one.is_open),
        new_cautions=tuple(one for one in fresh if one.severity == "caution" and one.is_open),
    )


def firmness_ratios(case: Case, changed: Case) -> Firmness | None:
    """By which factor each stiffness changes at the gap that loses most; None where it is loose."""
    if not (has_frame(case) and has_frame(changed)):
        return None
    try:
        then, now = quick_hold(case).gaps, quick_hold(changed).gaps
    except UnstableFrame:
        return None
    if len(then) != len(now) or not then:
        return None
    pairs = zip(now, then, strict=True)
    found = [
        Firmness(*(new / old for new, old in zip(one.firmness, other.firmness, strict=True)))
        for one, other in pairs
    ]
    return min(found, key=middle)


def middle(ratios: Firmness) -> float:
    """The geometric middle of the four."""
    return float(prod(ratios) ** (1 / len(ratios)))


def _firmness_words(ratios: Firmness | None) -> Iterator[str]:
    if ratios is None:
        yield "firmness not assessed"
    elif max(abs(ratio - 1) for ratio in ratios) < TELLING:
        yield "firmness as drawn"
    else:
        told = [
            f"{mode} {100 * (ratio - 1):+.0f} %" for mode, ratio in zip(MODES, ratios, strict=True)
        ]
        yield f"firmness {', '.join(told)}"


def _holes(case: Case, changed: Case) -> Iterator[str]:
    drawn = {pin.id: pin for pin in case.pins}
    limb = limb_of_case(case)
    for pin in changed.pins:
        old = drawn.get(pin.id)
        if old is None or old.diameter_mm == pin.diameter_mm or pin.bone not in limb.bones:
            continue
        then, now = hole_ratio(limb, old), hole_ratio(limb, pin)
        if then is None or now is None:
            yield f"hole of pin {pin.number} not assessed"
        else:
            share = f"{100 * now:.0f} % of the bone, drawn {100 * then:.0f} %"
            yield f"hole of pin {pin.number} {share}"


def _lengths(case: Case, changed: Case) -> Iterator[str]:
    bones = limb_of_case(case).bones
    drawn = {pin.id: pin for pin in case.pins}
    for pin in changed.pins:
        old = drawn.get(pin.id)
        if old is None or pin.bone not in bones or old.length_mm == pin.length_mm:
            continue
        now = pin_length(changed, pin)
        if now.stock_mm is not None:
            over = now.stock_mm - now.needed_mm
            yield f"pin {pin.number} stands {over:.0f} mm past its clamp"
    paths, before = bar_paths(changed), bar_paths(case)
    for id_, path in paths.items():
        if id_ in before and path.overhang_mm - before[id_].overhang_mm > 1:
            yield f"bar {path.bar.number} stands out {path.overhang_mm:.0f} mm at each end"
