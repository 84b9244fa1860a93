"""What the fractures leave of a bone (D14)."""

from functools import lru_cache

import msgspec

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Fracture, Pin

END_MM = 5.0
"""A fracture that comes this near a bone's end leaves no fragment there (D14)."""


class Fragment(msgspec.Struct, frozen=True):
    """A piece of a bone between fractures; levels in mm along its segment, index from proximal.

    `title`: how the bone is called in a sentence.
    """

    bone: str
    index: int
    from_mm: float
    to_mm: float
    name: str
    title: str

    @property
    def words(self) -> str:
        """The fragment in a sentence: "proximal fragment of the tibia"."""
        return self.title if self.name == "whole bone" else f"{self.name} of the {self.title}"


def fragments(case: Case, bone: str) -> tuple[Fragment, ...]:
    """The fragments of a bone from proximal; one, the whole bone, when it is not broken.

    Empty for a bone that this limb does not have.
    """
    known = limb_of_case(case).bones.get(bone)
    if known is None:
        return ()
    places = limb_of_case(case).segments[known.segment].ways.places
    return _fragments(bone, known.title, (known.from_mm, known.to_mm), case.fractures, places)


@lru_cache(maxsize=64)
def _fragments(
    bone: str,
    title: str,
    levels_mm: tuple[float, float],
    fractures: tuple[Fracture, ...],
    places: tuple[str, str],
) -> tuple[Fragment, ...]:
    from_mm, to_mm = levels_mm
    pieces = _pieces(from_mm, to_mm, _broken_ranges(fractures, bone))
    names = _names(len(pieces), pieces, levels_mm, places)
    return tuple(
        Fragment(bone, index, low, high, name, title)
        for index, ((low, high), name) in enumerate(zip(pieces, names, strict=True), 1)
    )


def fragment_of(case: Case, pin: Pin) -> Fragment | None:
    """The fragment that a pin stands in; None when its level lies in a fracture or off the bone."""
    for fragment in fragments(case, pin.bone):
        if fragment.from_mm <= pin.level_mm <= fragment.to_mm:
            return fragment
    return None


def broken_ranges(case: Case, bone: str) -> tuple[tuple[float, float], ...]:
    """The level ranges of a bone that are broken, overlapping ones merged, from proximal."""
    return tuple(_broken_ranges(case.fractures, bone))


def _broken_ranges(fractures: tuple[Fracture, ...], bone: str) -> list[tuple[float, float]]:
    ranges = sorted((one.from_mm, one.to_mm) for one in fractures if one.bone == bone)
    merged: list[tuple[float, float]] = []
    for low, high in ranges:
        if merged and low <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(merged[-1][1], high))
        else:
            merged.append((low, high))
    return merged


def _pieces(
    from_mm: float, to_mm: float, broken: list[tuple[float, float]]
) -> list[tuple[float, float]]:
    """What is left between the broken ranges, without ends of up to 5 mm."""
    pieces: list[tuple[float, float]] = []
    start = from_mm
    for low, high in broken:
        at_end = start == from_mm and low - start <= END_MM
        if low > start and not at_end:
            pieces.append((start, low))
        start = max(start, high)
    if to_mm - start > (END_MM if broken else 0.0):
        pieces.append((start, to_mm))
    return pieces


def _names(
    count: int,
    pieces: list[tuple[float, float]],
    levels_mm: tuple[float, float],
    places: tuple[str, str],
) -> list[str]:
    """Words for each piece: what reaches an end of the bone is named after it.

    `places` are the segment's words for both ends: a calcaneus has a dorsal and a plantar one.
    """
    from_mm, to_mm = levels_mm
    names: list[str] = []
    for index, (low, high) in enumerate(pieces, 1):
        if low == from_mm and high == to_mm:
            names.append("whole bone")
        elif low == from_mm:
            names.append(f"{places[0]} fragment")
        elif high == to_mm:
            names.append(f"{places[1]} fragment")
        else:
            names.append("middle fragment" if count <= 3 else f"middle fragment {index - 1}")
    return names
