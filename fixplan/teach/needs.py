"""What a whole answer has: pins in the bones and fragments that were asked, bars that hold them."""

from collections.abc import Iterable

from fixplan.case.fragments import fragment_of, fragments
from fixplan.case.limbs import bar_systems, spans
from fixplan.case.records import Case, Pin
from fixplan.checks.texts import listed
from fixplan.teach.marks import Part
from fixplan.teach.records import FrameNeeded, Need, PinsNeeded
from fixplan.teach.scheme import FULL, NONE


def need_part(number: int, need: Need, case: Case) -> Part:
    """The part of a mark for something needed; `number` counts the exercise's needs from 1."""
    words = need_words(need, case)
    if isinstance(need, PinsNeeded):
        pins = pins_of(need, case)
        credit, reason = _pins_credit(need, len(pins))
        subjects = tuple(pin.id for pin in pins)
        measured, limit = float(len(pins)), float(need.least)
    else:
        credit, reason = _frame_credit(need, case)
        subjects, measured, limit = tuple(bar.id for bar in case.bars), None, None
    return Part(
        id=f"need.{number}",
        kind="need",
        words=words,
        weight=need.weight,
        credit=credit,
        reason=reason,
        measured=measured,
        limit=limit,
        unit="pins" if isinstance(need, PinsNeeded) else "",
        subjects=subjects,
    )


def need_words(need: Need, case: Case) -> str:
    """What is needed, in words: "2 pins in the proximal fragment of the tibia"."""
    if isinstance(need, FrameNeeded):
        across = f" across the {need.joint}" if need.joint else ""
        return f"Bars that hold all pins together{across}"
    count = f"{need.least}" if need.most == need.least else f"at least {need.least}"
    if need.most is not None and need.most > need.least:
        count = f"{need.least} to {need.most}"
    pins = "pin" if need.least == 1 and need.most in (None, 1) else "pins"
    return f"{count[0].upper()}{count[1:]} {pins} in the {_place_words(need, case)}"


def _place_words(need: PinsNeeded, case: Case) -> str:
    bones = [bone.replace("-", " ") for bone in need.bones]
    if need.fragment is None:
        return " or ".join(bones)
    for one in fragments(case, need.bones[0]):
        if one.index == need.fragment and one.name != "whole bone":
            return f"{one.name} of the {bones[0]}"
    return bones[0]


def pins_of(need: PinsNeeded, case: Case) -> tuple[Pin, ...]:
    """The pins of an answer that go towards a need; once it has bars, those that a bar holds."""
    placed = _placed(need, case)
    if not case.bars:
        return placed
    held = {pin for system in bar_systems(case) for pin in system}
    return tuple(pin for pin in placed if pin.id in held)


def _placed(need: PinsNeeded, case: Case) -> tuple[Pin, ...]:
    """The pins in the bones and the fragment asked for, held or not."""
    return tuple(
        pin for pin in case.pins if pin.bone in need.bones and _in_fragment(need, case, pin)
    )


def _in_fragment(need: PinsNeeded, case: Case, pin: Pin) -> bool:
    if need.fragment is None:
        return True
    found = fragment_of(case, pin)
    return found is not None and found.index == need.fragment


def completeness(needs: Iterable[Need], case: Case) -> float:
    """Share of the needed pins that are there; with none needed 1 once there is a pin."""
    asked = [need for need in needs if isinstance(need, PinsNeeded)]
    if not asked:
        return FULL if case.pins else NONE
    there = sum(min(len(_placed(need, case)), need.least) for need in asked)
    return there / sum(need.least for need in asked)


def _pins_credit(need: PinsNeeded, count: int) -> tuple[float, str]:
    """As many as needed: full; fewer: their share; more than allowed: the share the other way."""
    there = {0: "There is none", 1: "There is 1"}.get(count, f"There are {count}")
    if count < need.least:
        return count / need.least, f"{there}; {need.least} needed."
    if need.most is not None and count > need.most:
        return need.most / count, f"{there}; no more than {need.most} wanted."
    return FULL, f"{there}."


def _frame_credit(need: FrameNeeded, case: Case) -> tuple[float, str]:
    """The share of the pins that the largest system of bars holds; 0 if it misses the joint."""
    if not case.bars or not case.pins:
        return NONE, "There is no frame." if not case.bars else "There is no pin."
    known = {pin.id for pin in case.pins}
    held = max((known & set(system) for system in bar_systems(case)), key=len, default=set())
    if need.joint is not None and not spans(case, need.joint):
        return NONE, f"No bars hold pins above and below the {need.joint}."
    loose = sorted(pin.number for pin in case.pins if pin.id not in held)
    if loose:
        words = listed([str(number) for number in loose])
        pins = "Pin" if len(loose) == 1 else "Pins"
        return len(held) / len(known), f"{pins} {words} not joined to the rest."
    return FULL, "One system of bars holds all pins."
