"""Directions in which an untilted pin through a bone's target enters a published spread.

Spreads of named nerves and vessels: those of the skin are opened to and protected.

As `spread_bands` judges one pin, so that the bands of a section and the findings agree; told for
the primary bone of its sections, about whose target the spreads are given.
"""

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from fixplan.geometry.clear_arcs import Blocked
from fixplan.geometry.clear_directions import PinShape
from fixplan.geometry.hazard_gaps import Part
from fixplan.geometry.spread_bands import (
    SLACK_MM,
    Place,
    place_of,
    published_band,
    reached_spreads,
    sides_of,
)
from fixplan.limb.authored import Spread
from fixplan.limb.rings import radii

if TYPE_CHECKING:
    from fixplan.limb.anatomy import Limb

NAMED = "critical"
STEP_DEG = 2.0
"""How far apart bearings within a spread are judged; an end lies between two of them."""

Bearings = NDArray[np.float64]


class Sides(NamedTuple):
    """Bearings (deg) on which a spread counts, and how far the bone reaches on each, mm."""

    bearings: Bearings
    bone_mm: Bearings


def spread_blocked(
    limb: "Limb", bone: str, level_mm: float, pin: PinShape, far_within_mm: float
) -> tuple[Blocked, ...]:
    """Bearings (deg) on which the pin would lie in a published spread, one for each stretch.

    The tip's side counts `far_within_mm` past the tip. Empty where there is no section, and for a
    bone that is not the primary one of its sections.

    Raises:
        LibraryError: the limb has no such bone, or a spread is told from another segment.
    """
    section = limb.section(bone, level_mm)
    if section is None or bone != limb.groups[section.group].primary:
        return ()
    levels = (level_mm - pin.radius_mm, level_mm + pin.radius_mm)
    asked = [
        (spread, place, _sampled(spread, place, pin.radius_mm))
        for spread in reached_spreads(limb, section.group, *levels)
        if (place := place_of(limb, section.group, spread.track, level_mm)) is not None
        and place.grade == NAMED
    ]
    if not asked:
        return ()
    every = np.radians(np.concatenate([bearings for _, _, bearings in asked]))
    reach = radii(section.outline, section.target, every)
    ends = np.cumsum([len(bearings) for _, _, bearings in asked])[:-1]
    return tuple(
        one
        for (spread, place, bearings), bone_mm in zip(asked, np.split(reach, ends), strict=True)
        for one in _stretches(spread, place, Sides(bearings, bone_mm), pin, far_within_mm)
    )


def _stretches(
    spread: Spread, place: Place, sides: Sides, pin: PinShape, far_within_mm: float
) -> Iterator[Blocked]:
    """Bearings on which the outer part lies in the spread, then those on which the inner does."""
    bearings, bone_mm = sides
    past_mm = math.inf if pin.through else pin.overshoot_mm + far_within_mm
    far: Part = "near" if pin.through else "far"
    held = _reached(spread, place, bone_mm, math.inf, pin.radius_mm)
    yield from _runs(place.name, "near", bearings, held)
    held = _reached(spread, place, bone_mm, past_mm, pin.radius_mm)
    yield from _runs(place.name, far, bearings + 180.0, held)


def _sampled(spread: Spread, place: Place, radius_mm: float) -> Bearings:
    """Bearings over the sides on which the spread counts."""
    start, end = sides_of(spread, radius_mm, place, place.away_mm)
    width = (end - start) % 360.0
    return start + np.linspace(0.0, width, max(int(width / STEP_DEG) + 1, 3))


def _reached(
    spread: Spread, place: Place, bone_mm: Bearings, past_mm: float, radius_mm: float
) -> NDArray[np.bool_]:
    """Where a pin's part from the bone to `past_mm` further out reaches as far as the structure."""
    away_mm = np.full_like(bone_mm, place.away_mm)
    if spread.measure == "distance":
        away_mm = bone_mm + published_band(spread)[0] + place.radius_mm
    begins = bone_mm <= away_mm + place.radius_mm + radius_mm + SLACK_MM
    return np.asarray(begins & (bone_mm + past_mm >= away_mm - place.radius_mm))


def _runs(name: str, part: Part, bearings: Bearings, held: NDArray[np.bool_]) -> Iterator[Blocked]:
    """Each stretch of bearings that hold, to the middle before the next that does not."""
    for first, after in _stretches_of(held):
        start = float(bearings[first] if first == 0 else bearings[first - 1 : first + 1].mean())
        end = float(bearings[-1] if after == len(held) else bearings[after - 1 : after + 1].mean())
        yield Blocked(
            f"published spread of the {name}", part, start % 360.0, start % 360.0 + end - start
        )


def _stretches_of(held: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """From where to before where neighbours hold."""
    if held.all():
        return [(0, len(held))]
    if not held.any():
        return []
    edges = np.flatnonzero(np.diff(np.concatenate(([False], held, [False])).astype(int)))
    return list(zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True))
