"""Pin groups: the pins that a system of bars holds in a fragment, and how many it should (D14)."""

import msgspec

from fixplan.case.fragments import Fragment, fragments
from fixplan.case.limbs import bar_systems, limb_of_case, segment_of, spanned_by
from fixplan.case.records import Case, Pin
from fixplan.case.remembered import remembered
from fixplan.frame.patterns import frames, layout, size_of
from fixplan.limb.kinds import limb_kind


class PinGroup(msgspec.Struct, frozen=True, kw_only=True):
    """Pins of one fragment in one bar system, from proximal.

    `needed` is 2, or less where `exempt` says why. `usable_mm` is the fragment less the part near
    fractures; joint capsules have their own checks.
    """

    system: int
    fragment: Fragment
    pins: tuple[str, ...]
    needed: int
    exempt: str
    usable_mm: float
    system_pins: tuple[str, ...]

    @property
    def is_enough(self) -> bool:
        """Whether the group has the pins it needs."""
        return len(self.pins) >= self.needed


@remembered
def pin_groups(case: Case) -> tuple[PinGroup, ...]:
    """Groups of every bar system: each fragment of each bone that it holds, pinned or not."""
    groups: list[PinGroup] = []
    pins = {pin.id: pin for pin in case.pins}
    for number, held in enumerate(bar_systems(case), 1):
        system = [pins[pin_id] for pin_id in held if pin_id in pins]
        groups += _groups_of(case, number, system)
    return tuple(groups)


def pins_without_bar(case: Case) -> tuple[Pin, ...]:
    """Pins that no bar holds."""
    held = {pin_id for system in bar_systems(case) for pin_id in system}
    return tuple(pin for pin in case.pins if pin.id not in held)


def usable_mm(case: Case, fragment: Fragment) -> float:
    """Length of a fragment in mm less what lies near a fracture (PP-01)."""
    bone = limb_of_case(case).bones[fragment.bone]
    near = min(frames().groups.fracture_mm, layout(size_of(bone.segment)).fracture_mm)
    cut = near * ((fragment.from_mm > bone.from_mm) + (fragment.to_mm < bone.to_mm))
    return max(0.0, fragment.to_mm - fragment.from_mm - cut)


def _groups_of(case: Case, number: int, system: list[Pin]) -> list[PinGroup]:
    groups = []
    known = limb_of_case(case).bones
    for bone in dict.fromkeys(pin.bone for pin in system if pin.bone in known):
        pieces = fragments(case, bone)
        for fragment in pieces:
            inside = [p for p in system if p.bone == bone and _holds(fragment, p)]
            needed, exempt = _needed(case, fragment, pieces, system, inside)
            groups.append(
                PinGroup(
                    system=number,
                    fragment=fragment,
                    pins=tuple(p.id for p in sorted(inside, key=lambda p: p.level_mm)),
                    needed=needed,
                    exempt=exempt,
                    usable_mm=usable_mm(case, fragment),
                    system_pins=tuple(p.id for p in system),
                )
            )
    return groups


def _holds(fragment: Fragment, pin: Pin) -> bool:
    return fragment.from_mm <= pin.level_mm <= fragment.to_mm


def _needed(
    case: Case,
    fragment: Fragment,
    pieces: tuple[Fragment, ...],
    system: list[Pin],
    inside: list[Pin],
) -> tuple[int, str]:
    rules = frames().groups
    if fragment.bone in rules.one_pin_bones:
        return 1, "one pin is customary here"
    if len(pieces) > 1 and not inside:
        if fragment not in (pieces[0], pieces[-1]):
            if usable_mm(case, fragment) < rules.bridged_mm:
                return 0, "a short middle segment, bridged"
        elif _is_spanned_block(case, fragment, pieces, system):
            return 0, "the joint block, held across the joint"
    return 2, ""


def _is_spanned_block(
    case: Case, fragment: Fragment, pieces: tuple[Fragment, ...], system: list[Pin]
) -> bool:
    """Whether an end fragment lies at a joint that the system spans, and may be left to that.

    It may not where it is long enough for pins and what it meets across the joint holds none.
    """
    first, last = frames().groups.end_blocks.get(fragment.bone, ("", ""))
    joint_id = first if fragment == pieces[0] else last
    if not joint_id or not spanned_by(case, joint_id, [pin.id for pin in system]):
        return False
    is_short = usable_mm(case, fragment) < frames().groups.bridged_mm
    return is_short or _holds_across(case, joint_id, segment_of(case, fragment.bone), system)


def _holds_across(case: Case, joint_id: str, segment: str | None, system: list[Pin]) -> bool:
    """Whether a pin of the system stands in what a segment meets at a joint.

    Beyond a joint all that hangs on the segment below counts: heel and forefoot hold an ankle.
    """
    row = limb_kind(case.limb)
    joint = row.joint(joint_id)
    if joint is None:
        return False
    if segment == joint.below:
        return any(_stands_in(case, pin, joint.above, -1) for pin in system)
    further = set(row.beyond(joint.below)) - {joint.below}
    return any(
        _stands_in(case, pin, joint.below, 0) or segment_of(case, pin.bone) in further
        for pin in system
    )


def _stands_in(case: Case, pin: Pin, segment: str, place: int) -> bool:
    """Whether a pin stands in the first (0) or last (-1) fragment of a bone of a segment."""
    pieces = fragments(case, pin.bone)
    return segment_of(case, pin.bone) == segment and bool(pieces) and _holds(pieces[place], pin)
