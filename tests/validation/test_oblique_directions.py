"""Clear directions past structures that run obliquely, against an independent sampling in space.

Each structure of an authored level is given an invented slope and looked up every 2 mm along the
limb, as the program does. The sampling knows no windows: the pin is a flat-ended cylinder, the
distance of a point to it is worked out on each bearing of 0.1 degrees, and each change is halved.
"""

import math

import numpy as np
import pytest

from fixplan.geometry.clear_directions import Disc, PinShape, clear_directions
from tests.validation.test_clear_directions import LEVELS, STEP_DEG, counted

OFF_LEVELS_MM = np.arange(-12.0, 12.1, 2.0)
MARGINS = ((5.0, 2.0, 5.0), (5.0, 2.0, 2.0))
"""Gap, overshoot and gap on the tip's side, mm."""


class InSpace:
    """Points of oblique structures round a pin through a bone's target."""

    def __init__(self, level, bone, margins):
        random = np.random.default_rng(len(level["discs"]) * 100 + len(level["id"]))
        self.gap, self.overshoot, self.far_gap = margins
        self.target, self.radius = np.array(bone["target"]), level["pin_mm"] / 2
        self.ring = np.array(bone["outline"]) - self.target
        self.through = level["through"]
        self.discs, points = [], []
        for disc in (one for one in level["discs"] if counted(one)):
            slope = random.uniform(-0.8, 0.8, size=2)
            for off in OFF_LEVELS_MM:
                x, y = np.array(disc["at"]) - self.target + slope * off
                points.append((x, y, off, disc["radius_mm"]))
                self.discs.append(
                    Disc(
                        disc["name"], math.hypot(x, y), math.degrees(math.atan2(y, x)),
                        disc["radius_mm"], self.gap, self.far_gap, float(off),
                    )
                )  # fmt: skip
        self.points = np.array(points).reshape(-1, 4)

    def far_surface(self, bearings_deg):
        """The farthest crossing of the outline on the opposite bearing, edge by edge."""
        turn = np.radians(np.asarray(bearings_deg) + 180.0)[:, None]
        a, b = self.ring, np.roll(self.ring, -1, axis=0)
        edge = b - a
        along = np.stack((np.cos(turn), np.sin(turn)))
        cross = along[0] * edge[:, 1] - along[1] * edge[:, 0]
        cross = np.where(np.abs(cross) < 1e-12, np.nan, cross)
        reach = (a[:, 0] * edge[:, 1] - a[:, 1] * edge[:, 0]) / cross
        share = (a[:, 0] * along[1] - a[:, 1] * along[0]) / cross
        hit = (share >= -1e-12) & (share <= 1 + 1e-12) & (reach > 0)
        return np.where(hit, reach, -np.inf).max(axis=1)

    def blocked(self, bearings_deg):
        turn = np.radians(np.asarray(bearings_deg))[:, None]
        x, y, off, radius = self.points.T
        along = x * np.cos(turn) + y * np.sin(turn)
        across = -x * np.sin(turn) + y * np.cos(turn)
        beside = np.maximum(np.hypot(across, off) - self.radius, 0.0)
        if self.through:
            return (beside - radius < self.gap).any(axis=1)
        tip = -(self.far_surface(bearings_deg) + self.overshoot)[:, None]
        away = np.hypot(np.maximum(tip - along, 0.0), beside) - radius
        return (away < np.where(along >= 0, self.gap, self.far_gap)).any(axis=1)

    def ends_deg(self):
        """Bearings sampled, which are blocked, and where that changes, halved to 1e-7 degrees."""
        bearings = np.arange(0, 360, STEP_DEG) + 0.0137
        bad = self.blocked(bearings)
        changes = bad != np.roll(bad, -1)
        low, was = bearings[changes], bad[changes]
        high = low + STEP_DEG
        for _ in range(20 if len(low) else 0):
            middle = (low + high) / 2
            same = self.blocked(middle) == was
            low, high = np.where(same, middle, low), np.where(same, high, middle)
        return bearings, bad, (low + high) / 2


@pytest.mark.parametrize("margins", MARGINS, ids=lambda m: "gap-{:g}-tip-{:g}-far-{:g}".format(*m))
@pytest.mark.parametrize("level", LEVELS, ids=lambda level: level["id"])
def test_arcs_past_oblique_structures_agree_with_sampling_in_space(level, margins):
    for bone in level["bones"]:
        sampled = InSpace(level, bone, margins)
        pin = PinShape(sampled.radius, sampled.overshoot, sampled.through)
        arcs = clear_directions(bone["outline"], bone["target"], pin, sampled.discs, []).arcs
        bearings, bad, ends = sampled.ends_deg()
        clear = np.zeros(len(bearings), dtype=bool)
        for arc in arcs:
            clear |= (bearings - arc.from_deg) % 360 <= arc.width_deg
        assert (clear == ~bad).all(), bearings[clear == bad]
        own = np.array([end for arc in arcs for end in (arc.from_deg, arc.to_deg)])
        for end in ends:
            assert np.abs((own - end + 180) % 360 - 180).min() < 0.01
