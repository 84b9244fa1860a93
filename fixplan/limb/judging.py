"""Faults in authored anatomy, found when a file of it is read for the first time.

That a file was found whole is kept in the user's cache folder by its size and checksum, so that it
is judged once on a computer; where nothing can be kept there, it is judged each time.
"""

import zlib
from collections import Counter
from collections.abc import Iterator
from contextlib import suppress
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from fixplan.errors import LibraryError
from fixplan.limb.authored import AuthoredLevel, AuthoredSegment, Hazard, Spread
from fixplan.limb.rings import Array, bearings_about, crosses_itself, gap_to, is_star, radii
from fixplan.limb.tables import cache_dir

JUDGED_AS = 3
"""To be raised when more is judged, so that files are judged anew."""

OUTSIDE_SKIN_MM = 0.5
"""How far outside the skin a structure's centre may lie by rounding; ours."""


def judge(segment: AuthoredSegment, content: bytes) -> None:
    """A segment as read from a file of this content, unless that was found whole before.

    Raises:
        LibraryError: something in it is not as it must be.
    """
    stem = f"anatomy-{segment.segment}-{JUDGED_AS}"
    kept = cache_dir() / f"{stem}-{len(content)}-{zlib.crc32(content):08x}.whole"
    if kept.is_absolute() and kept.exists():
        return
    judge_groups(segment)
    for group in segment.each_group:
        judge_segment(group)
        for level in group.levels:
            judge_level(group, level)
    if kept.is_absolute():
        with suppress(OSError):
            kept.parent.mkdir(parents=True, exist_ok=True)
            for older in kept.parent.glob(f"{stem}-*.whole"):
                older.unlink(missing_ok=True)
            kept.touch()


def judge_groups(segment: AuthoredSegment) -> None:
    """What the groups of a segment's sections may not share, and its bones' outlines.

    Raises:
        LibraryError: a bone is cut in two groups, a level's id stands twice, an outline crosses.
    """
    if fault := next(_group_faults(segment), ""):
        raise LibraryError(f"Anatomy of the {segment.segment}: {fault}.")


def judge_segment(segment: AuthoredSegment) -> None:
    """Names and order of a segment, by one group of its sections.

    Raises:
        LibraryError: an id stands twice, levels are out of order, or a section has no drawn bone.
    """
    if fault := next(_segment_faults(segment), ""):
        raise LibraryError(f"Anatomy of the {segment.segment}: {fault}.")


def judge_level(segment: AuthoredSegment, level: AuthoredLevel) -> None:
    """Outlines and structures of one level.

    Raises:
        LibraryError: an outline cannot be blended, or a structure lies in bone or outside the skin.
    """
    if fault := next(_level_faults(segment, level), ""):
        raise LibraryError(f"Anatomy of the {segment.segment}, level {level.id}: {fault}.")


def _group_faults(segment: AuthoredSegment) -> Iterator[str]:
    groups = segment.each_group
    cut = [bone for one in groups for bone in {b.bone for lv in one.levels for b in lv.bones}]
    if again := _twice(cut):
        yield f"the {again} is cut in two groups of sections: take it out of one of them"
    if again := _twice([level.id for one in groups for level in one.levels]):
        yield f"the level {again} stands in two groups: give one of them another name"
    if strange := next((lv.id for lv in segment.levels if not -0.1 <= lv.z <= 1.1), ""):
        yield f"level {strange} lies beyond the segment's span: only a group's may"
    yield from _view_faults(segment)


def _twice(names: list[str]) -> str:
    return next((name for name, count in Counter(names).items() if count > 1), "")


def _segment_faults(segment: AuthoredSegment) -> Iterator[str]:
    names = [bone.name for bone in segment.bones]
    for told, ids in (("bone", names), ("level", [level.id for level in segment.levels])):
        if again := _twice(ids):
            yield f"the {told} {again} stands twice: give one of them another name"
    places = [level.z for level in segment.levels]
    if any(first >= second for first, second in pairwise(places)):
        yield "its levels do not run from proximal to distal: put them in order of z"
    for level in segment.levels:
        cut = [bone.bone for bone in level.bones]
        if again := _twice(cut):
            yield f"level {level.id} holds the {again} twice: take one out"
        if strange := next((name for name in cut if name not in names), ""):
            yield f"level {level.id} cuts {strange}, which is not among its bones: add it there"
        if segment.primary not in cut:
            yield f"level {level.id} lacks {segment.primary}, its primary bone: add its section"
        if again := _twice([hazard.track for hazard in level.hazards]):
            yield f"level {level.id} holds the track {again} twice: give one of them another track"
    tracks = {hazard.track for level in segment.levels for hazard in level.hazards}
    for spread in segment.spreads:
        yield from _spread_faults(spread, tracks)


def _view_faults(segment: AuthoredSegment) -> Iterator[str]:
    for bone in segment.bones:
        for view, ring in (("front", bone.front), ("side", bone.side)):
            if crosses_itself(np.array(ring)):
                yield f"the {view} outline of {bone.name} crosses itself: draw it anew"


def _spread_faults(spread: Spread, tracks: set[str]) -> Iterator[str]:
    told = f"the spread of {spread.track} ({spread.what})"
    if spread.track not in tracks:
        yield f"{told} is of no structure of its levels: take it out or correct the track"
    if all(one is None for one in (spread.mean, spread.sd, spread.least, spread.most)):
        yield f"{told} holds no number: give a mean and SD, or the range that was seen"


def _level_faults(segment: AuthoredSegment, level: AuthoredLevel) -> Iterator[str]:
    about = next(np.array(cut.target) for cut in level.bones if cut.bone == segment.primary)
    skin = np.array(level.skin)
    if not is_star(skin, about):
        yield f"the skin is not seen whole from the {segment.primary}: draw it without folds"
    bones: list[tuple[str, Array, Array]] = []
    for cut in level.bones:
        ring, target = np.array(cut.outline), np.array(cut.target)
        if not is_star(ring, target):
            yield f"the outline of {cut.bone} is not seen whole from its target: draw it anew"
        if not _within(skin, about, ring).all():
            yield f"{cut.bone} reaches outside the skin: move one of them"
        bones.append((cut.bone, ring, target))
    for hazard in level.hazards:
        if (hazard.at is None) == (not hazard.outline):
            yield f'"{hazard.name}" needs either a place or an outline: give one of them'
        if hazard.at is not None and hazard.radius_mm is None:
            yield f'"{hazard.name}" has a place but no radius: give it one'
        if hazard.outline:
            yield from _outline_faults(hazard, bones, skin, about)
    yield from _place_faults([one for one in level.hazards if one.at], bones, skin, about)


def _outline_faults(
    hazard: Hazard, bones: list[tuple[str, Array, Array]], skin: Array, about: Array
) -> Iterator[str]:
    """Joint spaces may reach to where bones meet; nothing else may enter bone."""
    ring = np.array(hazard.outline)
    if crosses_itself(ring):
        yield f'the outline of "{hazard.name}" crosses itself: draw it anew'
    outside = ring[~_within(skin, about, ring)]
    if any(gap_to(skin, point) > OUTSIDE_SKIN_MM for point in outside):
        yield f'"{hazard.name}" reaches outside the skin: move it'
    for bone, cut, target in bones if hazard.kind != "joint" else ():
        if _within(cut, target, ring).any():
            yield f'"{hazard.name}" reaches into the {bone}: move it'


def _place_faults(
    hazards: list[Hazard], bones: list[tuple[str, Array, Array]], skin: Array, about: Array
) -> Iterator[str]:
    if not hazards:
        return
    places = np.array([hazard.at for hazard in hazards])
    for bone, ring, target in bones:
        for index in np.flatnonzero(_within(ring, target, places)):
            yield f'"{hazards[index].name}" lies inside the {bone}: move it'
    for index in np.flatnonzero(~_within(skin, about, places)):
        if gap_to(skin, places[index]) > OUTSIDE_SKIN_MM:
            yield f'"{hazards[index].name}" lies outside the skin: move it'


def _within(ring: Array, centre: Array, points: Array) -> NDArray[np.bool_]:
    """Which points (n, 2) lie within a ring that is seen whole from its centre."""
    return np.asarray(
        np.hypot(*(points - centre).T) < radii(ring, centre, bearings_about(points, centre))
    )
