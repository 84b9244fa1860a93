"""Rule kinds of frames across elbow and wrist and across the front of the pelvis."""

from collections.abc import Iterator

import numpy as np

from fixplan.case.limbs import bar_systems, bend_deg, limb_of_case, pose_of_case, spanned_by, spans
from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.checks.frames import bar_finding
from fixplan.checks.register import case_kind
from fixplan.checks.rules import Rule
from fixplan.checks.texts import beyond, finding, number, pins_words
from fixplan.frame.joining import BarPath, laid_bars
from fixplan.frame.skin_gap import midline_gap_mm
from fixplan.limb.anatomy import Landmark
from fixplan.limb.pose import Pose

Flat = tuple[float, float]
SIDES = ("right", "left")


@case_kind("spanning-pin-in")
def spanning_pin_in(rule: Rule, case: Case) -> Iterator[Finding]:
    """Pins in one of the rule's bones, held by a frame that spans the rule's joint."""
    for system in bar_systems(case):
        if not spanned_by(case, rule.target, system):
            continue
        meant = tuple(pin for pin in case.pins if pin.id in system and pin.bone in rule.bones)
        if meant:
            subjects, words = tuple(pin.id for pin in meant), pins_words(meant)
            yield finding(rule, rule.severity, subjects, words, rule.text, pins=words)


@case_kind("spanned-angle")
def spanned_angle(rule: Rule, case: Case) -> Iterator[Finding]:
    """The angle at which a frame holds the joint that it spans."""
    if not spans(case, rule.target):
        return
    angle_deg = bend_deg(case, rule.target)
    if passed := beyond(rule, angle_deg):
        subjects = tuple(bar.id for bar in case.bars)
        words = f"{rule.target.capitalize()} frame"
        bent = angle_deg < passed[1] <= 0
        yield finding(
            rule,
            passed[0],
            subjects,
            words,
            rule.texts.get("below", rule.text) if bent else rule.text,
            measured=angle_deg,
            limit=passed[1],
            bent=number(-angle_deg),
        )


@case_kind("bar-over-belly")
def bar_over_belly(rule: Rule, case: Case) -> Iterator[Finding]:
    """A bar that crosses the midline proximal of the line between both landmarks of the rule."""
    if case.limb != rule.target:
        return
    line = [_in_front(case, f"{rule.landmark}_{side}") for side in SIDES]
    for path in laid_bars(case).paths.values():
        level = _level_at_midline(path)
        if level is None:
            continue
        above_mm = float(np.mean([mark[1] for mark in line])) - level + _radius_mm(path)
        if passed := beyond(rule, above_mm):
            yield bar_finding(
                rule, path.bar, passed[0], rule.text, measured=above_mm, limit=passed[1]
            )


@case_kind("bar-near-belly")
def bar_near_belly(rule: Rule, case: Case) -> Iterator[Finding]:
    """The room that a bar across the front leaves over the belly (number `half`: how wide, mm)."""
    if case.limb != rule.target:
        return
    pose = pose_of_case(case)
    for path in laid_bars(case).paths.values():
        if _level_at_midline(path) is None:
            continue
        room_mm = midline_gap_mm(pose, path, rule.numbers["half"])
        if room_mm is not None and (passed := beyond(rule, room_mm)):
            yield bar_finding(
                rule, path.bar, passed[0], rule.text, measured=room_mm, limit=passed[1]
            )


@case_kind("bar-over-groin")
def bar_over_groin(rule: Rule, case: Case) -> Iterator[Finding]:
    """A bar that passes, seen from the front, near the place where the femoral vessels are reached.

    That is so far below the middle between the spine and the pubic tubercle (number `below-groin`).
    """
    if case.limb != rule.target:
        return
    groins = {side: _groin(case, side, rule.numbers["below-groin"]) for side in SIDES}
    for path in laid_bars(case).paths.values():
        off_mm = {side: _off_mm(path, at) - _radius_mm(path) for side, at in groins.items()}
        near = [side for side, off in off_mm.items() if beyond(rule, off)]
        passed = beyond(rule, min(off_mm.values()))
        if passed is not None:
            yield bar_finding(
                rule,
                path.bar,
                passed[0],
                rule.text,
                measured=max(min(off_mm.values()), 0.0),
                limit=passed[1],
                sides=" and ".join(near),
            )


def _groin(case: Case, side: str, below_mm: float) -> Flat:
    spine, tubercle = (_in_front(case, f"{name}_{side}") for name in ("asis", "pubic_tubercle"))
    return (spine[0] + tubercle[0]) / 2, (spine[1] + tubercle[1]) / 2 + below_mm


def _in_front(case: Case, landmark: str) -> Flat:
    """A landmark seen from the front in the posed limb: across and level, mm."""
    mark: Landmark = limb_of_case(case).landmark(landmark)
    pose: Pose = pose_of_case(case)
    at = pose.to_limb(mark.segment, np.array([[mark.x_mm, mark.y_mm, mark.level_mm]]))[0]
    return float(at[0]), float(at[2])


def _level_at_midline(path: BarPath) -> float | None:
    """The level at which a bar crosses the midline; None where it does not."""
    start, end = path.start_mm, path.end_mm
    if start[0] * end[0] > 0 or start[0] == end[0]:
        return None
    share = start[0] / (start[0] - end[0])
    return start[2] + share * (end[2] - start[2])


def _off_mm(path: BarPath, place: Flat) -> float:
    """Distance of a bar's axis from a place, seen from the front, mm."""
    start, end = (np.array([one[0], one[2]]) for one in (path.start_mm, path.end_mm))
    along = end - start
    reach = float(along @ along)
    share = 0.0 if reach == 0 else min(1.0, max(0.0, float((place - start) @ along) / reach))
    return float(np.hypot(*(place - start - share * along)))


def _radius_mm(path: BarPath) -> float:
    return path.bar.diameter_mm / 2
