"""Gaps between many straight rods at once, in the posed limb, mm."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from fixplan.frame.vectors import Vector

Array = NDArray[np.float64]
Rod = tuple[Vector, Vector, float]
"""Both ends of a rod's axis and its radius."""

_PARALLEL = 1e-9


def overlaps_mm(ones: Sequence[Rod], others: Sequence[Rod]) -> Array:
    """How deep each of `ones` lies in each of `others`, (n, m); below 0: how far apart they are."""
    if not ones or not others:
        return np.empty((len(ones), len(others)))
    start, end, radius = _columns(ones)
    other_start, other_end, other_radius = _columns(others)
    apart = _axes_apart_mm(
        (start[:, None], end[:, None]), (other_start[None, :], other_end[None, :])
    )
    return np.asarray(radius[:, None] + other_radius[None, :] - apart)


def _columns(rods: Sequence[Rod]) -> tuple[Array, Array, Array]:
    table = np.array([(*start, *end, radius) for start, end, radius in rods])
    return table[:, :3], table[:, 3:6], table[:, 6]


def _axes_apart_mm(one: tuple[Array, Array], other: tuple[Array, Array]) -> Array:
    """Least distance of two stretches: at their ends, or where their lines come closest."""
    apart2 = np.minimum(
        np.minimum(_point2(one[0], *other), _point2(one[1], *other)),
        np.minimum(_point2(other[0], *one), _point2(other[1], *one)),
    )
    u, v, between = one[1] - one[0], other[1] - other[0], other[0] - one[0]
    uu, vv, uv = _dot(u, u), _dot(v, v), _dot(u, v)
    ub, vb = _dot(u, between), _dot(v, between)
    skew = uu * vv - uv * uv
    sound = np.maximum(skew, _PARALLEL)
    s, t = (ub * vv - vb * uv) / sound, (ub * uv - vb * uu) / sound
    meets = (skew > _PARALLEL) & (s >= 0) & (s <= 1) & (t >= 0) & (t <= 1)
    off = between + t[..., None] * v - s[..., None] * u
    return np.asarray(np.sqrt(np.where(meets, _dot(off, off), apart2)))


def _point2(point: Array, start: Array, end: Array) -> Array:
    """Squared distance of points to stretches."""
    run = end - start
    from_start = point - start
    share = _dot(from_start, run) / np.maximum(_dot(run, run), _PARALLEL)
    off = from_start - np.minimum(np.maximum(share, 0.0), 1.0)[..., None] * run
    return _dot(off, off)


def _dot(one: Array, other: Array) -> Array:
    return np.asarray(np.einsum("...i,...i->...", one, other))
