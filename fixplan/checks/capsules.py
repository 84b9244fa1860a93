"""The rule kind about joint capsules: how near a joint a pin goes into its bone or comes out."""

import math
from collections.abc import Iterator

import msgspec
import numpy as np
from numpy.typing import NDArray

from fixplan.case.records import Pin
from fixplan.case.scalars import Severity
from fixplan.checks.finding import SEVERITIES, Finding
from fixplan.checks.register import pin_kind
from fixplan.checks.rules import Rule, Sector
from fixplan.checks.scene import Scene
from fixplan.checks.texts import pin_finding
from fixplan.frame.patterns import kin_of
from fixplan.geometry.paths import PinPath, pin_path
from fixplan.limb.anatomy import Limb

Point = NDArray[np.float64]

SETTLED_MM = 0.005
"""A distance this little under a limit is taken as the limit."""


class Near(msgspec.Struct, frozen=True):
    """One place where a pin meets the bone's surface too near a joint; distances in mm."""

    severity: Severity
    sector: Sector
    measured_mm: float
    limit_mm: float

    @property
    def order(self) -> tuple[int, float]:
        """Sorts the worst first."""
        return SEVERITIES.index(self.severity), self.measured_mm - self.limit_mm


@pin_kind("pin-in-joint")
@pin_kind("pin-near-joint")
def pin_near_joint(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin at the surface of its bone against the sectors of a joint capsule (PP-23 to PP-29).

    Each place where the pin goes in or comes out is judged by the sector that it lies in; the
    worst counts. Distances run along the bone from the joint to the pin's surface.
    """
    if pin.bone != rule.target:
        return
    path = pin_path(scene.limb, pin)
    if not path.hits_bone:
        return
    found = [near for point in surface_points(path) for near in _near(rule, path, point)]
    if found:
        worst = min(found, key=lambda near: near.order)
        yield pin_finding(
            rule,
            pin,
            worst.severity,
            rule.text if worst.measured_mm < 0 else rule.texts.get(worst.severity, rule.text),
            measured=worst.measured_mm,
            limit=worst.limit_mm,
            sector=worst.sector.name,
            capsule=f"{worst.sector.stop or 0.0:g}",
        )


@pin_kind("pin-in-end-joint")
def pin_in_end_joint(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin within the joint at an end of a short bone, told as a share of the bone's length.

    Measured from the bone's end to the pin's surface, mm; the nearer end counts.
    """
    if kin_of(pin.bone) not in rule.bones and pin.bone not in rule.bones:
        return
    path = pin_path(scene.limb, pin)
    if not path.hits_bone:
        return
    bone, edge_mm = scene.limb.bones[pin.bone], path.radius_mm / path.line.cos_tilt
    length_mm = bone.to_mm - bone.from_mm
    levels = [float(point[2]) for point in surface_points(path)]
    ends = {
        "proximal": min(levels) - bone.from_mm - edge_mm,
        "distal": bone.to_mm - max(levels) - edge_mm,
    }
    end = min(ends, key=lambda one: ends[one] - rule.numbers[one] * length_mm)
    limit_mm = rule.numbers[end] * length_mm
    if ends[end] < limit_mm - SETTLED_MM:
        yield pin_finding(
            rule,
            pin,
            rule.severity,
            rule.text,
            measured=ends[end],
            limit=limit_mm,
            end=end,
            bone=bone.title,
        )


def surface_points(path: PinPath) -> tuple[Point, ...]:
    """Where the pin goes into the bone and, if it gets so far, where it comes out.

    A tip that ends inside the bone meets no capsule.
    """
    if path.tip_end_mm > path.far_mm:
        return (path.near_point_mm,)
    return path.near_point_mm, path.far_point_mm


def _near(rule: Rule, path: PinPath, point: Point) -> Iterator[Near]:
    measured_mm = _from_joint_mm(rule, path, point)
    bearing_deg = _bearing_deg(path, point)
    for sector in rule.sectors:
        if sector.holds(bearing_deg):
            passed = _passed(sector, path, point, measured_mm)
            if passed:
                yield Near(passed[0], sector, measured_mm, passed[1])


def away_mm(rule: Rule, limb: Limb, level_mm: float) -> float:
    """How far a level lies from a rule's joint, on the side that is clear of it."""
    line_mm = float(limb.landmark(rule.landmark).level_mm)
    return level_mm - line_mm if rule.clear == "distal" else line_mm - level_mm


def _from_joint_mm(rule: Rule, path: PinPath, point: Point) -> float:
    return away_mm(rule, path.limb, float(point[2])) - path.radius_mm / path.line.cos_tilt


def _bearing_deg(path: PinPath, point: Point) -> float:
    section = path.limb.section(path.pin.bone, float(point[2]))
    target = path.aim_mm[:2] if section is None else section.target
    return math.degrees(math.atan2(point[1] - target[1], point[0] - target[0]))


def _passed(
    sector: Sector, path: PinPath, point: Point, measured_mm: float
) -> tuple[Severity, float] | None:
    within_stop = sector.stop is not None and measured_mm < sector.stop - SETTLED_MM
    if sector.stop is not None and within_stop and _in_front(sector, path, point):
        return "stop", sector.stop
    if sector.caution is not None and measured_mm < sector.caution - SETTLED_MM:
        return "caution", sector.caution
    return None


def _in_front(sector: Sector, path: PinPath, point: Point) -> bool:
    """Whether a point lies in front of where the capsule turns back, if the sector says where."""
    section = path.limb.section(path.pin.bone, float(point[2]))
    if sector.front_share is None or section is None:
        return True
    low, high = float(section.outline[:, 1].min()), float(section.outline[:, 1].max())
    return (high - float(point[1])) / (high - low) < sector.front_share
