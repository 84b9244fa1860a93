"""Sides on which a rule about levels would stop a pin, so that no clear direction is drawn there.

A rule with a text `limit` names what ends a band of clear directions there.
"""

from collections.abc import Callable, Iterator
from functools import lru_cache

import numpy as np
from msgspec.structs import replace

from fixplan.checks.capsules import SETTLED_MM, away_mm
from fixplan.checks.rules import Rule, rules
from fixplan.checks.rules import Sector as Side
from fixplan.checks.ways import widest_band
from fixplan.geometry.clear_arcs import Blocked, Part
from fixplan.geometry.clear_directions import PinShape
from fixplan.limb.anatomy import Limb, Section
from fixplan.limb.rings import radii

LIMIT = "limit"
TURN_DEG = 360.0
STEP_DEG = 0.5
"""How finely the outline is asked where a capsule turns back."""
Place = tuple[Limb, str, float, PinShape]
"""A limb, a bone of it, a level (mm), and what matters of the pin."""


@lru_cache(maxsize=256)
def stopped_sides(
    limb: Limb, bone: str, level_mm: float, shape: PinShape, *, open_approach: bool
) -> tuple[Blocked, ...]:
    """Bearings from which an untilted pin through the bone's target would get a stop.

    Raises LibraryError for a bone that the limb does not have.
    """
    place = (limb, bone, level_mm, shape)
    return tuple(
        side
        for rule in _with_limit(rules())
        for side in KINDS[rule.kind](rule, place, open_approach)
    )


@lru_cache(maxsize=4)
def _with_limit(listed: tuple[Rule, ...]) -> tuple[Rule, ...]:
    return tuple(rule for rule in listed if LIMIT in rule.texts)


def _in_band(rule: Rule, place: Place, open_approach: bool) -> Iterator[Blocked]:
    """The sides of a band of levels (kind pin-in-band) that are a stop."""
    limb, bone, level_mm, shape = place
    severity = rule.severities.get("open", rule.severity) if open_approach else rule.severity
    if severity != "stop" or bone not in rule.bones:
        return
    low, high = widest_band(limb, limb.bones[bone].segment, rule.bands)
    if low < level_mm + shape.radius_mm and level_mm - shape.radius_mm < high:
        for side in rule.sectors or (Side(name="", from_deg=0.0, to_deg=TURN_DEG),):
            yield from _blocked(rule, side, 0.0, "near")
            if shape.through:
                yield from _blocked(rule, side, 180.0, "far")


def _near_joint(rule: Rule, place: Place, open_approach: bool) -> Iterator[Blocked]:
    """The sides on which a joint's capsule (kind pin-near-joint) is met going in or coming out."""
    del open_approach  # a joint is no less open for it
    limb, bone, level_mm, shape = place
    if bone != rule.target:
        return
    measured_mm = away_mm(rule, limb, level_mm) - shape.radius_mm
    for side in rule.sectors:
        if side.stop is None or measured_mm >= side.stop - SETTLED_MM:
            continue
        met = _in_front(side, limb.section(bone, level_mm))
        if met is not None:
            yield from _blocked(rule, met, 0.0, "near")
            if shape.through or shape.overshoot_mm >= 0:
                yield from _blocked(rule, met, 180.0, "far")


def _in_front(side: Side, section: Section | None) -> Side | None:
    """The part of a sector in front of where the capsule turns back, if the sector says where."""
    if side.front_share is None or section is None:
        return side
    width = (side.to_deg - side.from_deg) % TURN_DEG or TURN_DEG
    bearings = side.from_deg + np.arange(0.0, width + STEP_DEG / 2, STEP_DEG)
    reach = radii(section.outline, section.target, np.radians(bearings))
    y = section.target[1] + reach * np.sin(np.radians(bearings))
    low, high = float(section.outline[:, 1].min()), float(section.outline[:, 1].max())
    front = bearings[(high - y) / (high - low) < side.front_share]
    if not len(front):
        return None
    return replace(side, from_deg=float(front[0]), to_deg=float(front[-1]))


def _blocked(rule: Rule, side: Side, turned_deg: float, part: Part) -> Iterator[Blocked]:
    start = (side.from_deg + turned_deg) % TURN_DEG
    width = (side.to_deg - side.from_deg) % TURN_DEG or TURN_DEG
    yield Blocked(rule.texts[LIMIT], part, 0.0 if width == TURN_DEG else start, start + width)


KINDS: dict[str, Callable[[Rule, Place, bool], Iterator[Blocked]]] = {
    "pin-in-band": _in_band,
    "pin-near-joint": _near_joint,
}
