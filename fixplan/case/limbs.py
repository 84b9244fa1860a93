"""The limb that a case is drawn on: its size, its pose, and which of its parts a frame spans."""

from collections.abc import Iterable
from functools import lru_cache

from fixplan.case.records import Bar, BarAnchor, Case
from fixplan.case.remembered import remembered
from fixplan.limb.anatomy import Limb
from fixplan.limb.kinds import limb_kind
from fixplan.limb.pose import Pose, pose_of
from fixplan.limb.scale import limb_of


@remembered
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
        tuple((bone.bone, bone.canal_mm) for bone in size.bones if bone.canal_mm is not None),
    )


def segment_of(case: Case, bone: str) -> str | None:
    """The segment that a bone belongs to; None for a bone that this limb does not have."""
    known = limb_of_case(case).bones.get(bone)
    return known.segment if known else None


def drawn_segments(case: Case) -> frozenset[str]:
    """The segments in which a pin, fracture, injury or wound of the case lies."""
    bones = [*(pin.bone for pin in case.pins), *(one.bone for one in case.fractures)]
    marked = [*(one.segment for one in case.injuries), *(one.segment for one in case.wounds)]
    found = (*(segment_of(case, bone) for bone in bones), *marked)
    return frozenset(one for one in found if one is not None)


def fixed_segment(case: Case) -> str:
    """The segment that stands upright in the side view: the one with the fracture.

    With a fracture on both sides of the first joint, or none, the one that the limb's data name.
    """
    kind = limb_kind(case.limb)
    broken = {segment_of(case, fracture.bone) for fracture in case.fractures} - {None}
    first = kind.segments[0].name
    return first if kind.bending and broken == {first} else kind.standing(case.side)


@remembered
def bar_systems(case: Case) -> tuple[tuple[str, ...], ...]:
    """The pins that each connected system of bars holds, as ids in the case's order."""
    return _bar_systems(case.bars)


def spans(case: Case, joint_id: str) -> bool:
    """Does one system of bars hold pins above and below a joint? False if the limb lacks it."""
    return any(spanned_by(case, joint_id, system) for system in bar_systems(case))


def spanned_by(case: Case, joint_id: str, pins: Iterable[str]) -> bool:
    """Do these pins (ids) stand above and below a joint? False if the limb lacks it."""
    joint = limb_kind(case.limb).joint(joint_id)
    if joint is None:
        return False
    segments = _segments_of_pins(case)
    order = [segment.name for segment in limb_kind(case.limb).segments]
    below = set(order[order.index(joint.below) :])
    above = set(order) - below
    held = {segments.get(pin) for pin in pins}
    return bool(held & above and held & below)


@remembered
def _segments_of_pins(case: Case) -> dict[str, str | None]:
    """The segment of each pin, by the pin's id."""
    bones = limb_of_case(case).bones
    return {pin.id: bones[pin.bone].segment if pin.bone in bones else None for pin in case.pins}


def bend_deg(case: Case, joint_id: str) -> float:
    """The angle drawn at a joint, in degrees: as typed, else 0.

    Under a frame that spans the joint it is, unless typed, what the limb's data say. 0 for a
    joint that the limb lacks.
    """
    typed = {
        "knee": case.knee_flexion_deg,
        "elbow": case.elbow_flexion_deg,
        "wrist": case.wrist_extension_deg,
    }.get(joint_id)
    joint = limb_kind(case.limb).joint(joint_id)
    if joint is None:
        return 0.0
    if typed is not None:
        return typed
    return joint.spanned_deg if spans(case, joint_id) else 0.0


def knee_flexion_deg(case: Case) -> float:
    """The knee flexion drawn, in degrees: as typed, else 15 under a spanning frame, else 0."""
    return bend_deg(case, "knee")


@remembered
def pose_of_case(case: Case) -> Pose:
    """The limb as it lies: which segment stands upright, and how far its joints are bent."""
    bends = (bend_deg(case, joint.id) for joint in limb_kind(case.limb).bending)
    return pose_of(limb_of_case(case), fixed_segment(case), *bends)


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
