"""The bearings from which a straight pin through a bone's target meets nothing that is known there.

The pin comes from outside without end, runs through the target and ends flat, its tip past the far
surface by the overshoot; a through-pin runs on. An answer says which bearings are blocked by what
and what ends each clear arc. "Clear" means that nothing was found, no more.
"""

from collections.abc import Iterable, Sequence

import msgspec
import numpy as np
from numpy.typing import NDArray

from fixplan.geometry.clear_arcs import Arc, Blocked, Part, Windows, clear_arcs
from fixplan.geometry.clear_discs import Disc, Discs, in_columns
from fixplan.geometry.clear_near import Edges, disc_windows
from fixplan.geometry.clear_surface import TURN, FarSurface
from fixplan.geometry.clear_tip import Stretches, Tip, disc_stretches, edge_stretches

Array = NDArray[np.float64]
Ring = Array | Sequence[tuple[float, float]]

_HALF_TURN = TURN / 2


class Obstacle(msgspec.Struct, frozen=True):
    """A hazard with an outline (n, 2) in the section's frame, mm: another bone, a joint cavity.

    `gap_mm` is what must stay free around it; 0: it must not be met. `far_gap_mm` as for a disc.
    """

    name: str
    outline: Ring
    gap_mm: float = 0.0
    far_gap_mm: float | None = None


class PinShape(msgspec.Struct, frozen=True):
    """What matters of a pin: radius, how far its tip passes the far surface, through or not."""

    radius_mm: float
    overshoot_mm: float = 0.0
    through: bool = False


class ClearDirections(msgspec.Struct, frozen=True):
    """All clear arcs of a pin through one target at one level, and what blocks the rest."""

    arcs: tuple[Arc, ...]
    blocked: tuple[Blocked, ...]

    @property
    def drawn(self) -> tuple[Arc, ...]:
        """The arcs that are wide enough to be drawn."""
        return tuple(arc for arc in self.arcs if not arc.narrow)

    @property
    def width_deg(self) -> float:
        """All clear arcs together, degrees."""
        return sum(arc.width_deg for arc in self.arcs)

    def blocked_at(self, bearing_deg: float) -> tuple[Blocked, ...]:
        """Everything that blocks one bearing; empty where nothing was found."""
        return tuple(
            block
            for block in self.blocked
            if (bearing_deg - block.from_deg) % 360.0 < block.to_deg - block.from_deg
        )


def clear_directions(
    outline: Ring,
    target: tuple[float, float] | Array,
    pin: PinShape,
    discs: Sequence[Disc] | Discs = (),
    obstacles: Sequence[Obstacle] = (),
) -> ClearDirections:
    """Clear arcs of a pin through `target` of the bone with this outline at one level.

    Ends are exact to 1e-9 radians: closed forms for the outer part of the pin, bracketed roots
    where its flat tip is what meets a hazard. Touching is not meeting.

    Args:
        outline: the bone's outline (n, 2), mm, in the section's frame; closed by itself.
        target: the point (x, y) that the pin's axis passes through, inside the outline.
        pin: radius, overshoot, and whether it is a through-pin.
        discs: round hazards about the target.
        obstacles: hazards with an outline.

    Raises:
        GeometryError: the target is not inside the outline.
    """
    middle = np.asarray(target, dtype=float)
    tip = Tip(FarSurface(np.asarray(outline, dtype=float), middle), pin.radius_mm, pin.overshoot_mm)
    windows = Windows()
    if len(discs):
        _add_discs(windows, tip, pin, _columns(discs))
    for obstacle in obstacles:
        _add_obstacle(windows, tip, pin, middle, obstacle)
    found = windows.blocked()
    return ClearDirections(clear_arcs(found), found)


def entry_blocked(
    target: tuple[float, float] | Array,
    radius_mm: float,
    discs: Sequence[Disc] | Discs = (),
    obstacles: Sequence[Obstacle] = (),
) -> tuple[Blocked, ...]:
    """Bearings on which the outer part alone meets tendon or muscle, between skin and bone."""
    windows = Windows()
    if len(discs):
        _add_near(windows, _columns(discs), radius_mm, "entry")
    for obstacle in obstacles:
        edges = Edges(np.asarray(obstacle.outline, dtype=float) - np.asarray(target, dtype=float))
        _add_named(windows, obstacle.name, "entry", *edges.near(radius_mm + obstacle.gap_mm))
    return windows.blocked()


def without(directions: ClearDirections, blocked: Iterable[Blocked]) -> tuple[Arc, ...]:
    """What is left of the clear arcs when further bearings are taken away, such as muscle."""
    return clear_arcs((*directions.blocked, *blocked))


def within(directions: ClearDirections, blocked: Sequence[Blocked]) -> tuple[Arc, ...]:
    """The stretches of the clear arcs that lie on further bearings, such as a spread."""
    if not blocked:
        return ()
    others = (Blocked("", "entry", a.from_deg, a.to_deg) for a in clear_arcs(tuple(blocked)))
    return without(directions, others)


def muscle_blocked(sectors: Iterable[tuple[str, float, float]]) -> tuple[Blocked, ...]:
    """Muscle sectors (name, from, to in degrees) as blocked bearings of entry."""
    return tuple(
        Blocked(name, "entry", start % 360.0, start % 360.0 + ((end - start) % 360.0 or 360.0))
        for name, start, end in sectors
    )


def outside_sides(sides: Sequence[tuple[str, float, float]]) -> tuple[Blocked, ...]:
    """All bearings outside the customary sides (name, from, to in degrees) as blocked bearings.

    The block on either end of a side carries that side's name: "limited by the customary side".
    """
    kept = muscle_blocked(sides)
    return (
        tuple(
            Blocked(
                arc.from_limit.name if arc.from_limit else "", "entry", arc.from_deg, arc.to_deg
            )
            for arc in clear_arcs(kept)
        )
        if kept
        else ()
    )


def _columns(discs: Sequence[Disc] | Discs) -> Discs:
    return discs if isinstance(discs, Discs) else in_columns(discs)


def _add_discs(windows: Windows, tip: Tip, pin: PinShape, discs: Discs) -> None:
    near = _add_near(windows, discs, pin.radius_mm, "near")
    if pin.through:
        low, high, owner = near
        windows.add(discs.names, "far", low + _HALF_TURN, high + _HALF_TURN, owner)
        return
    low, high, disc = disc_stretches(tip, discs)
    windows.add(discs.names, "far", low + _HALF_TURN, high + _HALF_TURN, discs.owner[disc])


def _add_near(windows: Windows, discs: Discs, radius_mm: float, part: Part) -> Stretches:
    half = disc_windows(discs.distance, discs.off_level, radius_mm + discs.room)
    there = half > 0
    bearing, half, owner = discs.bearing[there], half[there], discs.owner[there]
    windows.add(discs.names, part, bearing - half, bearing + half, owner)
    return bearing - half, bearing + half, owner


def _add_obstacle(
    windows: Windows, tip: Tip, pin: PinShape, target: Array, obstacle: Obstacle
) -> None:
    edges = Edges(np.asarray(obstacle.outline, dtype=float) - target)
    far_gap = obstacle.gap_mm if obstacle.far_gap_mm is None else obstacle.far_gap_mm
    low, high = edges.near(pin.radius_mm + obstacle.gap_mm)
    _add_named(windows, obstacle.name, "near", low, high)
    if pin.through:
        _add_named(windows, obstacle.name, "far", low + _HALF_TURN, high + _HALF_TURN)
    elif edges.nearest_mm <= pin.radius_mm + far_gap:
        _add_named(windows, obstacle.name, "far", *edges.near(pin.radius_mm + far_gap))
    else:
        low, high = edge_stretches(tip, edges, far_gap)
        _add_named(windows, obstacle.name, "far", low + _HALF_TURN, high + _HALF_TURN)


def _add_named(windows: Windows, name: str, part: Part, low: Array, high: Array) -> None:
    windows.add((name,), part, low, high, np.zeros(len(low), dtype=np.intp))
