"""Rule kinds for a child whose growth plates are open."""

from collections.abc import Iterator

from fixplan.case.records import Case, Pin
from fixplan.checks.finding import Finding
from fixplan.checks.register import case_kind, pin_kind
from fixplan.checks.rules import Rule
from fixplan.checks.scene import Scene, scene_of
from fixplan.checks.texts import beyond, diameter_words, finding, pin_finding, pins_words
from fixplan.checks.ways import Levels, pin_levels, widest_band
from fixplan.geometry.measures import hole_ratio
from fixplan.geometry.paths import pin_path

PLATE = "pin-near-growth-plate"
PERCENT = 100.0


@pin_kind(PLATE)
def pin_near_growth_plate(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """The gap along the bone from a pin's surface to an open growth plate; below 0 inside it."""
    if not scene.open_growth_plates or pin.bone not in rule.bones:
        return
    path = pin_path(scene.limb, pin)
    if not path.hits_bone:
        return
    plate = widest_band(scene.limb, path.segment, rule.bands)
    gap_mm = apart_mm(pin_levels(path, path.near_mm, max(path.far_mm, path.tip_end_mm)), plate)
    if passed := beyond(rule, gap_mm):
        yield pin_finding(rule, pin, passed[0], rule.text, measured=gap_mm, limit=passed[1])


def apart_mm(one: Levels, other: Levels) -> float:
    """Distance between two ranges of levels; how far they overlap, as less than 0."""
    return max(one[0] - other[1], other[0] - one[1])


@pin_kind("pin-thin-for-child")
def pin_thin_for_child(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin in a growing bone that fills less of its width than is usual."""
    if not scene.open_growth_plates or not pin_path(scene.limb, pin).known:
        return
    ratio = hole_ratio(scene.limb, pin)
    if ratio is not None and (passed := beyond(rule, ratio * PERCENT)):
        yield pin_finding(
            rule,
            pin,
            passed[0],
            rule.text,
            measured=ratio * PERCENT,
            limit=passed[1],
            diameter=diameter_words(pin.diameter_mm),
        )


@case_kind("growth-plates-unknown")
def growth_plates_unknown(rule: Rule, case: Case) -> Iterator[Finding]:
    """Pins in bones of a child of which no growth plate is placed."""
    if not case.open_growth_plates:
        return
    placed = {bone for one in scene_of(case).rules if one.kind == PLATE for bone in one.bones}
    if pins := [pin for pin in case.pins if pin.bone not in placed]:
        words = pins_words(pins)
        subjects = tuple(pin.id for pin in pins)
        yield finding(rule, rule.severity, subjects, words, rule.text, pins=words)
