"""Rule kinds about damaged tissue: the zone of injury and marks on the skin."""

from collections.abc import Iterator

from fixplan.case.records import Case, Pin
from fixplan.checks.finding import Finding
from fixplan.checks.register import case_kind, pin_kind
from fixplan.checks.rules import Rule
from fixplan.checks.scene import Scene, scene_of
from fixplan.checks.texts import beyond, finding, note_words, pin_finding
from fixplan.checks.together import Together
from fixplan.checks.zones import Zone, is_from_above, levels_of, meet, pin_levels
from fixplan.geometry.axis_gap import Axis
from fixplan.geometry.outlines import (
    RegionGap,
    axis_region_gap,
    disagreement_mm,
    injury_table,
)
from fixplan.geometry.paths import PinPath, pin_path
from fixplan.geometry.skin_marks import skin_hit


@pin_kind("pin-in-injury")
def pin_in_injury(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin in a zone of injury or within its margin, in 3-D from the pin's surface (D6)."""
    path = pin_path(scene.limb, pin)
    for zone, gap in gaps_to_zones(scene, path):
        yield from _zone_findings(rule, pin, zone, gap)


def gaps_to_zones(scene: Scene, path: PinPath) -> Iterator[tuple[Zone, RegionGap]]:
    """The gap from a pin to each zone of injury whose margin it could be in."""
    for segment, zones in scene.zones.items():
        if segment == path.segment:
            yield from gaps_in_own_segment(scene, path.pin)
        else:
            yield from _gaps_in_other_segment(scene, path, segment, zones)


@Together
def gaps_in_own_segment(
    scene: Scene, pins: tuple[Pin, ...]
) -> Iterator[tuple[tuple[Zone, RegionGap], ...]]:
    """As `gaps_to_zones`, in the pins' own segments alone."""
    paths = [pin_path(scene.limb, pin) for pin in pins]
    near = {path: _zones_near(scene, path) for path in paths}
    gaps: dict[tuple[PinPath, Zone], RegionGap] = {}
    for segment, zones in scene.zones.items():
        asked = tuple(path for path in paths if path.segment == segment and near[path])
        met = [zone for zone in zones if any(zone in near[path] for path in asked)]
        regions = tuple((zone.injury.front, zone.injury.side) for zone in met)
        for path, row in zip(asked, injury_table(asked, regions), strict=True):
            gaps |= {(path, zone): gap for zone, gap in zip(met, row, strict=True)}
    yield from (tuple((zone, gaps[path, zone]) for zone in near[path]) for path in paths)


def _zones_near(scene: Scene, path: PinPath) -> list[Zone]:
    """The zones of its segment that share a level with a pin."""
    zones = scene.zones.get(path.segment, ())
    levels = pin_levels(path) if zones else (0.0, 0.0)
    return [zone for zone in zones if meet(levels, zone.levels_mm)]


def _gaps_in_other_segment(
    scene: Scene, path: PinPath, segment: str, zones: tuple[Zone, ...]
) -> Iterator[tuple[Zone, RegionGap]]:
    """As `gaps_to_zones`, with the pin seen from the segment that the zones are drawn in."""
    start, end = scene.seen_from(segment, path)
    above = is_from_above(scene.limb, segment)
    ends = sorted((float(start[2]), float(end[2])))
    levels = ends[0] - path.radius_mm, ends[1] + path.radius_mm
    for zone in zones:
        if path.segment not in zone.reaches:
            continue
        if meet(levels, zone.levels_mm):
            drawn = zone.injury.front, zone.injury.side
            axis = Axis(start, end)
            yield zone, axis_region_gap(axis, path.radius_mm, *drawn, from_above=above)


def _zone_findings(rule: Rule, pin: Pin, zone: Zone, gap: RegionGap) -> Iterator[Finding]:
    injury = zone.injury
    if gap.gap_mm == 0:
        severity, text = rule.severities[injury.grade], rule.texts[injury.grade]
        if gap.inside_mm == 0:
            text = rule.texts["touches"]
        measured, limit = gap.inside_mm, 0.0
    elif gap.gap_mm < zone.margin_mm:
        severity, text = rule.severities["margin"], rule.texts["margin"]
        measured, limit = gap.gap_mm, zone.margin_mm
    else:
        return
    yield pin_finding(
        rule,
        pin,
        severity,
        text,
        other=injury.id,
        measured=measured,
        limit=limit,
        note=note_words(injury.note),
        grade=injury.grade,
    )


@case_kind("injury-views-disagree")
def injury_views_disagree(rule: Rule, case: Case) -> Iterator[Finding]:
    """Front and side outline of one injury that do not cover the same levels."""
    scene = scene_of(case)
    for injury in case.injuries:
        from_above = is_from_above(scene.limb, injury.segment)
        apart_mm = disagreement_mm(injury.front, injury.side, from_above=from_above)
        if passed := beyond(rule, apart_mm):
            yield finding(
                rule,
                passed[0],
                (injury.id,),
                "Injury",
                rule.text,
                measured=apart_mm,
                limit=passed[1],
                grade=injury.grade,
                note=note_words(injury.note),
            )


@pin_kind("pin-through-skin-mark")
def pin_through_skin_mark(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin whose puncture lies in a mark of the rule's kind on that face of the skin (D7)."""
    path = pin_path(scene.limb, pin)
    for wound in scene.wounds:
        if wound.kind != rule.target or wound.segment != path.segment:
            continue
        if not meet(pin_levels(path), levels_of(scene.limb, wound)):
            continue
        if skin_hit(path, wound).is_hit:
            note = note_words(wound.note)
            yield pin_finding(rule, pin, rule.severity, rule.text, other=wound.id, note=note)
