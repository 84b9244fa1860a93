"""Reading the authored anatomy of a limb: its segments, by their files, and how bones grow."""

import functools
from typing import TypeVar

import msgspec

from fixplan.errors import LibraryError
from fixplan.limb.authored import (
    AuthoredLevel,
    AuthoredSegment,
    Scaling,
    SectionGroup,
    Spread,
)
from fixplan.limb.kinds import SegmentRow, limb_kind
from fixplan.limb.library import read_bytes, resources_dir

T = TypeVar("T")


def _decoded(name: str, kind: type[T]) -> T:
    try:
        return msgspec.json.decode(read_bytes(name), type=kind)
    except msgspec.DecodeError as error:
        where = resources_dir() / name
        raise LibraryError(f"{where}: {error}: correct that value.") from error


@functools.cache
def authored_segments(kind: str) -> dict[str, AuthoredSegment]:
    """The authored segments of a limb kind (`leg`), proximal first.

    Raises:
        LibraryError: if the kind is not known or a file does not hold what it should.
    """
    return {row.name: _authored(row) for row in limb_kind(kind).segments}


def _authored(row: SegmentRow) -> AuthoredSegment:
    """A segment from its file; where that serves more than one, sectioned bones bear their side."""
    own = _decoded(f"anatomy/{row.file or row.name}.json", AuthoredSegment)
    if not (row.suffix or row.without):
        return own
    every = [level for one in own.each_group for level in one.levels]
    named = {cut.bone: cut.bone + row.suffix for level in every for cut in level.bones}
    side = row.suffix.removeprefix("-")
    bones = tuple(
        msgspec.structs.replace(bone, name=named[bone.name], title=f"{side} {bone.title}")
        if bone.name in named
        else bone
        for bone in own.bones
        if bone.name not in row.without
    )
    return msgspec.structs.replace(
        own,
        segment=row.name,
        title=f"{side} {own.title}",
        primary=named[own.primary],
        bones=bones,
        levels=tuple(_renamed(level, named) for level in own.levels),
        spreads=tuple(_told_from_own(spread, side) for spread in own.spreads),
        groups=tuple(_sided(group, named, side) for group in own.groups),
    )


def _sided(group: SectionGroup, named: dict[str, str], side: str) -> SectionGroup:
    """A group whose bones bear their side."""
    return msgspec.structs.replace(
        group,
        primary=named[group.primary],
        levels=tuple(_renamed(level, named) for level in group.levels),
        spreads=tuple(_told_from_own(spread, side) for spread in group.spreads),
    )


def _told_from_own(spread: Spread, side: str) -> Spread:
    """A spread told from the landmark of its own side."""
    if not spread.landmark:
        return spread
    return msgspec.structs.replace(spread, landmark=f"{spread.landmark}_{side}")


def _renamed(level: AuthoredLevel, named: dict[str, str]) -> AuthoredLevel:
    cuts = tuple(msgspec.structs.replace(cut, bone=named[cut.bone]) for cut in level.bones)
    return msgspec.structs.replace(level, bones=cuts)


@functools.cache
def scaling() -> Scaling:
    """Reference sizes, ratios, allometry and girth model.

    Raises:
        LibraryError: if the file does not hold what it should.
    """
    return _decoded("anatomy/scaling.json", Scaling)
