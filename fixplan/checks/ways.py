"""Rule kinds about a pin's way as a whole: other bones, bands of levels, landmarks, bare notes."""

import math
from collections.abc import Iterator
from functools import lru_cache

from fixplan.case.records import Case, Pin
from fixplan.case.scalars import Severity
from fixplan.checks.finding import Finding
from fixplan.checks.register import case_kind, pin_kind
from fixplan.checks.rules import LevelBand, Rule
from fixplan.checks.scene import Scene, bone_share
from fixplan.checks.texts import beyond, finding, listed, number, pin_finding, pins_words
from fixplan.frame.pin_words import along_edge_mm
from fixplan.geometry.obstacle_hits import other_bones_met
from fixplan.geometry.paths import PinPath, pin_path
from fixplan.limb.anatomy import Array, Landmark, Limb

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


@lru_cache(maxsize=512)
def widest_band(limb: Limb, segment: str, bands: tuple[LevelBand, ...]) -> Levels:
    """From the least to the greatest level (or y, if they tell that) of several bands, mm."""
    ends = [level for band in bands for level in band_levels(limb, segment, band)]
    return min(ends), max(ends)


def band_levels(limb: Limb, segment: str, band: LevelBand) -> Levels:
    """Levels (or y) of a band told from a landmark, mm, low first."""
    mark = limb.landmark(on_side_of(limb, segment, band.landmark))
    start = float(mark.y_mm if band.is_across else mark.level_mm)
    unit = 1.0
    if band.unit == "share":
        main = limb.bones[limb.segments[segment].primary]
        unit = main.length_mm or limb.segments[segment].to_mm
    sign = 1.0 if band.towards in ("distal", "forward") else -1.0
    first, second = start + sign * unit * band.least, start + sign * unit * band.most
    return min(first, second), max(first, second)


def _ends(rule: Rule, path: PinPath) -> Iterator[tuple[Levels, float]]:
    """The pin's way in, its bearing, and with `target` both (or through) its way out."""
    yield pin_levels(path, path.near_mm, path.skin_mm), path.pin.bearing_deg
    if path.pin.kind == "through" or (rule.target == "both" and path.tip_end_mm <= path.far_mm):
        yield pin_levels(path, path.far_mm, path.tip_end_mm), path.pin.bearing_deg + 180


def pin_forward(path: PinPath, *ends_mm: float) -> Levels:
    """The range of y that a pin takes up, with its thickness, between places along it, mm."""
    forward = [float(path.point(one)[1]) for one in ends_mm]
    thick = path.radius_mm * math.sqrt(max(0.0, 1.0 - float(path.outward[1]) ** 2))
    return min(forward) - thick, max(forward) + thick


def pin_levels(path: PinPath, *ends_mm: float) -> Levels:
    """The levels that a pin takes up, with its thickness, between places along it, mm."""
    levels = [path.level_at(one) for one in ends_mm]
    thick = path.radius_mm * path.line.cos_tilt
    return min(levels) - thick, max(levels) + thick


@pin_kind("pin-from-landmark")
def pin_from_landmark(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """How far from a landmark a pin enters its bone, along the level or, `clear` back, backward.

    `clear`: the side of the landmark on which the distance grows. With `target` both its tip counts
    as well. A limit from below is to the pin's surface, one from above to its axis.
    """
    limb = scene.limb
    if own_name(limb, pin.bone) not in rule.bones or not _is_meant(rule, scene, pin):
        return
    path = pin_path(limb, pin)
    if not path.hits_bone:
        return
    mark = limb.landmark(own_landmark(limb, pin.bone, rule.landmark))
    points = [path.near_point_mm, *([path.tip_mm] if rule.target == "both" else [])]
    away_mm = min(_away_mm(rule.clear, mark, point) for point in points)
    if rule.below:
        away_mm -= path.radius_mm
    if passed := beyond(rule, away_mm):
        yield pin_finding(rule, pin, passed[0], rule.text, measured=away_mm, limit=passed[1])


def _away_mm(clear: str, mark: Landmark, point: Array) -> float:
    """How far a point lies from a landmark on the side that is clear of it, mm."""
    if clear == "back":
        return mark.y_mm - float(point[1])
    return (float(point[2]) - mark.level_mm) * (1.0 if clear == "distal" else -1.0)


@pin_kind("pin-along-edge")
def pin_along_edge(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """How far along its bone's edge a pin enters it; nothing for a pin that is not told so."""
    path = pin_path(scene.limb, pin)
    if own_name(scene.limb, pin.bone) not in rule.bones or not path.hits_bone:
        return
    along_mm = along_edge_mm(path)
    if along_mm is not None and (passed := beyond(rule, along_mm)):
        yield pin_finding(rule, pin, passed[0], rule.text, measured=along_mm, limit=passed[1])


def own_name(limb: Limb, bone: str) -> str:
    """A bone's name without the side that it bears where a limb has it on both."""
    return bone.removesuffix(_suffix(limb, bone))


def own_landmark(limb: Limb, bone: str, landmark: str) -> str:
    """The id of a landmark on the side that a bone lies on."""
    return on_side_of(limb, limb.bones[bone].segment, landmark)


def on_side_of(limb: Limb, segment: str, landmark: str) -> str:
    """The id of a landmark in a segment that a limb may have on both sides."""
    side = limb.references[segment].suffix.removeprefix("-")
    return f"{landmark}_{side}" if side else landmark


def _suffix(limb: Limb, bone: str) -> str:
    return limb.references[limb.bones[bone].segment].suffix


@pin_kind("pin-past-span")
def pin_past_span(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin further above a landmark than a share of that one's distance from another (`target`).

    Measured is where it enters the bone; only on the rule's sides and in its part of the bone. A
    pin above the landmark, but not so far, is told by the rule's text `within`, if it has one.
    """
    limb = scene.limb
    if pin.bone not in rule.bones or not _is_meant(rule, scene, pin):
        return
    path = pin_path(limb, pin)
    if not path.hits_bone:
        return
    mark, other = limb.landmark(rule.landmark), limb.landmark(rule.target)
    ends = ((one.x_mm, one.y_mm, one.level_mm) for one in (mark, other))
    span_mm = math.dist(*ends)
    above_mm = mark.level_mm - float(path.near_point_mm[2])
    limit_mm = rule.numbers["share"] * span_mm
    text = rule.text if above_mm > limit_mm else rule.texts.get("within", "")
    if text and above_mm > 0:
        yield pin_finding(rule, pin, rule.severity, text, measured=above_mm, limit=limit_mm)


@pin_kind("pin-to-know")
def pin_to_know(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """What holds for every pin of some bones, in some region and from some sides."""
    if own_name(scene.limb, pin.bone) not in rule.bones or not _is_meant(rule, scene, pin):
        return
    exposed = pin.open_approach and "open" in rule.texts
    severity = rule.severities.get("open", rule.severity) if exposed else rule.severity
    yield pin_finding(rule, pin, severity, rule.texts["open"] if exposed else rule.text)


def _is_meant(rule: Rule, scene: Scene, pin: Pin) -> bool:
    """Whether a pin stands in the region and comes from a side that the rule speaks of."""
    share = bone_share(scene.limb, pin.bone, pin.level_mm)
    if rule.region is not None and not rule.region.holds(share):
        return False
    through = pin.kind == "through"
    bearings = (pin.bearing_deg, pin.bearing_deg + 180) if through else (pin.bearing_deg,)
    return not rule.sectors or any(s.holds(b % 360) for s in rule.sectors for b in bearings)


@pin_kind("pin-thick-for-plate")
def pin_thick_for_plate(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin thicker than suits that part of a bone that is a plate or a column, as published."""
    if own_name(scene.limb, pin.bone) not in rule.bones or not _is_meant(rule, scene, pin):
        return
    thick_mm = pin.diameter_mm
    if passed := beyond(rule, thick_mm):
        yield pin_finding(rule, pin, passed[0], rule.text, measured=thick_mm, limit=passed[1])


@pin_kind("pin-off-square")
def pin_off_square(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """How far a pin is tilted out of square to the axis of its segment, degrees."""
    if own_name(scene.limb, pin.bone) not in rule.bones:
        return
    tilt_deg = abs(pin.tilt_deg)
    if passed := beyond(rule, tilt_deg):
        yield pin_finding(rule, pin, passed[0], rule.text, measured=tilt_deg, limit=passed[1])


@pin_kind("pin-below-middle")
def pin_below_middle(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """How far above (in y) the middle of its bone a pin enters; below 0 in the lower half."""
    path = pin_path(scene.limb, pin)
    section = scene.limb.section(pin.bone, pin.level_mm) if pin.bone in rule.bones else None
    if section is None or not path.hits_bone:
        return
    middle = (float(section.outline[:, 1].min()) + float(section.outline[:, 1].max())) / 2
    above_mm = float(path.near_point_mm[1]) - middle
    if passed := beyond(rule, above_mm):
        yield pin_finding(
            rule,
            pin,
            passed[0],
            rule.text,
            measured=above_mm,
            limit=passed[1],
            below=number(-above_mm),
        )


@pin_kind("pin-overrun")
def pin_overrun(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """How far a half-pin's tip passes the far surface of its bone."""
    path = pin_path(scene.limb, pin)
    if pin.bone not in rule.bones or pin.kind == "through" or not path.hits_bone:
        return
    past_mm = path.far_mm - path.tip_end_mm
    if not math.isclose(past_mm, 0.0, abs_tol=1e-9) and (passed := beyond(rule, past_mm)):
        yield pin_finding(rule, pin, passed[0], rule.text, measured=past_mm, limit=passed[1])


@case_kind("pins-to-know")
def pins_to_know(rule: Rule, case: Case) -> Iterator[Finding]:
    """What holds for all pins of some bones together, said once."""
    pins = tuple(pin for pin in case.pins if pin.bone in rule.bones)
    if pins:
        words = pins_words(pins)
        subjects = tuple(pin.id for pin in pins)
        yield finding(rule, rule.severity, subjects, words, rule.text, pins=words)
