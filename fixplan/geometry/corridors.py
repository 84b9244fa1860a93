"""Gaps between a pin and what later fixation will need: plates and nails (D8).

A plate is the layer of its thickness on the bone, cut to a strip of its width on its side; inside
the bone does not count, a tip that leaves under the plate does. A nail is its canal from entry to
tip, with entry and locking zones as level ranges hit by the hole in bone.
"""

import math
from functools import lru_cache

import msgspec
import numpy as np
import shapely
from numpy.typing import NDArray

from fixplan.case.records import Nail, Plate
from fixplan.case.scalars import Band, BoneSide, View
from fixplan.geometry.outlines import RegionGap
from fixplan.geometry.paths import PinPath, segment_of
from fixplan.geometry.stacks import Shape, Stack, stack_extent, stack_from_above, stack_gap
from fixplan.limb.anatomy import Limb

Array = NDArray[np.float64]

SIDE_BEARINGS_DEG: dict[BoneSide, float] = {
    "lateral": 0.0,
    "anterolateral": 45.0,
    "anterior": 90.0,
    "anteromedial": 135.0,
    "medial": 180.0,
    "posteromedial": 225.0,
    "posterior": 270.0,
    "posterolateral": 315.0,
}
_FAR_MM = 500.0
_QUADRANT_STEPS = 4


class NailGap(msgspec.Struct, frozen=True):
    """How a pin stands to a nail.

    `canal` is the gap to the nail's canal. `entry_mm` and `locking_mm` are gaps along the bone
    from the pin's hole to the entry zone and to the nearest locking zone, 0 where the hole meets
    it; None when the pin is in another bone or there is no such zone.
    """

    canal: RegionGap
    entry_mm: float | None
    locking_mm: float | None


def plate_gap(path: PinPath, limb: Limb, plate: Plate) -> RegionGap | None:
    """Gap from a pin's surface to a plate.

    None when the two are in different segments, or the plate lies off its bone.
    """
    if segment_of(limb, plate.bone) != path.segment:
        return None
    return stack_gap(path.solid, path.radius_mm, _plate_stack(limb, plate))


def nail_gap(path: PinPath, limb: Limb, nail: Nail) -> NailGap | None:
    """Gaps from a pin to a nail's canal, entry zone and locking zones.

    None when the two are in different segments, or the nail lies off its bone.
    """
    if segment_of(limb, nail.bone) != path.segment:
        return None
    canal = stack_gap(path.solid, path.radius_mm, _nail_stack(limb, nail))
    if canal is None:
        return None
    hole = hole_levels(path) if path.pin.bone == nail.bone else None
    if hole is None:
        return NailGap(canal, None, None)
    locking = [band_gap_mm(hole, zone) for zone in nail.locking_zones]
    return NailGap(canal, band_gap_mm(hole, nail.entry_zone), min(locking, default=None))


def hole_levels(path: PinPath) -> Band | None:
    """Least and greatest level of the pin's hole in its bone, edges included; None without one."""
    stretch = path.bone_stretch_mm
    if stretch is None:
        return None
    levels = [path.level_at(at) for at in stretch]
    half = path.radius_mm / path.line.cos_tilt
    return min(levels) - half, max(levels) + half


def band_gap_mm(hole: Band, band: Band) -> float:
    """Gap along the bone between a hole and a range of levels, mm; 0 where they meet."""
    return max(min(band) - hole[1], hole[0] - max(band), 0.0)


def plate_outline(limb: Limb, plate: Plate, view: View) -> Array:
    """A plate's footprint in a view: closed ring (n, 2) of (u, level) in its segment's frame."""
    return _drawn(limb, plate.bone, _plate_stack(limb, plate), view)


def nail_outline(limb: Limb, nail: Nail, view: View) -> Array:
    """A nail's canal in a view: closed ring (n, 2) of (u, level) in its segment's frame."""
    return _drawn(limb, nail.bone, _nail_stack(limb, nail), view)


def plate_section(limb: Limb, plate: Plate, level_mm: float) -> tuple[Array, ...]:
    """A plate cut across at a level: rings (n, 2) of (x, y) in its segment's frame; empty: none."""
    return _cut(_plate_stack(limb, plate), level_mm)


def nail_section(limb: Limb, nail: Nail, level_mm: float) -> tuple[Array, ...]:
    """A nail's canal cut across at a level, as `plate_section`."""
    return _cut(_nail_stack(limb, nail), level_mm)


def _cut(stack: Stack, level_mm: float) -> tuple[Array, ...]:
    if not stack.low_mm <= level_mm <= stack.high_mm:
        return ()
    shape = stack.shape_at(level_mm)
    return () if shape is None else rings_of(shape.polygon)


def rings_of(shape: shapely.Geometry) -> tuple[Array, ...]:
    """The outer rings (n, 2) of all polygons of a shape, without the closing point."""
    polygons = [
        p for p in shapely.get_parts(shape) if isinstance(p, shapely.Polygon) and p.area > 0
    ]
    return tuple(np.asarray(polygon.exterior.coords[:-1]) for polygon in polygons)


def zone_outline(limb: Limb, bone: str, band: Band, view: View) -> Array:
    """The part of a bone's outline between two levels, such as a locking zone, for drawing.

    Closed ring (n, 2) of (u, level); of several pieces the largest; empty off the bone.
    """
    bone_outline = shapely.Polygon(limb.outline(bone, view))
    strip = shapely.box(-_FAR_MM, min(band), _FAR_MM, max(band))
    part = _largest(bone_outline.intersection(strip))
    return np.empty((0, 2)) if part is None else np.asarray(part.exterior.coords[:-1])


def _drawn(limb: Limb, bone: str, stack: Stack, view: View) -> Array:
    if view == "front" and limb.segments[segment_of(limb, bone)].front_shows == "forward":
        return stack_from_above(stack)
    return stack_extent(stack, 0 if view == "front" else 1)


def _plate_stack(limb: Limb, plate: Plate) -> Stack:
    shape = (plate.side, plate.width_mm, plate.thickness_mm)
    low, high = sorted((plate.from_mm, plate.to_mm))
    return Stack(low, high, lambda level: _plate_shape(limb, plate.bone, shape, level))


def _nail_stack(limb: Limb, nail: Nail) -> Stack:
    low, high = sorted((nail.from_mm, nail.to_mm))
    return Stack(low, high, lambda level: _nail_shape(limb, nail.bone, nail.width_mm, level))


@lru_cache(maxsize=4096)
def _plate_shape(
    limb: Limb, bone: str, shape: tuple[BoneSide, float, float], level_mm: float
) -> Shape | None:
    section = limb.section(bone, level_mm)
    if section is None:
        return None
    side, width_mm, thickness_mm = shape
    outline = shapely.Polygon(section.outline)
    strip = _strip(section.target, SIDE_BEARINGS_DEG[side], width_mm)
    grown = outline.buffer(thickness_mm, quad_segs=_QUADRANT_STEPS)
    layer = grown.intersection(strip).difference(outline)
    return None if layer.is_empty else Shape(layer, section.known)


@lru_cache(maxsize=4096)
def _nail_shape(limb: Limb, bone: str, width_mm: float, level_mm: float) -> Shape | None:
    """In the shaft the canal widened to the nail; in spongy bone the nail's width alone."""
    section = limb.section(bone, level_mm)
    if section is None:
        return None
    if section.canal is None:
        return Shape(_disc(section.target, width_mm), known=False)
    canal = shapely.Polygon(section.canal)
    disc = _disc(np.asarray(canal.centroid.coords[0]), width_mm)
    nail = canal.union(disc) if section.canal_kind == "medullary" else disc
    return Shape(nail, section.known)


def _disc(centre: Array, width_mm: float) -> shapely.Polygon:
    return shapely.Point(float(centre[0]), float(centre[1])).buffer(width_mm / 2)


def _strip(target: Array, bearing_deg: float, width_mm: float) -> shapely.Polygon:
    """A half-endless strip from the target outward along a bearing."""
    bearing = math.radians(bearing_deg)
    along = np.array((math.cos(bearing), math.sin(bearing)))
    across = np.array((-along[1], along[0])) * width_mm / 2
    end = target + _FAR_MM * along
    return shapely.Polygon(np.array((target - across, end - across, end + across, target + across)))


def _largest(shape: shapely.Geometry) -> shapely.Polygon | None:
    parts = [p for p in shapely.get_parts(shape) if isinstance(p, shapely.Polygon) and p.area > 0]
    return max(parts, key=lambda part: part.area, default=None)
