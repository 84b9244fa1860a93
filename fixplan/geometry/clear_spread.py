"""Directions in which an untilted pin through a bone's target enters a published spread.

Spreads of named nerves and vessels: those of the skin are opened to and protected.

As `spread_bands` judges one pin, so that the bands of a section and the findings agree; told for
the primary bone of its sections, about whose target the spreads are given.
"""

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

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
    from fixplan.limb.sections import Section

NAMED = "critical"
STEP_DEG = 2.0
"""How far apart bearings within a spread are judged; an end lies between two of them."""

Bearings = NDArray[np.float64]


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
    found: list[Blocked] = []
    for spread in reached_spreads(limb, section.group, *levels):
        place = place_of(limb, section.group, spread.track, level_mm)
        if place is not None and place.grade == NAMED:
            found += _stretches(section, pin, spread, place, far_within_mm)
    return tuple(found)


def _stretches(
    section: "Section", pin: PinShape, spread: Spread, place: Place, far_within_mm: float
) -> Iterator[Blocked]:
    """Bearings on which the outer part lies in the spread, then those on which the inner does."""
    bearings, bone_mm = _sampled(section, pin, spread, place)
    past_mm = math.inf if pin.through else pin.overshoot_mm + far_within_mm
    far: Part = "near" if pin.through else "far"
    held = _reached(spread, place, bone_mm, math.inf, pin.radius_mm)
    yield from _runs(place.name, "near", bearings, held)
    held = _reached(spread, place, bone_mm, past_mm, pin.radius_mm)
    yield from _runs(place.name, far, bearings + 180.0, held)


def _sampled(
    section: "Section", pin: PinShape, spread: Spread, place: Place
) -> tuple[Bearings, Bearings]:
    """Bearings over the sides on which the spread counts, and how far the bone reaches there."""
    start, end = sides_of(spread, pin.radius_mm, place, place.away_mm)
    width = (end - start) % 360.0
    count = max(int(width / STEP_DEG) + 1, 3)
    bearings = start + np.linspace(0.0, width, count)
    return bearings, radii(section.outline, section.target, np.radians(bearings))


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
    edges = np.flatnonzero(np.diff(np.concatenate(([False], held, [False])).astype(int)))
    last = len(bearings) - 1
    for first, after in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True):
        start = float(bearings[first] if first == 0 else bearings[first - 1 : first + 1].mean())
        end = float(bearings[last] if after > last else bearings[after - 1 : after + 1].mean())
        yield Blocked(
            f"published spread of the {name}", part, start % 360.0, start % 360.0 + end - start
        )
