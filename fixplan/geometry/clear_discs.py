"""Round hazards about a bone's target: one by one, and as columns for many at once."""

from collections.abc import Sequence

import msgspec
import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Indices = NDArray[np.intp]


class Disc(msgspec.Struct, frozen=True):
    """A round hazard in a section, or one point of a track near it.

    Distance and bearing are of its centre from the target; `gap_mm` is what must stay free between
    the pin's surface and it, `far_gap_mm` the same on the tip's side (None: the same gap).
    `off_level_mm` is how far the point lies from the pin's level.
    """

    name: str
    distance_mm: float
    bearing_deg: float
    radius_mm: float
    gap_mm: float
    far_gap_mm: float | None = None
    off_level_mm: float = 0.0


class Discs:
    """Discs as columns: mm, bearings in radians.

    `owner` is the number of each disc's name among `names`, which holds each name once. `room` and
    `far_room` are radius and gap together, outside the bone and on the tip's side.
    """

    __slots__ = ("bearing", "distance", "far_room", "names", "off_level", "owner", "room")

    def __init__(
        self,
        names: tuple[str, ...],
        owner: Indices,
        place: tuple[Array, Array, Array],
        rooms: tuple[Array, Array],
    ) -> None:
        """Takes names, whose each disc is, its distance, bearing and level, and both rooms."""
        self.names, self.owner = names, owner
        self.distance, self.bearing, self.off_level = place
        self.room, self.far_room = rooms

    def __len__(self) -> int:
        """How many discs there are."""
        return len(self.owner)


def in_columns(discs: Sequence[Disc]) -> Discs:
    """Discs as columns."""
    numbers = {name: number for number, name in enumerate(dict.fromkeys(d.name for d in discs))}
    table = np.array(
        [
            (
                d.distance_mm,
                np.radians(d.bearing_deg),
                d.off_level_mm,
                d.radius_mm + d.gap_mm,
                d.radius_mm + (d.gap_mm if d.far_gap_mm is None else d.far_gap_mm),
            )
            for d in discs
        ],
        dtype=float,
    ).reshape(-1, 5)
    owner = np.array([numbers[disc.name] for disc in discs], dtype=np.intp)
    distance, bearing, off_level, room, far_room = table.T
    return Discs(tuple(numbers), owner, (distance, bearing, off_level), (room, far_room))
