"""A limb of round bones and round skin, whose every distance is plain arithmetic."""

import math
from types import SimpleNamespace

import numpy as np
import pytest

from fixplan.case.records import Pin

SIDES = 720


def ring(radius, centre=(0.0, 0.0)):
    """A many-sided ring with corners at 0, 90, 180 and 270 degrees."""
    angles = np.arange(SIDES) * 2 * math.pi / SIDES
    return np.column_stack((np.cos(angles), np.sin(angles))) * radius + np.array(centre)


class RoundLimb:
    """One segment `leg`: a round tibia (level 0 to 400) and skin, whose radii may vary."""

    def __init__(
        self, bone=lambda _: 12.0, canal=lambda _: 5.0, skin=lambda _: 45.0, front_shows="level"
    ):
        self._bone, self._canal, self._skin = bone, canal, skin
        self.bones = {
            "tibia": SimpleNamespace(
                name="tibia", segment="leg", from_mm=0.0, to_mm=400.0, is_plate=False
            )
        }
        self.segments = {"leg": SimpleNamespace(name="leg", front_shows=front_shows)}

    def section(self, bone, level_mm):
        assert bone == "tibia"
        if not 0 <= level_mm <= 400:
            return None
        canal = self._canal(level_mm)
        return SimpleNamespace(
            bone=bone,
            segment="leg",
            level_mm=level_mm,
            outline=ring(self._bone(level_mm)),
            target=np.zeros(2),
            canal=None if canal is None else ring(canal),
            canal_kind="medullary",
            known=20 <= level_mm <= 380,
        )

    def group_of(self, bone):
        return self.bones[bone].segment

    def skin(self, group, level_mm):
        assert group == "leg"
        radius = self._skin(level_mm) if 0 <= level_mm <= 400 else None
        return None if radius is None else ring(radius)

    def outline(self, bone, view):
        del bone, view
        r = self._bone(0.0)
        return np.array([(-r, 0.0), (r, 0.0), (r, 400.0), (-r, 400.0)])

    def width_mm(self, bone, level_mm, bearing_deg):
        del bone, bearing_deg
        return 2 * self._bone(level_mm)


def pin_of(**changes):
    fields = {"id": "pin-1", "number": 1, "bone": "tibia", "level_mm": 100.0, "bearing_deg": 0.0}
    return Pin(**{**fields, "diameter_mm": 5.0, **changes})


@pytest.fixture
def limb():
    return RoundLimb()


@pytest.fixture
def round_limb():
    """The class, for limbs with radii of one's own."""
    return RoundLimb


@pytest.fixture
def make_pin():
    return pin_of
