"""Which limbs there are, of which segments, and how these hang together: anatomy/limbs.json."""

import functools
from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from fixplan.errors import LibraryError
from fixplan.limb.library import read_bytes, resources_dir

LIMBS_FILE = "anatomy/limbs.json"


class SegmentRow(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A segment of a limb. `file` names its anatomy where that serves more than one segment.

    `suffix` is put behind the names of bones with sections, `without` leaves out bones. `mirrored`:
    its own x points the other way. `origin_mm`: where its frame starts in that of the one it hangs
    on, None for the end of that one; `set_deg` turns it about x as it hangs, + backward.
    """

    name: str
    file: str = ""
    suffix: str = ""
    without: tuple[str, ...] = ()
    mirrored: bool = False
    hangs_on: str = ""
    origin_mm: tuple[float, float, float] | None = None
    set_deg: float = 0.0


class Joint(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A joint between two segments; its axis is the hinge of the one above, along x.

    `bends` tells which way what is below goes for an angle above 0; empty: it is drawn stiff.
    `spanned_deg` is drawn under a frame that spans it unless the case says otherwise, else 0.
    """

    id: str
    above: str
    below: str
    source: str
    status: str
    bends: Literal["", "forward", "backward"] = ""
    least_deg: float = 0.0
    most_deg: float = 0.0
    spanned_deg: float = 0.0

    def turn_deg(self, angle_deg: float) -> float:
        """The turn about x, + backward, for a joint angle in degrees."""
        return {"backward": angle_deg, "forward": -angle_deg}.get(self.bends, 0.0)


class LimbKindRow(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A kind of limb. `stands`: the segment held upright unless a fracture says otherwise.

    `stands_left` where that is another one when the side is left. `landmarks` names their file.
    `splinted`: the segment along which it is splinted; `heel`: the one that a foot bar or heel
    stand keeps off the bed; empty where there is none. `words` are those of a list to choose from.
    """

    title: str
    sides: tuple[Literal["right", "left", "both"], ...]
    stands: str
    segments: Annotated[tuple[SegmentRow, ...], Meta(min_length=1)]
    landmarks: str
    joints: tuple[Joint, ...] = ()
    stands_left: str = ""
    splinted: str = ""
    heel: str = ""
    words: str = ""

    @property
    def has_both_sides(self) -> bool:
        """Whether it holds bones of both sides of the body."""
        return "both" in self.sides

    def standing(self, side: str) -> str:
        """The segment held upright for a limb of this side."""
        return self.stands_left if side == "left" and self.stands_left else self.stands

    def beyond(self, segment: str) -> tuple[str, ...]:
        """A segment and all that hang on it, proximal first; none for an unknown one or "".

        A foot or a hand is what lies beyond its joint.
        """
        found: list[str] = []
        for row in self.segments:
            if row.name == segment or row.hangs_on in found:
                found.append(row.name)
        return tuple(found)

    def joint(self, joint_id: str) -> Joint | None:
        """A joint by its id; None if this limb has none of that name."""
        return next((joint for joint in self.joints if joint.id == joint_id), None)

    @property
    def bending(self) -> tuple[Joint, ...]:
        """The joints that bend, proximal first: a pose takes one angle for each."""
        return tuple(joint for joint in self.joints if joint.bends)


@functools.cache
def _kinds() -> dict[str, LimbKindRow]:
    where = resources_dir() / LIMBS_FILE
    try:
        found = msgspec.json.decode(read_bytes(LIMBS_FILE), type=dict[str, LimbKindRow])
    except msgspec.DecodeError as error:
        raise LibraryError(f"{where}: {error}: correct that value.") from error
    for kind, row in found.items():
        fault = _fault(row)
        if fault:
            raise LibraryError(f"{where}: limb {kind!r}: {fault}: correct that name.")
    return found


def _fault(row: LimbKindRow) -> str:
    """The first name that leads nowhere; empty if there is none."""
    known: set[str] = set()
    for segment in row.segments:
        if segment.hangs_on and segment.hangs_on not in known:
            return f"{segment.name} hangs on {segment.hangs_on!r}, which does not come before it"
        known.add(segment.name)
    named = {row.stands, row.stands_left or row.stands}
    named |= {name for name in (row.splinted, row.heel) if name}
    named |= {name for joint in row.joints for name in (joint.above, joint.below)}
    strange = sorted(named - known)
    return f"there is no segment {strange[0]!r}" if strange else ""


def limb_kinds() -> tuple[str, ...]:
    """The kinds of limb that the anatomy holds.

    Raises:
        LibraryError: if the file does not hold what it should.
    """
    return tuple(_kinds())


def limb_kind(kind: str) -> LimbKindRow:
    """The segments and joints of a kind of limb.

    Raises:
        LibraryError: if there is no such kind or the file does not hold what it should.
    """
    found = _kinds().get(kind)
    if found is None:
        known = list(_kinds())
        raise LibraryError(f"No anatomy for a limb of kind {kind!r}: use one of {known}.")
    return found
