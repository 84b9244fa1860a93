"""Rule kinds about a pin's way as a whole: other bones, bands of levels, landmarks, bare notes."""

import math
from collections.abc import Iterator

from fixplan.case.records import Pin, Severity
from fixplan.checks.finding import Finding
from fixplan.checks.register import pin_kind
from fixplan.checks.rules import LevelBand, Rule
from fixplan.checks.scene import Scene, bone_share
from fixplan.checks.texts import beyond, listed, pin_finding
from fixplan.geometry.obstacle_hits import other_bones_met
from fixplan.geometry.paths import PinPath, pin_path
from fixplan.limb.anatomy import Limb

Levels = tuple[float, float]


@pin_kind("pin-through-other-bone")
def pin_through_other_bone(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin that runs into a bone beside its own."""
    path = pin_path(scene.limb, pin)
    met = other_bones_met(scene.limb, path) if path.hits_bone else ()
    if met:
        titles = listed([scene.limb.bones[one].title for one in met])
        yield pin_finding(
            rule,
            pin,
            rule.severity,
            rule.text,
            others=tuple(f"bone:{one}" for one in met),
            other_bone=titles,
        )


@pin_kind("pin-in-band")
def pin_in_band(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin whose way in lies in a band of levels, from one of the rule's sides of the bone.

    Of bands that the literature gives by distance and by share the wider one counts. Measured is
    how far the pin lies inside. With `target` both, where it comes out counts as well.
    """
    inside_mm = inside_band_mm(rule, scene, pin)
    if inside_mm > 0:
        yield _band_finding(rule, pin, inside_mm)


def inside_band_mm(rule: Rule, scene: Scene, pin: Pin) -> float:
    """How far inside the widest of a rule's bands a pin lies, mm; 0 outside and on other sides."""
    if pin.bone not in rule.bones:
        return 0.0
    path = pin_path(scene.limb, pin)
    if not path.hits_bone:
        return 0.0
    low, high = widest_band(scene.limb, path.segment, rule.bands)
    depths = (
        min(levels[1] - low, high - levels[0])
        for levels, bearing_deg in _ends(rule, path)
        if not rule.sectors or any(one.holds(bearing_deg) for one in rule.sectors)
    )
    return max(0.0, *depths, 0.0)


def _band_finding(rule: Rule, pin: Pin, inside_mm: float) -> Finding:
    severity: Severity = rule.severity
    text = rule.text
    if pin.open_approach:
        severity, text = rule.severities.get("open", severity), rule.texts.get("open", text)
    return pin_finding(rule, pin, severity, text, measured=inside_mm)


def widest_band(limb: Limb, segment: str, bands: tuple[LevelBand, ...]) -> Levels:
    """From the least to the greatest level of several bands, mm."""
    ends = [level for band in bands for level in band_levels(limb, segment, band)]
    return min(ends), max(ends)


def band_levels(limb: Limb, segment: str, band: LevelBand) -> Levels:
    """Levels of a band told from a landmark, mm, low first."""
    start = float(limb.landmark(band.landmark).level_mm)
    unit = 1.0
    if band.unit == "share":
        main = limb.bones[limb.segments[segment].primary]
        unit = main.length_mm or limb.segments[segment].to_mm
    sign = 1.0 if band.towards == "distal" else -1.0
    first, second = start + sign * unit * band.least, start + sign * unit * band.most
    return min(first, second), max(first, second)


def _ends(rule: Rule, path: PinPath) -> Iterator[tuple[Levels, float]]:
    """The pin's way in, its bearing, and with `target` both (or through) its way out."""
    yield _levels(path, path.near_mm, path.skin_mm), path.pin.bearing_deg
    if path.pin.kind == "through" or (rule.target == "both" and path.tip_end_mm <= path.far_mm):
        yield _levels(path, path.far_mm, path.tip_end_mm), path.pin.bearing_deg + 180


def _levels(path: PinPath, *ends_mm: float) -> Levels:
    levels = [path.level_at(one) for one in ends_mm]
    thick = path.radius_mm * path.line.cos_tilt
    return min(levels) - thick, max(levels) + thick


@pin_kind("pin-from-landmark")
def pin_from_landmark(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """How far from a landmark a pin enters its bone, along the level or, `clear` back, backward.

    `clear`: the side of the landmark on which the distance grows.
    """
    if pin.bone not in rule.bones or not _on_sides(rule, pin):
        return
    path = pin_path(scene.limb, pin)
    if not path.hits_bone:
        return
    mark, entry = scene.limb.landmark(rule.landmark), path.near_point_mm
    away_mm = {
        "distal": float(entry[2]) - mark.level_mm,
        "proximal": mark.level_mm - float(entry[2]),
        "back": mark.y_mm - float(entry[1]),
    }[rule.clear]
    if rule.below:
        away_mm -= path.radius_mm
    if passed := beyond(rule, away_mm):
        yield pin_finding(rule, pin, passed[0], rule.text, measured=away_mm, limit=passed[1])


@pin_kind("pin-to-know")
def pin_to_know(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """What holds for every pin of some bones, in some region and from some sides."""
    if pin.bone not in rule.bones or not _on_sides(rule, pin):
        return
    share = bone_share(scene.limb, pin.bone, pin.level_mm)
    if rule.region is not None and not rule.region.holds(share):
        return
    exposed = pin.open_approach and "open" in rule.texts
    severity = rule.severities.get("open", rule.severity) if exposed else rule.severity
    yield pin_finding(rule, pin, severity, rule.texts["open"] if exposed else rule.text)


def _on_sides(rule: Rule, pin: Pin) -> bool:
    through = pin.kind == "through"
    bearings = (pin.bearing_deg, pin.bearing_deg + 180) if through else (pin.bearing_deg,)
    return not rule.sectors or any(s.holds(b % 360) for s in rule.sectors for b in bearings)


@pin_kind("pin-overrun")
def pin_overrun(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """How far a half-pin's tip passes the far surface of its bone."""
    path = pin_path(scene.limb, pin)
    if pin.bone not in rule.bones or pin.kind == "through" or not path.hits_bone:
        return
    past_mm = path.far_mm - path.tip_end_mm
    if not math.isclose(past_mm, 0.0, abs_tol=1e-9) and (passed := beyond(rule, past_mm)):
        yield pin_finding(rule, pin, passed[0], rule.text, measured=past_mm, limit=passed[1])
