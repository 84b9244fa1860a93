"""Outlines and lines drawn in one sweep of the hand, and zones taken from the skin between levels.

Points are (u, level) in mm, in the frame of one segment and view.
"""

from collections.abc import Iterable, Sequence

import numpy as np
import shapely

from fixplan.case.scalars import Outline
from fixplan.errors import GeometryError
from fixplan.geometry.cells import Array

LEAST_AREA_MM2 = 1.0
ZONE_TOLERANCE_MM = 1.5
BEYOND_MM = 5000.0


def swept_outline(points: Sequence[tuple[float, float]], tolerance_mm: float) -> Outline:
    """A closed outline from a sweep: no point moves the edge by more than the tolerance.

    Where the sweep crosses itself, the largest piece that it goes round is kept, without holes.

    Raises:
        GeometryError: when it goes round nothing.
    """
    swept = _polygons(shapely.make_valid(shapely.Polygon(_closed(points))))
    largest = max(swept, key=lambda one: float(one.area), default=None)
    if largest is None or largest.area < LEAST_AREA_MM2:
        raise GeometryError("The sweep goes round nothing: draw once round the zone.")
    return _edge(largest, tolerance_mm)


def swept_line(points: Sequence[tuple[float, float]], tolerance_mm: float) -> Outline:
    """A line from a sweep: no point moves it by more than the tolerance.

    Raises:
        GeometryError: when it has no length.
    """
    line = shapely.LineString(points if len(points) > 1 else [*points, *points])
    if line.length < tolerance_mm:
        raise GeometryError("The sweep has no length: draw along the line.")
    return _points(line.simplify(tolerance_mm, preserve_topology=True).coords)


def zone_outline(silhouette: Array, from_mm: float, to_mm: float, edge_mm: float) -> Outline:
    """The silhouette between two levels, an edge wider all round but at the two levels.

    Raises:
        GeometryError: when nothing of the silhouette lies between them.
    """
    band = shapely.box(-BEYOND_MM, from_mm, BEYOND_MM, to_mm)
    wider = shapely.Polygon(np.asarray(silhouette)).buffer(edge_mm, join_style="mitre")
    found = _polygons(shapely.make_valid(wider).intersection(band))
    largest = max(found, key=lambda one: float(one.area), default=None)
    if largest is None or largest.area < LEAST_AREA_MM2:
        raise GeometryError("The limb is not drawn between these levels: choose others.")
    return _edge(largest, ZONE_TOLERANCE_MM)


def widened(ring: Array, axis: int, edge_mm: float) -> Outline:
    """A ring an edge wider all round, but not longer along one axis (0: u, 1: level)."""
    low, high = float(ring[:, axis].min()), float(ring[:, axis].max())
    corners = (-BEYOND_MM, low, BEYOND_MM, high) if axis else (low, -BEYOND_MM, high, BEYOND_MM)
    wider = shapely.Polygon(ring).buffer(edge_mm, join_style="mitre")
    found = _polygons(wider.intersection(shapely.box(*corners)))
    return _edge(max(found, key=lambda one: float(one.area)), ZONE_TOLERANCE_MM)


def _edge(polygon: shapely.Polygon, tolerance_mm: float) -> Outline:
    simpler = shapely.Polygon(polygon.exterior).simplify(tolerance_mm, preserve_topology=True)
    return _points(_polygons(simpler)[0].exterior.coords[:-1])


def _closed(points: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    if len(points) < 3:
        raise GeometryError("The sweep goes round nothing: draw once round the zone.")
    return [*points, points[0]]


def _polygons(shape: shapely.Geometry) -> list[shapely.Polygon]:
    parts = shapely.get_parts(shape)
    return [part for part in parts if isinstance(part, shapely.Polygon)]


def _points(coordinates: Iterable[Sequence[float]]) -> Outline:
    return tuple((float(u), float(v)) for u, v, *_ in coordinates)
