"""Rule kinds of the plastic surgeon: bars over flap and vessels, film, perforators, bridges."""

from collections.abc import Iterator
from itertools import combinations
from typing import NamedTuple

import numpy as np

from fixplan.case.records import Case, Incision, Pin, Wound
from fixplan.checks.finding import Finding
from fixplan.checks.register import case_kind, pin_kind
from fixplan.checks.rules import Rule
from fixplan.checks.scene import Scene, scene_of
from fixplan.checks.texts import beyond, candidate_words, finding, note_words, pin_finding
from fixplan.frame.joining import BarPath, laid_bars
from fixplan.geometry.over_skin import gap_over_mark_mm, skin_bridge
from fixplan.geometry.paths import pin_path
from fixplan.geometry.skin_marks import skin_hit

SEALED = ("vacuum", "bead pouch")
"""Covers with a film that has to hold on whole skin."""

WOUNDS = ("opening", "skin loss")
LINES = ("planned extension", "fasciotomy line")


class Line(NamedTuple):
    """A line on the skin, what it is called, and the id that findings name."""

    mark: Wound | Incision
    words: str
    id: str
    candidate: str = ""


@case_kind("bar-over-mark")
def bar_over_mark(rule: Rule, case: Case) -> Iterator[Finding]:
    """A bar that runs over a mark of the rule's kind, with its gap to the skin there.

    With `clear` in its numbers the gap is judged: so much and the flap's bulk.
    """
    scene = scene_of(case)
    marks = [one for one in scene.wounds if one.kind == rule.target]
    if not marks:
        return
    limit = _flap_limit(rule, case)
    for path in laid_bars(case).paths.values():
        for mark in marks:
            gap_mm = _gap_mm(scene, path, mark)
            if gap_mm is not None:
                yield _over(rule, path, mark, gap_mm, limit)


def _flap_limit(rule: Rule, case: Case) -> float | None:
    """The gap that a bar needs over a planned flap; None where the rule asks for none."""
    if "clear" not in rule.numbers:
        return None
    flaps = [one.bulk_mm for one in case.cover if one.kind == "flap"]
    usual = rule.numbers["bulk"]
    bulks = [usual if bulk is None else bulk for bulk in flaps] or [usual]
    return rule.numbers["clear"] + max(bulks)


def _gap_mm(scene: Scene, path: BarPath, mark: Wound) -> float | None:
    if mark.segment not in scene.limb.segments:
        return None
    ends = np.array([path.start_mm, path.end_mm])
    start, end = scene.pose.from_limb(mark.segment, ends)
    return gap_over_mark_mm(scene.limb, start, end, path.bar.diameter_mm / 2, mark)


def _over(rule: Rule, path: BarPath, mark: Wound, gap_mm: float, limit: float | None) -> Finding:
    bar = path.bar
    severity, text = rule.severity, rule.text
    if limit is not None and gap_mm >= limit:
        severity, text = rule.severities["clear"], rule.texts["clear"]
    return finding(
        rule,
        severity,
        (bar.id, mark.id),
        f"Bar {bar.number}",
        text,
        measured=gap_mm,
        limit=limit,
        bar=f"Bar {bar.number}",
        note=note_words(mark.note),
    )


@case_kind("pin-in-film-border")
def pin_in_film_border(rule: Rule, case: Case) -> Iterator[Finding]:
    """Pins in the whole skin that the film of a planned dressing needs round a wound."""
    usual = rule.numbers["border"]
    borders = [
        usual if one.border_mm is None else one.border_mm
        for one in case.cover
        if one.kind in SEALED
    ]
    if not borders:
        return
    scene, border_mm = scene_of(case), max(borders)
    for pin in case.pins:
        near = _nearest(scene, pin)
        if near is not None and 0 < near[0] < border_mm:
            yield pin_finding(
                rule,
                pin,
                rule.severity,
                rule.text,
                other=near[1].id,
                measured=near[0],
                limit=border_mm,
                note=note_words(near[1].note),
            )


def _nearest(scene: Scene, pin: Pin) -> tuple[float, Wound] | None:
    """The open wound nearest to a pin's punctures, and how far its edge is."""
    if pin.bone not in scene.limb.bones:
        return None
    path = pin_path(scene.limb, pin)
    own = [one for one in scene.wounds if one.kind in WOUNDS and one.segment == path.segment]
    gaps = [(skin_hit(path, one).gap_mm, one) for one in own]
    return min(gaps, key=lambda one: one[0], default=None)


@pin_kind("pin-near-skin-mark")
def pin_near_skin_mark(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin whose puncture comes nearer to a mark of the rule's kind than its limit."""
    path = pin_path(scene.limb, pin)
    for wound in scene.wounds:
        if wound.kind != rule.target or wound.segment != path.segment:
            continue
        gap_mm = skin_hit(path, wound).gap_mm
        if passed := beyond(rule, gap_mm):
            yield pin_finding(
                rule,
                pin,
                passed[0],
                rule.text,
                other=wound.id,
                measured=gap_mm,
                limit=passed[1],
                note=note_words(wound.note),
            )


@case_kind("skin-bridge")
def bridges(rule: Rule, case: Case) -> Iterator[Finding]:
    """The skin between each two lines that run side by side; candidates are alternatives."""
    scene = scene_of(case)
    for first, second in combinations(_lines(scene), 2):
        if first.candidate and second.candidate and first.candidate != second.candidate:
            continue
        numbers = rule.numbers
        bridge = skin_bridge(
            scene.limb, first.mark, second.mark, numbers["overlap"], numbers["angle"]
        )
        if bridge is None or not (passed := beyond(rule, bridge.width_mm)):
            continue
        yield finding(
            rule,
            passed[0],
            tuple(dict.fromkeys((first.id, second.id))),
            "Skin",
            rule.text,
            measured=bridge.width_mm,
            limit=passed[1],
            first=first.words,
            second=second.words,
        )


def _lines(scene: Scene) -> tuple[Line, ...]:
    wounds = tuple(
        Line(one, f"{one.kind}{note_words(one.note)}", one.id)
        for one in scene.wounds
        if one.kind in LINES and one.line and one.segment in scene.limb.segments
    )
    incisions = tuple(
        Line(
            part, f"incision for the later {candidate_words(candidate)}", candidate.id, candidate.id
        )
        for candidate, part in scene.parts
        if isinstance(part, Incision) and part.segment in scene.limb.segments
    )
    return wounds + incisions
