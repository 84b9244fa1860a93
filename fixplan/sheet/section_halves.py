"""Both halves of a limb with bones on both sides in one section: the other beside the own half.

The halves share their levels and the midline, x = 0; the other half runs the other way across the
page. What the drawn skin of a half has beyond the midline is left out.
"""

import functools

import numpy as np

from fixplan.case.scalars import Side
from fixplan.geometry.section_structures import level_is_known
from fixplan.limb.anatomy import Array, Limb
from fixplan.sheet.section_frame import SectionFrame
from fixplan.sheet.shapes import Point

SIDES: dict[str, Side] = {"-right": "right", "-left": "left"}
OTHER = {"-right": "-left", "-left": "-right"}


def other_bone(limb: Limb, bone: str, level_mm: float, side: Side) -> str:
    """The same bone of the other half; empty where one half alone is drawn or known there."""
    suffix = limb.references[limb.bones[bone].segment].suffix
    name = f"{bone.removesuffix(suffix)}{OTHER.get(suffix, '')}"
    if side != "both" or suffix not in OTHER or name not in limb.bones:
        return ""
    return name if level_is_known(limb, limb.group_of(name), level_mm) else ""


def other_frame(frame: SectionFrame, limb: Limb) -> SectionFrame:
    """The frame of the half beside; that half's own plane at the same level."""
    section = limb.section(frame.beside, frame.level_mm)
    target = frame.target if section is None else tuple(section.target.tolist())
    return frame._replace(
        segment=limb.bones[frame.beside].segment,
        bone=frame.beside,
        beside=frame.bone,
        pin=None,
        target=(target[0], target[1]),
        mirror=-frame.mirror,
    )


def halves(frame: SectionFrame, limb: Limb) -> tuple[SectionFrame, ...]:
    """The frames of all halves that are drawn, the own one first."""
    return (frame, other_frame(frame, limb)) if frame.beside else (frame,)


def side_words(frame: SectionFrame, limb: Limb) -> tuple[str, str, str, str]:
    """The words for bearings 0, 90, 180 and 270: of both halves, the patient's sides."""
    lateral, front, medial, back = limb.segments[frame.segment].sides
    if frame.beside:
        lateral = SIDES[limb.references[frame.segment].suffix]
        medial = "left" if lateral == "right" else "right"
    return lateral, front, medial, back


@functools.lru_cache(maxsize=128)
def skin_points(frame: SectionFrame, limb: Limb) -> tuple[Point, ...]:
    """The skin on the page, of both halves in one ring; empty where none is drawn."""
    rings = [limb.skin(limb.group_of(half.bone), frame.level_mm) for half in halves(frame, limb)]
    own, *others = rings
    if own is None:
        return ()
    if not others or others[0] is None:
        return tuple(frame.to_page(own))
    first, second = lateral_part(own), lateral_part(others[0])
    far = other_frame(frame, limb).to_page(second)
    return (*frame.to_page(first), *reversed(far))


def lateral_part(ring: Array) -> Array:
    """A ring's part from the midline outward, from one crossing of the midline to the other."""
    after = np.roll(ring, -1, axis=0)
    points: list[Array] = []
    for here, there in zip(ring, after, strict=True):
        if here[0] >= 0.0:
            points.append(here)
        if (here[0] < 0.0) != (there[0] < 0.0):
            points.append(here + here[0] / (here[0] - there[0]) * (there - here))
    cut = np.array(points)
    steps = [abs(a[0]) + abs(b[0]) for a, b in zip(cut, np.roll(cut, -1, axis=0), strict=True)]
    return np.roll(cut, -int(np.argmin(steps)) - 1, axis=0)
