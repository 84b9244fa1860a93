"""Where a pin goes in and which way it runs, in the words of the trade, the same everywhere.

Most pins are told by the level at which they aim and by the side that they come from. In a bone
that is a plate, what counts is where the pin enters bone: from the crest of the hip bone by the way
along the crest, else by its level there; and such pins are told by their aim (`Segment.aims`).
"""

from fixplan.case.records import Pin
from fixplan.geometry.paths import PinPath, pin_path
from fixplan.limb.anatomy import Limb
from fixplan.limb.authored import Aims
from fixplan.limb.edges import Edge
from fixplan.limb.words import (
    corner_words,
    entry_words,
    level_words,
    level_words_imaged,
    ways_of,
)

TILT_SHOWN_DEG = 2.0
"""From this tilt on the level at the skin is printed beside the level at the bone (D3)."""


def edge_of(limb: Limb, pin: Pin) -> Edge | None:
    """The edge, such as the iliac crest, along which a pin's place is told; None without one."""
    edge = limb.edges.get(pin.bone)
    return edge if edge is not None and pin.level_mm <= edge.to_mm else None


def along_edge_mm(path: PinPath) -> float | None:
    """How far along its edge, from where that starts, a pin enters bone, mm; None without one."""
    edge = edge_of(path.limb, path.pin)
    return None if edge is None else edge.along_mm(path.near_point_mm)


def told_level_mm(path: PinPath) -> float:
    """The level that a pin is told by: where it aims; in a plate, where it enters bone."""
    bone = path.limb.bones.get(path.pin.bone)
    if bone is not None and bone.is_plate and path.hits_bone:
        return float(path.near_point_mm[2])
    return path.pin.level_mm


def place_words(limb: Limb, pin: Pin) -> str:
    """Where a pin stands, from what a hand can feel."""
    return place_lines(limb, pin)[0]


def place_lines(limb: Limb, pin: Pin) -> tuple[str, ...]:
    """Where a pin stands: from what a hand can feel, at the skin if it slants, from an image."""
    path = pin_path(limb, pin)
    along_mm, edge = along_edge_mm(path), edge_of(limb, pin)
    if edge is not None and along_mm is not None:
        return (edge.words(along_mm),)
    level_mm = told_level_mm(path)
    felt, imaged = (
        _briefly(path, words(limb, path.segment, level_mm, pin.bone))
        for words in (level_words, level_words_imaged)
    )
    lines = (felt, at_skin_words(path), imaged)
    return tuple(dict.fromkeys(line for line in lines if line))


def _briefly(path: PinPath, words: str) -> str:
    """Words with the short name of their landmark, as the trade says it of a plate: "ASIS"."""
    bone = path.limb.bones.get(path.pin.bone)
    if bone is None or not bone.is_plate:
        return words
    marks = (mark for mark in path.limb.landmarks if words.endswith(f" the {mark.name}"))
    mark = next(marks, None)
    return words if mark is None else f"{words.removesuffix(mark.name)}{mark.short}"


def at_skin_words(path: PinPath) -> str:
    """The level of a slanting pin's puncture; empty where it is that at the bone, or on an edge."""
    slants = abs(path.pin.tilt_deg) > TILT_SHOWN_DEG
    if not slants or edge_of(path.limb, path.pin) is not None:
        return ""
    level = level_words(path.limb, path.segment, path.level_at_skin_mm, path.pin.bone)
    return f"at the skin {_briefly(path, level)}"


def entry_lines(limb: Limb, pin: Pin) -> tuple[str, ...]:
    """The side that a pin comes from and how it slants; where that is usual, its aim instead."""
    segment = limb.segments.get(limb.bones[pin.bone].segment) if pin.bone in limb.bones else None
    if segment is not None and segment.aims is not None:
        edge = edge_of(limb, pin)
        first = corner_words(pin.bearing_deg, segment.sides) if edge is None else f"the {edge.name}"
        return first, aim_words(segment.aims, pin.bearing_deg, pin.tilt_deg)
    side = entry_words(limb, pin.bone, pin.bearing_deg)
    if segment is None or abs(pin.tilt_deg) <= TILT_SHOWN_DEG:
        return (side,)
    way = ways_of(limb, segment.name).places[pin.tilt_deg < 0]
    return side, f"outer end {abs(pin.tilt_deg):.0f}° {way}"


def enters_words(limb: Limb, pin: Pin) -> str:
    """The side of entry and the slant or aim of a pin, in one line."""
    return ", ".join(entry_lines(limb, pin))


def aim_words(aims: Aims, bearing_deg: float, tilt_deg: float) -> str:
    """Which way a pin runs in: "aimed backwards, 18° medially and 10° cranially"."""
    whole = round(bearing_deg) % 360
    nearest = ((whole + 45) // 90) % 4
    off = (whole - 90 * nearest + 180) % 360 - 180
    turns: list[str] = []
    if off:
        turns.append(f"{abs(off)}° {aims.across[(nearest + (1 if off > 0 else -1)) % 4]}")
    if round(tilt_deg):
        turns.append(f"{abs(round(tilt_deg))}° {aims.along[tilt_deg < 0]}")
    told = f"aimed {aims.across[nearest]}", " and ".join(turns)
    return ", ".join(text for text in told if text)
