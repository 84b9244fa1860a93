"""Which section of the limb is shown: at a pin, or at a level."""

from collections.abc import Sequence
from typing import NamedTuple

from fixplan.case.records import Case, Pin
from fixplan.checks.finding import Finding
from fixplan.errors import EditError
from fixplan.frame.new_pins import new_pin
from fixplan.geometry.section_structures import level_is_known
from fixplan.limb.anatomy import Limb
from fixplan.sheet.section_frame import SectionFrame

SectionAt = str | tuple[str, float]
"""What a section is asked at: a pin's id, or a segment (or further group) and a level in it, mm."""

MARKED = ("stop", "caution")


class Cut(NamedTuple):
    """A plane across the limb.

    `bone` is the one that clear directions are told for, `pin` the one that is drawn, if any.
    `like` has the diameter, tip and kind that they hold for: the pin, or one as a click gives it;
    None for a bone that no pin is customary in.
    """

    segment: str
    level_mm: float
    bone: str
    pin: Pin | None
    like: Pin | None


def cut_of(
    case: Case, limb: Limb, findings: Sequence[Finding], section_at: SectionAt | None = None
) -> Cut | None:
    """The section to show: by default at the pin of the first open finding, the worst; else of all.

    Pins at a level without a section come last. None where there is nothing to cut at: no pin, and
    no level given.
    """
    if isinstance(section_at, tuple) and section_at[0] in limb.groups:
        return _at_level(case, limb, *section_at)
    pins = sorted((pin for pin in case.pins if pin.bone in limb.bones), key=lambda p: p.number)
    if not pins:
        return None
    asked = next((pin for pin in pins if pin.id == section_at), None)
    if asked is None:
        known = [pin for pin in pins if _is_known(limb, pin)] or pins
        asked = _first_marked(known, findings) or known[0]
    return _at_pin(limb, asked)


def _is_known(limb: Limb, pin: Pin) -> bool:
    return level_is_known(limb, limb.group_of(pin.bone), pin.level_mm)


def _first_marked(pins: Sequence[Pin], findings: Sequence[Finding]) -> Pin | None:
    known = {pin.id: pin for pin in pins}
    marked = (
        known[subject]
        for finding in findings
        if finding.is_open and finding.severity in MARKED
        for subject in finding.subjects
        if subject in known
    )
    return next(marked, None)


def _at_pin(limb: Limb, pin: Pin) -> Cut:
    return Cut(limb.bones[pin.bone].segment, pin.level_mm, pin.bone, pin, pin)


def group_at(limb: Limb, group: str, level_mm: float) -> tuple[str, float]:
    """The sections to show at a level that is asked for while those of a group are shown.

    The same group as far as its bone goes, else the segment's own where they are known, else the
    first further group that is known there. The level stays within what the segment holds.
    """
    own = limb.groups[group].name
    further = [one.primary for name, one in limb.groups.items() if one.name == own != name]
    first = min([limb.segments[own].from_mm, *(limb.bones[one].from_mm for one in further)])
    last = max([limb.segments[own].to_mm, *(limb.bones[one].to_mm for one in further)])
    level = min(max(level_mm, first), last)
    if group in further and limb.bones[group].from_mm <= level <= limb.bones[group].to_mm:
        return group, level
    known = (one for one in (own, *further) if level_is_known(limb, one, level))
    return next(known, own), level


def told_bone(limb: Limb, at: Cut | SectionFrame) -> str:
    """The bone that a section's level is told on: a pin's, or a further group's; else none."""
    own = at.pin is None and limb.group_of(at.bone) == at.segment
    return "" if own else at.bone


def _at_level(case: Case, limb: Limb, group: str, level_mm: float) -> Cut:
    bone, segment = limb.groups[group].primary, limb.groups[group].name
    try:
        like: Pin | None = new_pin(case, bone, level_mm)
    except EditError:
        like = None
    return Cut(segment, level_mm, bone, None, like)
