"""Rule kinds about later fixation: plate, incision, nail, kept space; each names its candidate."""

from collections.abc import Iterator
from functools import lru_cache
from typing import TypeVar

from fixplan.case.records import (
    Candidate,
    Case,
    Fracture,
    FreeOutline,
    Incision,
    Nail,
    Pin,
    Plate,
)
from fixplan.checks.finding import Finding
from fixplan.checks.register import case_kind, pin_kind
from fixplan.checks.rules import Rule
from fixplan.checks.scene import Scene, bone_share, scene_of
from fixplan.checks.texts import (
    beyond,
    candidate_words,
    finding,
    pin_finding,
    pin_words,
    pins_words,
)
from fixplan.checks.zones import levels_of, meet, pin_levels
from fixplan.geometry.corridors import hole_levels, nail_gap, plate_gap
from fixplan.geometry.measures import pin_to_fracture_mm
from fixplan.geometry.outlines import injury_gap
from fixplan.geometry.paths import PinPath, pin_path
from fixplan.geometry.skin_marks import skin_hit
from fixplan.limb.anatomy import Limb

OTHER = "other"

Drawn = TypeVar("Drawn", Incision, FreeOutline)


@pin_kind("pin-under-plate")
def pin_under_plate(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin in the layer that a later plate will take on the bone (D8): once a candidate."""
    path = pin_path(scene.limb, pin)
    hit: dict[str, Candidate] = {}
    for candidate, plate in scene.parts:
        if not isinstance(plate, Plate) or plate_rule(scene, plate, rule) is not rule:
            continue
        if under_plate(path, scene.limb, plate):
            hit[candidate.id] = candidate
    yield from (_against(rule, pin, candidate) for candidate in hit.values())


def _against(rule: Rule, pin: Pin, candidate: Candidate, inside_mm: float | None = None) -> Finding:
    """A pin in the way of a candidate; `inside_mm` says how far, where it is measured."""
    return pin_finding(
        rule,
        pin,
        rule.severity,
        rule.text,
        other=candidate.id,
        measured=inside_mm,
        limit=None if inside_mm is None else 0.0,
        candidate=candidate_words(candidate),
    )


@lru_cache(maxsize=8192)
def under_plate(path: PinPath, limb: Limb, plate: Plate) -> bool:
    """Whether a pin meets the layer that a later plate will take on the bone (D8)."""
    if not meet(pin_levels(path), levels_of(limb, plate)):
        return False
    gap = plate_gap(path, limb, plate)
    return gap is not None and gap.gap_mm == 0


@lru_cache(maxsize=512)
def plate_rule(scene: Scene, plate: Plate, like: Rule) -> Rule | None:
    """The rule of that kind for a plate: by its bone and place, else the one for all others."""
    if plate.bone not in scene.limb.bones:
        return None
    share = bone_share(scene.limb, plate.bone, plate.from_mm)
    listed = [rule for rule in scene.rules if rule.kind == like.kind]
    for rule in listed:
        if rule.target == plate.bone and (rule.region is None or rule.region.holds(share)):
            return rule
    return next((rule for rule in listed if rule.target == OTHER), None)


@pin_kind("pin-in-incision")
def pin_in_incision(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin whose puncture lies in a later incision (D7, D8)."""
    path = pin_path(scene.limb, pin)
    for candidate, part in _near_parts(scene, path, Incision):
        if skin_hit(path, part).is_hit:
            yield _against(rule, pin, candidate)


def _near_parts(
    scene: Scene, path: PinPath, kind: type[Drawn]
) -> Iterator[tuple[Candidate, Drawn]]:
    """The parts of a kind, drawn in the pin's segment, at levels that the pin takes up."""
    levels = pin_levels(path)
    for candidate, part in scene.parts:
        if not isinstance(part, kind) or part.segment != path.segment:
            continue
        if meet(levels, levels_of(scene.limb, part)):
            yield candidate, part


@pin_kind("pin-in-free-outline")
def pin_in_free_outline(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin in a space that was drawn to be kept free."""
    path = pin_path(scene.limb, pin)
    for candidate, part in _near_parts(scene, path, FreeOutline):
        gap = injury_gap(path, part.front, part.side)
        if gap.gap_mm == 0:
            yield _against(rule, pin, candidate, gap.inside_mm)


@pin_kind("pin-in-nail-zone")
def pin_in_nail_zone(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin whose hole lies in the entry zone or in a locking zone of a later nail."""
    path = pin_path(scene.limb, pin)
    hole = hole_levels(path)
    if hole is None:
        return
    for candidate, nail in scene.parts:
        if not isinstance(nail, Nail) or nail.bone != pin.bone:
            continue
        zones = (nail.entry_zone,) if rule.target == "entry" else nail.locking_zones
        overlaps = [min(hole[1] - min(zone), max(zone) - hole[0]) for zone in zones]
        inside_mm = max(overlaps, default=0.0)
        if inside_mm > 0:
            yield _against(rule, pin, candidate, inside_mm)


@case_kind("pins-out-before-reaming")
def pins_out_before_reaming(rule: Rule, case: Case) -> Iterator[Finding]:
    """One note for all pins through the canal of a later nail."""
    scene = scene_of(case)
    for place, candidate in enumerate(case.candidates):
        if not any(isinstance(part, Nail) for part in candidate.parts):
            continue
        pins = [pin for pin in case.pins if crosses_nail(scene, pin, place)]
        if pins:
            count = "1 pin" if len(pins) == 1 else f"{len(pins)} pins"
            yield finding(
                rule,
                rule.severity,
                (candidate.id, *(pin.id for pin in pins)),
                pins_words(pins),
                rule.text,
                count=count,
                pins=_crossing_words(pins),
                candidate=candidate_words(candidate),
            )


def _crossing_words(pins: list[Pin]) -> str:
    """Such as "pin 3 crosses" or "pins 1 to 4 cross"."""
    words = pins_words(pins)
    return f"{words[0].lower()}{words[1:]} {'crosses' if len(pins) == 1 else 'cross'}"


@lru_cache(maxsize=8192)
def crosses_nail(scene: Scene, pin: Pin, place: int) -> bool:
    """Whether a pin runs into the canal that a nail of the candidate at that place needs."""
    if pin.bone not in scene.limb.bones:
        return False
    path = pin_path(scene.limb, pin)
    for nail in scene.candidates[place].parts:
        if isinstance(nail, Nail) and nail.bone == pin.bone:
            gaps = nail_gap(path, scene.limb, nail)
            if gaps is not None and gaps.canal.gap_mm == 0:
                return True
    return False


@case_kind("pin-below-plateau")
def pin_below_plateau(rule: Rule, case: Case) -> Iterator[Finding]:
    """The nearest tibial pin below a plateau fracture while no plate is drawn (PP-09)."""
    scene = scene_of(case)
    if any(isinstance(part, Plate) and part.bone == rule.target for _, part in scene.parts):
        return
    pins = [pin for pin in case.pins if pin.bone == rule.target]
    for fracture in case.fractures:
        if fracture.bone != rule.target or not _is_plateau(rule, scene, fracture):
            continue
        below = [pin for pin in pins if pin.level_mm > fracture.to_mm]
        gaps = [(pin_to_fracture_mm(pin_path(scene.limb, pin), fracture), pin) for pin in below]
        if not gaps:
            continue
        gap_mm, pin = min(gaps, key=lambda one: one[0])
        if passed := beyond(rule, gap_mm):
            yield finding(
                rule,
                passed[0],
                (pin.id, fracture.id),
                pin_words(pin),
                rule.text,
                measured=gap_mm,
                limit=passed[1],
                pin=pin_words(pin),
            )


def _is_plateau(rule: Rule, scene: Scene, fracture: Fracture) -> bool:
    """By its code if it has one, else by where its middle lies."""
    if fracture.code:
        return fracture.code.startswith(rule.code)
    share = bone_share(scene.limb, fracture.bone, (fracture.from_mm + fracture.to_mm) / 2)
    return rule.region is not None and rule.region.holds(share)
