"""Rule kinds about one pin in its bone: hole, cortices, crest, fracture, side of entry, heel."""

import math
from collections.abc import Iterator

import numpy as np

from fixplan.case.records import Pin
from fixplan.checks.finding import Finding
from fixplan.checks.register import pin_kind
from fixplan.checks.rules import Rule
from fixplan.checks.scene import Scene, bone_share
from fixplan.checks.texts import (
    beyond,
    diameter_words,
    listed,
    number,
    pin_finding,
)
from fixplan.frame.defaults import (
    custom_of,
    default_diameter,
    diameter_list,
    diameters_of,
    holds,
)
from fixplan.frame.stock import SAME_MM
from fixplan.geometry.measures import hole_ratio, pin_to_fracture_mm
from fixplan.geometry.paths import PinPath, pin_path
from fixplan.limb.words import range_words, side_words

PERCENT = 100.0


def _title(scene: Scene, pin: Pin) -> str:
    """The pin's bone as it is called in a sentence."""
    return scene.limb.bones[pin.bone].title


@pin_kind("pin-misses-bone")
def pin_misses_bone(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin whose axis does not meet its bone, or whose tip ends before it."""
    path = pin_path(scene.limb, pin)
    if not path.hits_bone:
        yield pin_finding(rule, pin, rule.severity, rule.text, bone=_title(scene, pin))
    elif not path.reaches_bone:
        yield pin_finding(
            rule,
            pin,
            rule.severity,
            rule.texts["short"],
            bone=_title(scene, pin),
            short=number(path.tip_end_mm - path.near_mm),
            tip=number(pin.tip_mm),
        )


@pin_kind("pin-to-fracture")
def pin_to_fracture(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """The gap along the bone from a pin to the edge of each fracture of that bone.

    The rule's numbers are the limits (mm) of segments whose bones are too small for the usual one.
    """
    path = pin_path(scene.limb, pin)
    for fracture in scene.fractures:
        if fracture.bone != pin.bone:
            continue
        gap_mm = pin_to_fracture_mm(path, fracture)
        least_mm = rule.numbers.get(path.segment)
        if (passed := beyond(rule, gap_mm)) and (least_mm is None or gap_mm < least_mm):
            severity, limit = passed[0], least_mm or passed[1]
            text = rule.texts["inside"] if gap_mm < 0 else rule.text
            found = pin_finding(
                rule,
                pin,
                severity,
                text,
                other=fracture.id,
                measured=gap_mm,
                limit=limit,
                inside=number(-gap_mm),
                bone=_title(scene, pin),
            )
            yield found


@pin_kind("pin-hole-ratio")
def pin_hole_ratio(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """The hole against the bone's width across the pin; nothing where the section is a guess.

    In a growing bone the upper of the limits alone counts: a quarter to a third is usual (PD-23).
    """
    if not pin_path(scene.limb, pin).known:
        return
    ratio = hole_ratio(scene.limb, pin)
    if ratio is None:
        return
    passed = beyond(rule, ratio * PERCENT)
    if passed and not (scene.open_growth_plates and passed[0] == "caution"):
        yield pin_finding(
            rule,
            pin,
            passed[0],
            rule.text,
            measured=ratio * PERCENT,
            limit=passed[1],
            evidence=rule.cites.get(passed[0], ()),
            diameter=diameter_words(pin.diameter_mm),
            width=number(pin.diameter_mm / ratio, 1),
            bone=_title(scene, pin),
            choice=_choice_words(rule, scene, pin, pin.diameter_mm / ratio),
        )


def _choice_words(rule: Rule, scene: Scene, pin: Pin, width_mm: float) -> str:
    """What the list of diameters has for the place: whether this is its choice, what is thinner."""
    known = diameters_of(pin.bone)
    listed_mm = known.listed_mm(pin.kind) if known else ()
    if not listed_mm:
        return ""
    place = scene.limb, pin.bone, pin.level_mm, pin.bearing_deg, pin.kind
    chosen_mm, most = default_diameter(*place), number(diameter_list().ratio_percent)
    if pin.diameter_mm > chosen_mm + SAME_MM:
        return rule.texts["thick"].format(most=most, diameter=diameter_words(chosen_mm))
    thinner = max((one for one in listed_mm if one < pin.diameter_mm - SAME_MM), default=None)
    takes = rule.texts["none"]
    if thinner is not None:
        takes = rule.texts["takes"].format(
            diameter=diameter_words(thinner), share=number(PERCENT * thinner / width_mm)
        )
    share = PERCENT * pin.diameter_mm / width_mm
    is_chosen = pin.diameter_mm > chosen_mm - SAME_MM and share <= diameter_list().ratio_percent
    return rule.texts["default" if is_chosen else "thinner"].format(most=most, thinner=takes)


def hole_detail(scene: Scene, pin: Pin, rule: Rule) -> str:
    """The detail for a hole that is still under its limits but already costs strength, else "".

    Of a plate it says that the share is not assessed.
    """
    if scene.limb.bones[pin.bone].is_plate:
        return rule.texts["plate"].format(bone=_title(scene, pin))
    path = pin_path(scene.limb, pin)
    ratio = hole_ratio(scene.limb, pin) if path.known else None
    if ratio is None or beyond(rule, ratio * PERCENT) or ratio * PERCENT < rule.numbers["detail"]:
        return ""
    return rule.texts["detail"].format(measured=number(ratio * PERCENT))


@pin_kind("pin-thin-for-bone")
def pin_thin_for_bone(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin thinner than any listed for its bone (D16), where a listed one would not be too thick.

    Not in a growing bone, whose size says what is thick.
    """
    if scene.open_growth_plates or not pin_path(scene.limb, pin).known:
        return
    known = diameters_of(pin.bone)
    all_mm = known.listed_mm(pin.kind) if known else ()
    if known is None or not all_mm or pin.diameter_mm > min(all_mm) - SAME_MM:
        return
    least_mm = min(all_mm)
    if not _would_fit(scene, pin, least_mm, rule.numbers["widest"]):
        return
    yield pin_finding(
        rule,
        pin,
        rule.severity,
        rule.text,
        measured=pin.diameter_mm,
        limit=least_mm,
        evidence=(*known.evidence, *rule.evidence),
        bone=_title(scene, pin),
        diameter=diameter_words(pin.diameter_mm),
        listed=diameter_words(least_mm),
        share=number(PERCENT * (pin.diameter_mm / least_mm) ** 4),
    )


def _would_fit(scene: Scene, pin: Pin, least_mm: float, widest_percent: float) -> bool:
    """Whether a listed pin would not fill too much of the bone; of a plate no share is told."""
    if scene.limb.bones[pin.bone].is_plate:
        return True
    ratio = hole_ratio(scene.limb, pin)
    return ratio is not None and ratio * least_mm / pin.diameter_mm * PERCENT <= widest_percent


@pin_kind("pin-bicortical")
def pin_bicortical(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A half-pin that ends short of the far surface of its bone."""
    path = pin_path(scene.limb, pin)
    if pin.kind == "through" or pin.bone in rule.exempt or not path.known or path.is_bicortical:
        return
    short_mm = path.tip_end_mm - path.far_mm
    yield pin_finding(
        rule,
        pin,
        rule.severity,
        rule.text,
        measured=short_mm,
        limit=0.0,
        bone=_title(scene, pin),
    )


@pin_kind("pin-in-one-cortex")
def pin_in_one_cortex(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin that runs mostly inside one cortex, because it lies off-centre."""
    path = pin_path(scene.limb, pin)
    fraction = path.one_cortex_fraction
    if fraction is None or pin.bone in rule.exempt or not path.known:
        return
    if passed := beyond(rule, fraction * PERCENT):
        yield pin_finding(
            rule,
            pin,
            passed[0],
            rule.text,
            measured=fraction * PERCENT,
            limit=passed[1],
            bone=_title(scene, pin),
        )


@pin_kind("pin-on-crest")
def pin_on_crest(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """Entry near the bone's foremost edge, in the part of the bone that has one."""
    path = pin_path(scene.limb, pin)
    if pin.bone != rule.target or not path.known or not _in_region(rule, scene, pin):
        return
    section = scene.limb.section(pin.bone, pin.level_mm)
    if section is None:
        return
    crest = section.outline[int(np.argmax(section.outline[:, 1]))]
    entry = path.near_point_mm
    away_mm = math.hypot(entry[0] - crest[0], entry[1] - crest[1])
    if passed := beyond(rule, away_mm):
        yield pin_finding(rule, pin, passed[0], rule.text, measured=away_mm, limit=passed[1])


def _in_region(rule: Rule, scene: Scene, pin: Pin) -> bool:
    share = bone_share(scene.limb, pin.bone, pin.level_mm)
    return rule.region is None or rule.region.holds(share)


@pin_kind("pin-from-unusual-side")
def pin_from_unusual_side(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin that comes in from a side that is not customary for its bone at that level."""
    custom = custom_of(scene.limb, pin.bone, pin.level_mm)
    bearing_deg = pin.bearing_deg % 360
    if custom is None or any(holds(one, bearing_deg) for one in custom.sides):
        return
    words = scene.limb.segments[scene.limb.bones[pin.bone].segment].sides
    yield pin_finding(
        rule,
        pin,
        rule.severity,
        rule.text,
        evidence=custom.evidence,
        bone=_title(scene, pin),
        side=side_words(bearing_deg, words),
        sector=listed([range_words(low, high, words) for _, low, high in custom.sides], "or"),
        why=custom.why,
    )


@pin_kind("pin-in-heel")
def pin_in_heel(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """How far forward from the heel a calcaneal pin enters, towards two landmarks of the foot."""
    if pin.bone != rule.target:
        return
    path = pin_path(scene.limb, pin)
    heel = _in_foot(scene, "heel_point", path)
    for landmark, limit in rule.numbers.items():
        share = _share_of_way(path, heel, _in_foot(scene, landmark, path))
        if share * PERCENT > limit:
            yield pin_finding(
                rule,
                pin,
                rule.severity,
                rule.text,
                measured=share * PERCENT,
                limit=limit,
                landmark=scene.limb.landmark(landmark).name,
            )
            return


def _in_foot(scene: Scene, landmark: str, path: PinPath) -> tuple[float, float]:
    """A landmark in the side view of the pin's own segment (y, level)."""
    place = scene.limb.landmark(landmark)
    point = np.array([[place.x_mm, place.y_mm, place.level_mm]])
    posed = scene.pose.to_limb(place.segment, point)
    own = scene.pose.from_limb(path.segment, posed)[0]
    return float(own[1]), float(own[2])


def _share_of_way(path: PinPath, heel: tuple[float, float], landmark: tuple[float, float]) -> float:
    """How far along the way from the heel to a landmark the pin enters, seen from the side."""
    way = landmark[0] - heel[0], landmark[1] - heel[1]
    entry = path.near_point_mm
    gone = float(entry[1]) - heel[0], float(entry[2]) - heel[1]
    return (gone[0] * way[0] + gone[1] * way[1]) / (way[0] ** 2 + way[1] ** 2)
