"""Which section of the limb is shown: at a pin, or at a level."""

from collections.abc import Sequence
from typing import NamedTuple

from fixplan.case.records import Case, Pin
from fixplan.checks.finding import Finding
from fixplan.errors import EditError
from fixplan.frame.defaults import new_pin
from fixplan.geometry.section_structures import level_is_known
from fixplan.limb.anatomy import Limb

SectionAt = str | tuple[str, float]
"""What a section is asked at: a pin's id, or a segment and a level in it (mm)."""

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
    """The section to show. By default at the first pin with an open finding, else the first pin.

    Pins at a level without a section come last. None where there is nothing to cut at: no pin, and
    no level given.
    """
    if isinstance(section_at, tuple) and section_at[0] in limb.segments:
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
    marked = {
        subject
        for finding in findings
        if finding.is_open and finding.severity in MARKED
        for subject in finding.subjects
    }
    return next((pin for pin in pins if pin.id in marked), None)


def _at_pin(limb: Limb, pin: Pin) -> Cut:
    return Cut(limb.bones[pin.bone].segment, pin.level_mm, pin.bone, pin, pin)


def _at_level(case: Case, limb: Limb, segment: str, level_mm: float) -> Cut:
    bone = limb.segments[segment].primary
    try:
        like: Pin | None = new_pin(case, bone, level_mm)
    except EditError:
        like = None
    return Cut(segment, level_mm, bone, None, like)
