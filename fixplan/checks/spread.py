"""Rule kinds about how far a structure may lie from where it is drawn."""

from collections.abc import Iterator
from functools import lru_cache

from fixplan.case.records import Case, Pin
from fixplan.checks.finding import Finding
from fixplan.checks.hazards import (
    CRITICAL,
    JOINT,
    TOUCHED_MM,
    Gap,
    gaps_of,
    hazards_assessed,
)
from fixplan.checks.register import case_kind, pin_kind
from fixplan.checks.rules import Rule
from fixplan.checks.scene import Scene, scene_of
from fixplan.checks.texts import beyond, finding, listed, number, pin_finding, pins_words
from fixplan.checks.ways import inside_band_mm, own_name
from fixplan.geometry.paths import pin_path
from fixplan.geometry.spread_bands import SpreadHit, published_band, spread_hits
from fixplan.geometry.spread_strips import strip_hits
from fixplan.limb.anatomy import Limb
from fixplan.limb.words import ways_of

_SHOWN = 4


@pin_kind("pin-in-spread")
def pin_in_spread(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin inside the published spread of a structure whose mean place it keeps clear of.

    One finding for each structure, by the band that the pin lies deepest in.
    """
    path = pin_path(scene.limb, pin)
    hits = spread_hits(scene.limb, path, rule.numbers["far"])
    if not hits:
        return
    already = _told_already(scene, pin)
    deepest: dict[str, SpreadHit] = {}
    for hit in hits:
        known = deepest.get(hit.spread.track)
        if hit.spread.track not in already and (known is None or _depth(hit) > _depth(known)):
            deepest[hit.spread.track] = hit
    for hit in deepest.values():
        yield _spread_finding(rule, scene, pin, hit)


@pin_kind("pin-in-strip")
def pin_in_strip(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin in the strip beside a landmark where a structure was found; else that one is near."""
    if own_name(scene.limb, pin.bone) not in rule.bones:
        return
    hit = next(strip_hits(scene.limb, pin_path(scene.limb, pin)), None)
    if hit is None:
        yield pin_finding(rule, pin, rule.severity, rule.texts["beside"])
        return
    low, high = published_band(hit.spread)
    side = rule.texts["lateral" if hit.medial_mm < 0 else "medial"]
    yield pin_finding(
        rule,
        pin,
        rule.severity,
        rule.text,
        other=f"hazard:{hit.spread.track}",
        structure=hit.name,
        low=number(low),
        high=number(high),
        aside=side.format(gap=number(abs(hit.medial_mm))),
    )


def _told_already(scene: Scene, pin: Pin) -> set[str]:
    """Structures that the rules about gaps, or about bands of levels, tell of already."""
    asked = [rule for rule in scene.rules if rule.kind == "hazard-gap"]
    near = {
        gap.track
        for gap in gaps_of(scene, pin)
        for rule in asked
        if gap.grade in CRITICAL and gap.part == rule.target and beyond(rule, gap.gap_mm)
    }
    banded = [rule for rule in scene.rules if rule.kind == "pin-in-band" and rule.tracks]
    return near.union(*(r.tracks for r in banded if inside_band_mm(r, scene, pin) > 0))


def _depth(hit: SpreadHit) -> float:
    return 0.0 if hit.inside_mm is None else hit.inside_mm


def _spread_finding(rule: Rule, scene: Scene, pin: Pin, hit: SpreadHit) -> Finding:
    return pin_finding(
        rule,
        pin,
        rule.severities[hit.grade],
        rule.texts["open"] if pin.open_approach else rule.text,
        other=f"hazard:{hit.spread.track}",
        measured=hit.inside_mm,
        evidence=tuple(hit.spread.evidence),
        structure=hit.name,
        band=band_words(scene.limb, hit),
        range=_range_words(rule, scene, hit),
        exposure=_exposure_words(scene, hit.spread.track),
    )


def _exposure_words(scene: Scene, track: str) -> str:
    """How a structure is shown, as the rules about gaps have it, in brackets."""
    known = (rule.exposures.get(track) for rule in scene.rules if rule.kind == "hazard-gap")
    return next((f" ({one.how})" for one in known if one is not None), "")


def _range_words(rule: Rule, scene: Scene, hit: SpreadHit) -> str:
    """Says of a range in mm along a bone that it is an adult's, where the limb is much shorter."""
    if hit.spread.measure in ("bearing", "distance", "share"):
        return ""
    segment = scene.limb.landmark(hit.spread.landmark).segment
    return rule.texts["adult"] if scene.limb.growth.along[segment] < rule.numbers["grown"] else ""


def band_words(limb: Limb, hit: SpreadHit) -> str:
    """A published band in words: "crosses 82 to 122 mm above the lateral epicondyle"."""
    spread = hit.spread
    if spread.measure == "bearing":
        return f"up to {number(max(-hit.low, hit.high))}° round the bone from its mean place"
    if spread.measure == "distance":
        return f"{spread.what}: {number(hit.low)} to {number(hit.high)} mm"
    told_from = limb.landmark(spread.landmark).name
    ways = ways_of(limb, limb.landmark(spread.landmark).segment).from_landmark
    words = ways if spread.below else ways[::-1]
    if spread.measure == "share":
        low, high = 100 * hit.low, 100 * hit.high
        return f"{spread.what}: {_reach_words(low, high, '% of the bone', words)} the {told_from}"
    return f"{spread.what} {_reach_words(hit.low, hit.high, 'mm', words)} the {told_from}"


def _reach_words(low: float, high: float, unit: str, words: tuple[str, str]) -> str:
    """A range on one side of a landmark, or from the other side of it."""
    other, way = words
    if low >= 0:
        return f"{number(low)} to {number(high)} {unit} {way}"
    return f"from {number(-low)} {unit} {other} to {number(high)} {unit} {way}"


@case_kind("spread-not-known")
def spread_not_known(rule: Rule, case: Case) -> Iterator[Finding]:
    """Said once for the case: structures near pins of which no published spread is known."""
    scene = scene_of(case)
    nearest: dict[str, Gap] = {}
    pins: list[Pin] = []
    for pin in case.pins:
        if found := _unknown_near(rule, scene, pin):
            nearest |= {
                gap.track: gap
                for gap in found
                if gap.track not in nearest or gap.gap_mm < nearest[gap.track].gap_mm
            }
            pins.append(pin)
    if nearest:
        words = pins_words(pins)
        by_gap = sorted(nearest.values(), key=lambda gap: gap.gap_mm)
        shown = [f"{gap.name} ({_off_words(gap)})" for gap in by_gap]
        rest = [f"{len(shown) - _SHOWN} more"] if len(shown) > _SHOWN + 1 else []
        told = listed([*shown[: _SHOWN if rest else None], *rest])
        subjects = tuple(pin.id for pin in pins)
        lower = f"{words[0].lower()}{words[1:]}"
        yield finding(rule, rule.severity, subjects, words, rule.text, structures=told, pins=lower)


def _off_words(gap: Gap) -> str:
    """How far off a structure is: "7 mm", "hit"."""
    if gap.gap_mm < TOUCHED_MM:
        return "hit" if gap.gap_mm <= 0 else "touched"
    return f"{number(gap.gap_mm, 1 if gap.gap_mm < 1 else 0)} mm"


@lru_cache(maxsize=4096)
def _unknown_near(rule: Rule, scene: Scene, pin: Pin) -> tuple[Gap, ...]:
    """Structures near one pin of which no spread is published."""
    if pin.bone not in scene.limb.bones or not hazards_assessed(pin_path(scene.limb, pin)):
        return ()
    group = scene.limb.groups[scene.limb.group_of(pin.bone)]
    known = {spread.track for spread in group.authored.spreads}
    return tuple(
        gap
        for gap in gaps_of(scene, pin)
        if gap.gap_mm < rule.numbers["within"]
        and gap.grade in CRITICAL
        and gap.kind != JOINT
        and gap.track not in known
    )
