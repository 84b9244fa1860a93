"""Edges of bones that a hand follows from a landmark, such as the iliac crest from its spine."""

from collections.abc import Mapping

import msgspec
import numpy as np

from fixplan.limb.growth import Growth
from fixplan.limb.kinds import limb_kind
from fixplan.limb.landmarks import EdgeRow, LandmarkFile
from fixplan.limb.library import load_toml
from fixplan.limb.reference import ReferenceSegment
from fixplan.limb.rings import Array


class Edge(msgspec.Struct, frozen=True, eq=False):
    """An edge of a bone at a patient's size: points (n, 3) in its segment's frame, mm.

    `start` is the short name of the landmark that it begins at, `way` the word before that name;
    pins that aim at a level up to `to_mm` are told along it.
    """

    bone: str
    name: str
    short: str
    start: str
    way: str
    to_mm: float
    points_mm: Array

    def along_mm(self, point_mm: Array) -> float:
        """How far along the edge, from its start, the place nearest to a point lies, mm."""
        starts, ways = self.points_mm[:-1], np.diff(self.points_mm, axis=0)
        lengths = np.linalg.norm(ways, axis=1)
        shares = np.clip(np.sum((point_mm - starts) * ways, axis=1) / lengths**2, 0.0, 1.0)
        away = np.linalg.norm(starts + shares[:, None] * ways - point_mm, axis=1)
        nearest = int(np.argmin(away))
        return float(np.sum(lengths[:nearest]) + shares[nearest] * lengths[nearest])

    def path_mm(self, along_mm: float) -> Array:
        """The edge from its start as far as a distance along it: points (n, 3), mm."""
        lengths = np.linalg.norm(np.diff(self.points_mm, axis=0), axis=1)
        ends = np.concatenate(([0.0], np.cumsum(lengths)))
        last = [np.interp(along_mm, ends, self.points_mm[:, axis]) for axis in range(3)]
        return np.vstack((self.points_mm[ends < along_mm], last))

    def words(self, along_mm: float) -> str:
        """A place in words: "25 mm behind the right ASIS, along the crest"."""
        return f"{round(along_mm)} mm {self.way} the {self.start}, along the {self.short}"


def edges_of(references: Mapping[str, ReferenceSegment], growth: Growth) -> dict[str, Edge]:
    """The edges of a limb's bones, by bone.

    Raises:
        LibraryError: if the file of landmarks does not hold what it should.
    """
    file = load_toml(limb_kind(growth.kind).landmarks, LandmarkFile)
    return {
        bone: _placed(file, row, segment, bone, growth)
        for segment in references.values()
        for bone in segment.bones
        if (row := file.edges.get(bone.removesuffix(segment.suffix))) is not None
    }


def _placed(
    file: LandmarkFile, row: EdgeRow, segment: ReferenceSegment, bone: str, growth: Growth
) -> Edge:
    across, along = growth.across[bone], growth.along[segment.name]
    levels = [level for _, level in segment.bones[bone].side]
    first = max(min(levels), 0.0) if bone == segment.primary else min(levels)
    rows = file.bones[bone.removesuffix(segment.suffix)]
    start = next(one.short for one in rows if one.id == row.start)
    side = segment.suffix.removeprefix("-") if segment.owns(bone) else ""
    return Edge(
        bone=bone,
        name=row.name,
        short=row.short,
        start=f"{side} {start}".strip(),
        way=row.way,
        to_mm=along * (first + row.to_share * (max(levels) - first)),
        points_mm=np.array(row.points) * (across, across, along),
    )
