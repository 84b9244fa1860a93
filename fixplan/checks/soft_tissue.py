"""Rule kinds about damaged tissue: the zone of injury and marks on the skin."""

from collections.abc import Iterator

from fixplan.case.records import Case, Injury, Pin
from fixplan.checks.finding import Finding
from fixplan.checks.register import case_kind, pin_kind
from fixplan.checks.rules import Rule
from fixplan.checks.scene import Scene, scene_of
from fixplan.checks.texts import beyond, finding, note_words, pin_finding
from fixplan.geometry.axis_gap import Axis
from fixplan.geometry.outlines import (
    RegionGap,
    axis_region_gap,
    disagreement_mm,
    injury_table,
    skin_hit,
)
from fixplan.geometry.paths import PinPath, pin_path

FAR_LEVELS_MM = 200.0
"""So far along the limb an injury of another segment is not measured: no margin is so wide."""


@pin_kind("pin-in-injury")
def pin_in_injury(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin in a zone of injury or within its margin, in 3-D from the pin's surface (D6)."""
    path = pin_path(scene.limb, pin)
    for injury, gap in gaps_to_injuries(scene, path):
        yield from _injury_findings(rule, scene, pin, injury, gap)


def gaps_to_injuries(scene: Scene, path: PinPath) -> Iterator[tuple[Injury, RegionGap]]:
    """The gap from a pin to each zone of injury that could be near it."""
    own = [injury for injury in scene.injuries if injury.segment == path.segment]
    regions = tuple((injury.front, injury.side) for injury in own)
    yield from zip(own, injury_table((path,), regions)[0], strict=True)
    for injury in scene.injuries:
        axis = None if injury.segment == path.segment else _axis_near(scene, path, injury)
        if axis is not None:
            yield (
                injury,
                axis_region_gap(
                    axis,
                    path.radius_mm,
                    injury.front,
                    injury.side,
                    from_above=scene.from_above(injury.segment),
                ),
            )


def _axis_near(scene: Scene, path: PinPath, injury: Injury) -> Axis | None:
    """The pin as seen from the injury's segment; None when it is far off along the limb."""
    start, end = scene.seen_from(injury.segment, path)
    levels = scene.levels_mm(injury.segment, injury.front, injury.side)
    if scene.from_above(injury.segment) or not levels:
        return Axis(start, end)
    nearest = min(abs(float(end[2]) - level) for level in (min(levels), max(levels)))
    within = min(levels) <= float(end[2]) <= max(levels)
    return Axis(start, end) if within or nearest < FAR_LEVELS_MM else None


def _injury_findings(
    rule: Rule, scene: Scene, pin: Pin, injury: Injury, gap: RegionGap
) -> Iterator[Finding]:
    margin_mm = scene.margin_mm(injury)
    note = note_words(injury.note)
    if gap.gap_mm == 0:
        severity, text = rule.severities[injury.grade], rule.texts[injury.grade]
        if gap.inside_mm == 0:
            text = rule.texts["touches"]
        measured, limit = gap.inside_mm, 0.0
    elif gap.gap_mm < margin_mm:
        severity, text = rule.severities["margin"], rule.texts["margin"]
        measured, limit = gap.gap_mm, margin_mm
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
        note=note,
        grade=injury.grade,
    )


@case_kind("injury-views-disagree")
def injury_views_disagree(rule: Rule, case: Case) -> Iterator[Finding]:
    """Front and side outline of one injury that do not cover the same levels."""
    scene = scene_of(case)
    for injury in case.injuries:
        from_above = scene.from_above(injury.segment)
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
        hit = skin_hit(path, wound)
        if hit.on_face and (hit.inside or hit.gap_mm == 0):
            note = note_words(wound.note)
            yield pin_finding(rule, pin, rule.severity, rule.text, other=wound.id, note=note)
