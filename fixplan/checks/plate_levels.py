"""The rule kind about pins that stand at a later plate's levels, on another side of the bone.

The plate's screws cross the bone there, and a pin's track may lie in their way. The footprint (D8)
is the concern of `later_fixation`; a pin under it is not told twice.
"""

from collections.abc import Iterator
from functools import lru_cache

from fixplan.case.records import Candidate, Case, Pin, Plate
from fixplan.checks.finding import Finding
from fixplan.checks.later_fixation import plate_rule, under_plate
from fixplan.checks.register import case_kind
from fixplan.checks.rules import Rule
from fixplan.checks.scene import Scene, scene_of
from fixplan.checks.texts import candidate_words, finding, pins_words
from fixplan.checks.zones import levels_of
from fixplan.geometry.corridors import hole_levels
from fixplan.geometry.paths import pin_path


@case_kind("pins-at-plate-levels")
def pins_at_plate_levels(rule: Rule, case: Case) -> Iterator[Finding]:
    """One finding a candidate for all pins at the levels of its plates, but not under them.

    Measured is how far the deepest of them stands inside, along the bone to the plate's nearer end.
    """
    scene = scene_of(case)
    for candidate in scene.candidates:
        inside_mm = {pin: _inside_mm(rule, scene, candidate, pin) for pin in case.pins}
        pins = [pin for pin in case.pins if inside_mm[pin] > 0]
        if pins:
            words = pins_words(pins)
            yield finding(
                rule,
                rule.severity,
                (*(pin.id for pin in pins), candidate.id),
                words,
                rule.text,
                measured=max(inside_mm.values()),
                limit=0.0,
                pins=f"{words} {'stands' if len(pins) == 1 else 'stand'}",
                candidate=candidate_words(candidate),
            )


@lru_cache(maxsize=4096)
def _inside_mm(rule: Rule, scene: Scene, candidate: Candidate, pin: Pin) -> float:
    """How far along the bone a pin's hole lies inside the levels of a candidate's plates, mm."""
    plates = [part for part in candidate.parts if isinstance(part, Plate) and part.bone == pin.bone]
    if not plates or pin.bone not in scene.limb.bones:
        return 0.0
    path = pin_path(scene.limb, pin)
    hole = hole_levels(path)
    if hole is None or any(under_plate(path, scene.limb, plate) for plate in plates):
        return 0.0
    levels = [
        levels_of(scene.limb, plate) for plate in plates if plate_rule(scene, plate, rule) is rule
    ]
    return max((min(hole[1] - low, high - hole[0]) for low, high in levels), default=0.0)
