"""The skin at any level and its silhouettes, as far as it is drawn."""

from functools import lru_cache

import numpy as np

from fixplan.limb.growth import Growth
from fixplan.limb.reference import ReferenceSegment, View
from fixplan.limb.rings import Array, rounded_box
from fixplan.limb.sections import Cut, cut_at

STEPS = 4
"""Silhouette stations for each gap between authored levels."""


def skin_ring(segment: ReferenceSegment, growth: Growth, level_mm: float) -> Array | None:
    """The skin's ring (n, 2) at a level; None beyond the drawn skin.

    Beyond the authored levels it is an ellipse between the end stations of the silhouettes; where
    there are none, the nearest authored ring holds over the segment's span, or along the bone.
    """
    z = level_mm / (segment.span_mm * growth.along[segment.name])
    if segment.knows(z):
        return cut_at(segment, growth, z).skin_ring()
    if not segment.authored.skin_ends:
        first, last = segment.drawn_z
        return Cut(segment, growth, z).skin_ring() if first - 1e-9 <= z <= last + 1e-9 else None
    stations = _stations(segment, growth)
    if not stations[0, 0] - 1e-9 <= z <= stations[-1, 0] + 1e-9:
        return None
    box = [float(np.interp(z, stations[:, 0], stations[:, column])) for column in range(1, 5)]
    return rounded_box(np.array((box[0], box[2])), np.array((box[1], box[3])), 2.0)


def _box_row(z: float, ring: Array) -> tuple[float, ...]:
    low, high = ring.min(axis=0), ring.max(axis=0)
    return (z, float(low[0]), float(high[0]), float(low[1]), float(high[1]))


def _end_rows(segment: ReferenceSegment, growth: Growth) -> list[tuple[float, ...]]:
    """The end stations at this size: scaled about the target and moved as the nearest level."""
    rows = []
    for z, *box in segment.authored.skin_ends:
        cut = Cut(segment, growth, z)
        own = cut.blend.primary.target_at(cut.share)
        ends = np.array(box).reshape(2, 2)
        grown = cut.target[:, None] + cut.k_skin * (ends - own[:, None])
        rows.append((z, *grown.ravel().tolist()))
    return rows


@lru_cache(maxsize=64)
def _stations(segment: ReferenceSegment, growth: Growth) -> Array:
    """Rows (z, least x, greatest x, least y, greatest y) from the top of the skin to its end."""
    known = [level.z for level in segment.authored.levels]
    fine = np.interp(np.arange(STEPS * (len(known) - 1) + 1), STEPS * np.arange(len(known)), known)
    rows = [_box_row(z, Cut(segment, growth, z).skin_ring()) for z in fine.tolist()]
    return np.array(sorted(_end_rows(segment, growth) + rows))


def _authored_outline(segment: ReferenceSegment, growth: Growth, ring: Array, view: View) -> Array:
    """A silhouette drawn as such, across about the nearest section's target, along with the bone.

    Where the front view shows forward, the bone's factor holds before the target and the skin's
    behind it.
    """
    authored, along = segment.authored, growth.along[segment.name]
    axis = 0 if view == "front" else 1
    if authored.front_shows == "level":
        cuts = [Cut(segment, growth, z) for z in (ring[:, 1] / segment.span_mm).tolist()]
        at = np.array([(cut.target[axis], cut.target[axis] / cut.k_bone) for cut in cuts])
        across = at[:, 0] + growth.skin[segment.name] * (ring[:, 0] - at[:, 1])
        return np.column_stack((across, along * ring[:, 1]))
    bone, skin = growth.across[segment.primary], growth.skin[segment.name]
    forward = 1 if view == "front" else 0
    aim = authored.levels[0].bones[0].target[1] + (authored.sections_shift or (0.0, 0.0))[1]
    behind = bone * aim + np.where(ring[:, forward] < aim, skin, bone) * (ring[:, forward] - aim)
    if view == "front":
        return np.column_stack((skin * ring[:, 0], behind))
    return np.column_stack((behind, along * ring[:, 1]))


def skin_outline(segment: ReferenceSegment, growth: Growth, view: View) -> Array:
    """The skin's silhouette (n, 2): (u, level), or (x, y) where the front view shows forward."""
    authored = segment.authored
    drawn = authored.skin_front if view == "front" else authored.skin_side
    if drawn:
        return _authored_outline(segment, growth, np.array(drawn), view)
    rows = _stations(segment, growth)
    column = 1 if view == "front" else 3
    level = rows[:, 0] * segment.span_mm * growth.along[segment.name]
    low = np.column_stack((rows[:, column], level))
    high = np.column_stack((rows[:, column + 1], level))
    return np.concatenate((low, high[::-1]))
