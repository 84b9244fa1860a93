"""Rule kinds for a child whose growth plates are open."""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

from fixplan.case.records import Case, Pin
from fixplan.checks.finding import Finding
from fixplan.checks.register import case_kind, pin_kind
from fixplan.checks.rules import Rule, rules
from fixplan.checks.scene import Scene, scene_of
from fixplan.checks.texts import beyond, diameter_words, finding, pin_finding, pins_words
from fixplan.checks.ways import Levels, pin_forward, pin_levels, pin_to_know, widest_band
from fixplan.frame.growing import MM_IN_CM, asked_below_cm, asks_growth
from fixplan.geometry.measures import hole_ratio
from fixplan.geometry.paths import pin_path
from fixplan.limb.anatomy import Limb

PLATE = "pin-near-growth-plate"
PERCENT = 100.0


class Plate(NamedTuple):
    """A growth plate as the rules place it: levels (or y, where `is_across`) on its bone, mm."""

    bone: str
    levels_mm: Levels
    is_across: bool


@lru_cache(maxsize=16)
def growth_plates(limb: Limb) -> tuple[Plate, ...]:
    """The growth plates of a limb's bones, as far as any is placed."""
    return tuple(
        Plate(
            bone,
            widest_band(limb, limb.bones[bone].segment, rule.bands),
            rule.bands[0].is_across,
        )
        for rule in rules()
        if rule.kind == PLATE
        for bone in rule.bones
        if bone in limb.bones
    )


@pin_kind(PLATE)
def pin_near_growth_plate(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """The gap from a pin's surface to an open growth plate; below 0 inside it.

    Along the bone, or forward and backward where the rule's bands tell a plate that stands so.
    """
    if not scene.open_growth_plates or pin.bone not in rule.bones:
        return
    path = pin_path(scene.limb, pin)
    if not path.hits_bone:
        return
    plate = widest_band(scene.limb, path.segment, rule.bands)
    taken = pin_forward if rule.bands[0].is_across else pin_levels
    gap_mm = apart_mm(taken(path, path.near_mm, max(path.far_mm, path.tip_end_mm)), plate)
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


@pin_kind("pin-in-growing-edge")
def pin_in_growing_edge(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin that goes through a growing edge of its bone on its way in."""
    if scene.open_growth_plates:
        yield from pin_to_know(rule, scene, pin)


@case_kind("child-diameter-unknown")
def child_diameter_unknown(rule: Rule, case: Case) -> Iterator[Finding]:
    """Pins of a child in bones that are plates: no share of a width tells what suits them."""
    if not case.open_growth_plates:
        return
    bones = scene_of(case).limb.bones
    if pins := [pin for pin in case.pins if pin.bone in bones and bones[pin.bone].is_plate]:
        yield _of_pins(rule, pins)


@case_kind("growth-plates-asked")
def growth_plates_asked(rule: Rule, case: Case) -> Iterator[Finding]:
    """Pins in a patient so small that growth plates may be open, while the case does not say so."""
    stature_mm = case.size.stature_mm
    if stature_mm is None or not case.pins or not asks_growth(case):
        return
    words, subjects = pins_words(case.pins), tuple(pin.id for pin in case.pins)
    yield finding(
        rule,
        rule.severity,
        subjects,
        words,
        rule.text,
        measured=stature_mm / MM_IN_CM,
        limit=asked_below_cm(),
        pins=words,
    )


@case_kind("growth-plates-unknown")
def growth_plates_unknown(rule: Rule, case: Case) -> Iterator[Finding]:
    """Pins in bones of a child of which no growth plate is placed."""
    if not case.open_growth_plates:
        return
    placed = {bone for one in scene_of(case).rules if one.kind == PLATE for bone in one.bones}
    if pins := [pin for pin in case.pins if pin.bone not in placed]:
        yield _of_pins(rule, pins)


def _of_pins(rule: Rule, pins: Sequence[Pin]) -> Finding:
    words, subjects = pins_words(pins), tuple(pin.id for pin in pins)
    return finding(rule, rule.severity, subjects, words, rule.text, pins=words)
