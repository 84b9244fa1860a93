"""Rule kinds about pins together: how many hold a fragment, how far apart they stand."""

from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise

from fixplan.case.fragments import Fragment
from fixplan.case.limbs import limb_of_case, pose_of_case
from fixplan.case.records import Case, Pin
from fixplan.checks.finding import Finding
from fixplan.checks.register import case_kind
from fixplan.checks.rules import Rule, rules
from fixplan.checks.texts import finding, pin_finding, pins_words
from fixplan.frame.groups import PinGroup, pin_groups, pins_without_bar, usable_mm
from fixplan.geometry.measures import pin_spacing_mm
from fixplan.geometry.paths import pin_path
from fixplan.limb.anatomy import Limb


@case_kind("fragment-pins")
def fragment_pins(rule: Rule, case: Case) -> Iterator[Finding]:
    """A fragment that a bar system holds with fewer pins than it needs (PP-04, D14).

    Where it holds none, but pins on other bars stand in the fragment, these hold it: what joins
    them to the rest is asked by the rule of loose frames. Of each fragment it is said once.
    """
    groups = pin_groups(case)
    pinned = {group.fragment for group in groups if group.pins}
    told: set[Fragment] = set()
    for group in groups:
        if group.is_enough or (not group.pins and group.fragment in pinned | told):
            continue
        told.add(group.fragment)
        yield finding(
            rule,
            "caution",
            _subjects(case, group),
            group.fragment.words,
            rule.text,
            measured=float(len(group.pins)),
            limit=float(group.needed),
            fragment=group.fragment.words,
            held="1 pin" if len(group.pins) == 1 else "no pin",
            beside=_beside_words(case, group),
        )


def _beside_words(case: Case, group: PinGroup) -> str:
    """The fragment's further pins, which do not count here, and why not; empty without any."""
    inside = [
        pin
        for pin in case.pins
        if pin.bone == group.fragment.bone
        and group.fragment.from_mm <= pin.level_mm <= group.fragment.to_mm
        and pin.id not in group.pins
    ]
    loose = pins_without_bar(case)
    kinds = (
        ([pin for pin in inside if pin in loose], "in it {stand} on no bar"),
        ([pin for pin in inside if pin not in loose], "in it {run} by bars not joined to these"),
    )
    return "".join(
        f" ({pins_words(pins)[0].lower()}{pins_words(pins)[1:]} "
        + words.format(
            stand="stands" if len(pins) == 1 else "stand", run="runs" if len(pins) == 1 else "run"
        )
        + ")"
        for pins, words in kinds
        if pins
    )


def _subjects(case: Case, group: PinGroup) -> tuple[str, ...]:
    """What to show for a fragment: its pins, else the fractures beside it; then its own name."""
    broken = tuple(one.id for one in case.fractures if one.bone == group.fragment.bone)
    shown = group.pins or broken or group.system_pins
    return (*shown, f"fragment:{group.fragment.bone}/{group.fragment.index}")


@case_kind("pins-on-no-bar")
def pins_on_no_bar(rule: Rule, case: Case) -> Iterator[Finding]:
    """One note for the pins that no bar holds, once the frame has a bar."""
    loose = pins_without_bar(case) if case.bars else ()
    if loose:
        words = pins_words(loose)
        stand = f"{words} {'is' if len(loose) == 1 else 'are'}"
        subjects = tuple(pin.id for pin in loose)
        yield finding(rule, rule.severity, subjects, words, rule.text, pins=stand)


@case_kind("fragment-spread")
def fragment_spread(rule: Rule, case: Case) -> Iterator[Finding]:
    """Pins of one fragment that stand close together though it has room (PP-06).

    A bone that is not broken has no fragments to hold, so nothing is asked of it.
    """
    broken = {fracture.bone for fracture in case.fractures}
    pins = {pin.id: pin for pin in case.pins}
    for group in pin_groups(case):
        if len(group.pins) < 2 or group.fragment.bone not in broken:
            continue
        levels = [pins[one].level_mm for one in group.pins]
        spread_mm = max(levels) - min(levels)
        limit_mm = rule.numbers["share"] * usable_by_capsules_mm(case, group)
        if spread_mm < limit_mm:
            yield finding(
                rule,
                rule.severity,
                group.pins,
                group.fragment.words,
                rule.text,
                measured=spread_mm,
                limit=limit_mm,
                fragment=group.fragment.words,
            )


def usable_by_capsules_mm(case: Case, group: PinGroup) -> float:
    """Length of a fragment less what lies near fractures and inside capsule limits (D14)."""
    fragment = group.fragment
    bone = limb_of_case(case).bones[fragment.bone]
    cut_mm = 0.0
    if fragment.from_mm <= bone.from_mm:
        cut_mm += _capsule_mm(limb_of_case(case), fragment.bone, "distal")
    if fragment.to_mm >= bone.to_mm:
        cut_mm += _capsule_mm(limb_of_case(case), fragment.bone, "proximal")
    return max(usable_mm(case, fragment) - cut_mm, 0.0)


@lru_cache(maxsize=64)
def _capsule_mm(limb: Limb, bone: str, clear: str) -> float:
    """How much of a bone's end the joint rules rule out; of several, the one that leaves most."""
    known = limb.bones[bone]
    cuts = []
    for rule in rules():
        if rule.kind != "pin-near-joint" or rule.target != bone or rule.clear != clear:
            continue
        line_mm = limb.landmark(rule.landmark).level_mm
        least_mm = min(one.caution for one in rule.sectors if one.caution is not None)
        from_end = line_mm - known.from_mm if clear == "distal" else known.to_mm - line_mm
        cuts.append(from_end + least_mm)
    return max(min(cuts, default=0.0), 0.0)


@case_kind("pin-spacing")
def pin_spacing(rule: Rule, case: Case) -> Iterator[Finding]:
    """Neighbouring pins of one segment that stand too close for bone and clamps (PP-07)."""
    limb = pose_of_case(case).limb
    by_segment: dict[str, list[Pin]] = {name: [] for name in rule.numbers}
    for pin in case.pins:
        bone = limb.bones.get(pin.bone)
        if bone is not None and bone.segment in by_segment:
            by_segment[bone.segment].append(pin)
    for segment, pins in by_segment.items():
        pins.sort(key=lambda pin: pin.level_mm)
        limit_mm = rule.numbers[segment]
        for pin, other in pairwise(pins):
            found = _too_close(rule, limb, pin, other, limit_mm)
            if found is not None:
                yield found


def stands_closer(rule: Rule, limb: Limb, pins: tuple[Pin, ...], moved: Pin) -> bool:
    """Whether a moved pin stands too close to a neighbour that it did not stand too close to."""
    segment = limb.bones[moved.bone].segment
    limit_mm = rule.numbers.get(segment)
    if limit_mm is None:
        return False
    same = [one for one in pins if one.bone in limb.bones and one.id != moved.id]
    same = [one for one in same if limb.bones[one.bone].segment == segment]
    above = max((one for one in same if one.level_mm <= moved.level_mm), key=_level, default=None)
    below = min((one for one in same if one.level_mm > moved.level_mm), key=_level, default=None)
    before = [one for one in pins if one.id == moved.id]
    return any(
        _too_close(rule, limb, moved, one, limit_mm) is not None
        and not any(_too_close(rule, limb, was, one, limit_mm) for was in before)
        for one in (above, below)
        if one is not None
    )


def _level(pin: Pin) -> float:
    return pin.level_mm


@lru_cache(maxsize=4096)
def _too_close(rule: Rule, limb: Limb, pin: Pin, other: Pin, limit_mm: float) -> Finding | None:
    spacing_mm = pin_spacing_mm(pin_path(limb, pin), pin_path(limb, other))
    if spacing_mm is None or spacing_mm >= limit_mm:
        return None
    first, second = sorted((pin, other), key=lambda one: one.number)
    return pin_finding(
        rule,
        first,
        rule.severity,
        rule.text,
        other=second.id,
        measured=spacing_mm,
        limit=limit_mm,
        other_pin=f"pin {second.number}",
    )
