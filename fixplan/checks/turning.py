"""A turn that would clear a pin of what it meets: how far round its bone, told only if it helps."""

import math
from collections.abc import Callable, Iterator

from msgspec.structs import replace

from fixplan.case.records import Pin
from fixplan.checks.clear_sides import clear_bands, shape_of
from fixplan.checks.finding import Finding
from fixplan.checks.scene import Scene
from fixplan.geometry.clear_arcs import Arc
from fixplan.geometry.clear_limb import Bands
from fixplan.limb.anatomy import Limb
from fixplan.limb.words import side_words

Judge = Callable[[Scene, Pin], tuple[Finding, ...]]

TURNED = (
    "hazard-gap",
    "pin-in-spread",
    "pin-through-other-bone",
    "pin-from-unusual-side",
    "pin-in-band",
)
"""Kinds of rule whose findings a turn may clear."""
_LEVEL_STEP_MM = 2.0
_MOST_TRIES = 6
_PAST_DEG = 45.0
"""A turn that leaves a side further behind than this goes past it."""
_WITHIN_DEG = 12


def turn_words(scene: Scene, pin: Pin, findings: tuple[Finding, ...], judge: Judge) -> str:
    """The shortest turn that clears all that turning may clear; else a shorter tip; else ""."""
    asked = [one for one in findings if is_turned(scene, one)]
    if not asked:
        return ""
    for bearing_deg in _bearings(scene, pin):
        if _helps(scene, replace(pin, bearing_deg=bearing_deg), findings, judge):
            return _turn(scene.limb, pin, bearing_deg)
    flush = replace(pin, tip_mm=0.0)
    if pin.kind == "half" and pin.tip_mm > 0 and _helps(scene, flush, findings, judge):
        return "let its tip end flush with the far surface of the bone"
    return ""


def is_turned(scene: Scene, finding: Finding) -> bool:
    """Whether a finding is open and of a kind that a turn may clear."""
    return finding.is_open and scene.rules_by_id[finding.rule].kind in TURNED


def _helps(scene: Scene, moved: Pin, before: tuple[Finding, ...], judge: Judge) -> bool:
    """Whether nothing is left that turning may clear, and no stop or caution is new."""
    left = judge(scene, moved)
    return not any(is_turned(scene, one) for one in left) and not is_worse(before, left)


def is_worse(before: tuple[Finding, ...], after: tuple[Finding, ...]) -> bool:
    """Whether a pin as moved has a stop or caution that it did not have before, or as a note."""
    known = {(one.rule, one.severity) for one in before}
    known |= {(one.rule, "caution") for one in before if one.severity == "stop"}
    return any(one.is_open and (one.rule, one.severity) not in known for one in after)


def _bearings(scene: Scene, pin: Pin) -> Iterator[float]:
    """Whole bearings to try: the nearest customary ones first, then the nearest clear ones."""
    bands = _bands(scene, pin)
    if bands is None:
        return
    for arcs in (bands.customary, bands.clear.arcs):
        ends = [end for arc in arcs for end in _ends_of(arc)]
        ends.sort(key=lambda end: abs(_delta(pin, end)))
        for end in ends[:_MOST_TRIES]:
            yield float(end % 360)


def _ends_of(arc: Arc) -> Iterator[int]:
    """Whole bearings at both ends of an arc, a little within, and in its middle."""
    low, high = math.ceil(arc.from_deg), math.floor(arc.to_deg)
    inner = (low, low + _WITHIN_DEG, (low + high) // 2, high - _WITHIN_DEG, high)
    yield from (one for one in dict.fromkeys(inner) if low <= one <= high)


def _bands(scene: Scene, pin: Pin) -> Bands | None:
    level_mm = _LEVEL_STEP_MM * round(pin.level_mm / _LEVEL_STEP_MM)
    return clear_bands(
        scene.limb, pin.bone, level_mm, shape_of(pin), open_approach=pin.open_approach
    )


def _delta(pin: Pin, bearing_deg: float) -> float:
    return (bearing_deg - pin.bearing_deg + 180) % 360 - 180


def _turn(limb: Limb, pin: Pin, bearing_deg: float) -> str:
    """A turn in words, by the side that comes next, and where it ends.

    "turn it 12° towards anterior, to lateral (20° towards anterior)"; a turn that leaves that side
    well behind goes past it: "turn it 120° past medial, to posterior"; one that ends there names it
    once: "turn it 30° to medial".
    """
    delta = _delta(pin, bearing_deg)
    sides = limb.segments[limb.bones[pin.bone].segment].sides
    quarter = pin.bearing_deg / 90
    ahead = math.floor(quarter) + 1 if delta > 0 else math.ceil(quarter) - 1
    behind_deg = abs(delta) - abs(90 * ahead - pin.bearing_deg)
    way = "past" if behind_deg > _PAST_DEG else "towards"
    ends = side_words(bearing_deg, sides)
    by = "" if ends == sides[ahead % 4] else f" {way} {sides[ahead % 4]},"
    return f"turn it {abs(delta):.0f}°{by} to {ends}"
