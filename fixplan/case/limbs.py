"""The limb that a case is drawn on: its size, its pose, and which of its parts a frame spans."""

from functools import lru_cache

from fixplan.case.records import Bar, BarAnchor, Case
from fixplan.case.remembered import remembered
from fixplan.limb.anatomy import Limb
from fixplan.limb.pose import Pose, pose_of
from fixplan.limb.scale import limb_of

FLEXION_IN_SPANNING_FRAME_DEG = 15.0
"""Knee flexion drawn under a knee-spanning frame unless the case says otherwise: a custom."""

_BELOW_KNEE = frozenset({"leg", "hindfoot", "forefoot"})


def limb_of_case(case: Case) -> Limb:
    """The schematic limb at this patient's size.

    A typed size of a bone or segment that the limb does not have is left out, as its notes say.
    """
    size = case.size
    return limb_of(
        case.limb,
        size.sex,
        size.stature_mm,
        size.mass_kg,
        tuple((bone.bone, bone.length_mm, bone.width_mm) for bone in size.bones),
        tuple((girth.segment, girth.girth_mm) for girth in size.girths),
    )


def segment_of(case: Case, bone: str) -> str | None:
    """The segment that a bone belongs to; None for a bone that this limb does not have."""
    known = limb_of_case(case).bones.get(bone)
    return known.segment if known else None


def fixed_segment(case: Case) -> str:
    """The segment that stands upright in the side view: the one with the fracture.

    With a fracture on both sides of the knee, or none, the leg stands.
    """
    broken = {segment_of(case, fracture.bone) for fracture in case.fractures}
    return "thigh" if "thigh" in broken and not broken & _BELOW_KNEE else "leg"


def bar_systems(case: Case) -> tuple[tuple[str, ...], ...]:
    """The pins that each connected system of bars holds, as ids in the case's order."""
    return _bar_systems(case.bars)


def spans_knee(case: Case) -> bool:
    """Does one system of bars hold pins above and below the knee?"""
    bones = limb_of_case(case).bones
    segments = {pin.id: bones[pin.bone].segment for pin in case.pins if pin.bone in bones}
    for system in bar_systems(case):
        held = {segments.get(pin) for pin in system}
        if "thigh" in held and held & _BELOW_KNEE:
            return True
    return False


def knee_flexion_deg(case: Case) -> float:
    """The knee flexion drawn, in degrees: as typed, else 15 under a spanning frame, else 0."""
    if case.knee_flexion_deg is not None:
        return case.knee_flexion_deg
    return FLEXION_IN_SPANNING_FRAME_DEG if spans_knee(case) else 0.0


@remembered
def pose_of_case(case: Case) -> Pose:
    """The limb as it lies: which segment stands upright, and how far the knee is bent."""
    return pose_of(limb_of_case(case), fixed_segment(case), knee_flexion_deg(case))


@lru_cache(maxsize=64)
def _bar_systems(bars: tuple[Bar, ...]) -> tuple[tuple[str, ...], ...]:
    systems: list[tuple[set[str], list[str]]] = []
    for bar in bars:
        names = [bar.id, *_held_bars(bar)]
        pins = [*_held_pins(bar), *bar.also]
        touching = [one for one in systems if one[0] & {*names, *pins}]
        systems = [one for one in systems if one not in touching]
        for _, held in touching:
            pins = [*held, *(pin for pin in pins if pin not in held)]
        systems.append(({*names, *pins}.union(*(one[0] for one in touching)), pins))
    return tuple(tuple(pins) for _, pins in systems)


def _held_pins(bar: Bar) -> list[str]:
    return [anchor.pin for anchor in bar.anchors if not isinstance(anchor, BarAnchor)]


def _held_bars(bar: Bar) -> list[str]:
    return [anchor.bar for anchor in bar.anchors if isinstance(anchor, BarAnchor)]
