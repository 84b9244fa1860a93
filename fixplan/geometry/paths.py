"""A pin's path through one segment: skin, near cortex, canal, far cortex and tip.

Distances run along the pin from its aim point, in mm, growing outward: the skin is the greatest,
the tip the least. The aim is the bone's target at the pin's level, moved by its offset (D3).
"""

import math
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from fixplan.case.records import Pin
from fixplan.errors import GeometryError
from fixplan.geometry.axis_gap import Axis
from fixplan.geometry.rays import Line, Span, span
from fixplan.limb.anatomy import Limb, Section

Array = NDArray[np.float64]

BEYOND_SKIN_MM = 25.0
"""How far outside the drawn skin a pin still counts: a swollen limb's skin lies further out."""

BEYOND_BONE_MM = 150.0
"""The same where no skin is drawn, from the bone: more than any soft tissue is deep."""


class PinPath:
    """Where one pin runs. Made by `pin_path`, compared by identity, not to be changed.

    `hits_bone` False: the pin misses its bone or the bone is not there; then `near_mm` and `far_mm`
    are 0, the aim. `known` False: the bone's section is only guessed somewhere on the way.
    `skin_known` False: no skin there; then `skin_mm` and `far_skin_mm` are the bone's surfaces.
    `group`: the group of sections that its bone is cut in.
    `from_above`: its segment's front view is seen from above.
    `canal_mm` holds the two crossings of the canal, None when the pin misses it or it is not known.
    """

    def __init__(self, limb: Limb, pin: Pin) -> None:
        self.limb, self.pin = limb, pin
        self.segment = segment_of(limb, pin.bone)
        self.from_above = limb.segments[self.segment].front_shows == "forward"
        self.group = limb.group_of(pin.bone)
        section, self.target_mm = _aimed_section(limb, pin)
        bearing = math.radians(pin.bearing_deg)
        moved = self.target_mm + pin.offset_mm * np.array((-math.sin(bearing), math.cos(bearing)))
        self.aim_mm: Array = np.array((*moved, pin.level_mm))
        self.line = Line(self.aim_mm, pin.bearing_deg, pin.tilt_deg)
        self.outward: Array = self.line.outward
        bone = span(self.line, self._outline_at) if section is not None else None
        skin = span(self.line, lambda level: limb.skin(self.group, level))
        self.hits_bone = bone is not None
        self.near_mm, self.far_mm = (bone.outer_mm, bone.inner_mm) if bone else (0.0, 0.0)
        self.known = bone is not None and all(map(self._known_at, (self.near_mm, self.far_mm)))
        self.skin_known = skin is not None and skin.complete
        self.skin_mm, self.far_skin_mm = self._skin_ends(skin)
        self.tip_end_mm = self.far_skin_mm if pin.kind == "through" else self.far_mm - pin.tip_mm

    def point(self, at_mm: float) -> Array:
        """The point (x, y, level) at a distance along the pin, mm."""
        return self.aim_mm + at_mm * self.outward

    def level_at(self, at_mm: float) -> float:
        """Level at a distance along the pin, mm."""
        return self.line.level_mm(at_mm)

    @property
    def radius_mm(self) -> float:
        """Half the pin's diameter."""
        return self.pin.diameter_mm / 2

    @property
    def tip_mm(self) -> Array:
        """The pin's end in the limb; of a through-pin its far skin puncture."""
        return self.point(self.tip_end_mm)

    @property
    def skin_point_mm(self) -> Array:
        """The puncture on the side of entry."""
        return self.point(self.skin_mm)

    @property
    def near_point_mm(self) -> Array:
        """Where the pin enters the bone."""
        return self.point(self.near_mm)

    @property
    def far_point_mm(self) -> Array:
        """Where the pin's line leaves the bone."""
        return self.point(self.far_mm)

    @property
    def level_at_skin_mm(self) -> float:
        """Level of the puncture; a tilted pin's differs from the level at the bone."""
        return self.level_at(self.skin_mm)

    @property
    def depth_from_skin_mm(self) -> float:
        """From skin to tip along the pin."""
        return self.skin_mm - self.tip_end_mm

    @property
    def bone_mm(self) -> float:
        """From near surface to far surface of the bone along the pin; 0 when it misses."""
        return self.near_mm - self.far_mm

    @property
    def soft_tissue_mm(self) -> float:
        """From skin to the near surface of the bone along the pin."""
        return self.skin_mm - self.near_mm

    @property
    def is_bicortical(self) -> bool:
        """Whether the tip is at or past the far surface of the bone."""
        return self.hits_bone and self.tip_end_mm <= self.far_mm

    @property
    def reaches_bone(self) -> bool:
        """Whether the pin gets into its bone: it meets it, and its tip does not end before."""
        return self.hits_bone and self.tip_end_mm < self.near_mm

    @property
    def bone_stretch_mm(self) -> tuple[float, float] | None:
        """The stretch of the pin in bone (outer, inner), the inner end its tip if that is short."""
        inner = max(self.far_mm, self.tip_end_mm)
        return (self.near_mm, inner) if self.hits_bone and inner < self.near_mm else None

    @cached_property
    def canal_mm(self) -> tuple[float, float] | None:
        """The outer and inner crossing of the canal by the pin's axis."""
        canal = span(self.line, self._canal_at) if self.canal_known else None
        if canal is None:
            return None
        outer, inner = min(canal.outer_mm, self.near_mm), max(canal.inner_mm, self.tip_end_mm)
        return (outer, inner) if outer > inner else None

    @property
    def in_canal(self) -> bool:
        """Whether the pin's axis runs through the canal."""
        return self.canal_mm is not None

    @cached_property
    def canal_known(self) -> bool:
        """Whether the pin is in bone whose canal is known."""
        return self.known and self._canal_at(self.pin.level_mm) is not None

    @property
    def one_cortex_fraction(self) -> float | None:
        """Longest unbroken stretch in one cortex, as a fraction of the pin's way in bone (D16).

        About a quarter for a pin through the middle, 1 for one that misses the canal; None where
        the canal is not known or the pin is not in bone.
        """
        stretch = self.bone_stretch_mm
        if stretch is None or not self.canal_known:
            return None
        if self.canal_mm is None:
            return 1.0
        near_cortex, far_cortex = stretch[0] - self.canal_mm[0], self.canal_mm[1] - stretch[1]
        return max(near_cortex, far_cortex) / (stretch[0] - stretch[1])

    @property
    def punctures_mm(self) -> tuple[Array, ...]:
        """The skin punctures: the side of entry, then the far side of a through-pin."""
        far = (self.point(self.far_skin_mm),) if self.pin.kind == "through" else ()
        return (self.skin_point_mm, *far)

    @cached_property
    def solid(self) -> Axis:
        """The pin's axis from its tip to beyond the skin; a through-pin's beyond both skins."""
        through = self.pin.kind == "through"
        inner = self.tip_end_mm - (self._beyond_mm if through else 0.0)
        outer = max(self.skin_mm, self.tip_end_mm) + self._beyond_mm
        return Axis(self.point(inner), self.point(outer))

    @property
    def in_limb_mm(self) -> tuple[float, float]:
        """The stretch of `solid` that lies within the skin; all of it where no skin is drawn."""
        if not self.skin_known:
            return 0.0, self.solid.length_mm
        inner = BEYOND_SKIN_MM if self.pin.kind == "through" else 0.0
        return inner, self.solid.length_mm - BEYOND_SKIN_MM

    @property
    def _beyond_mm(self) -> float:
        return BEYOND_SKIN_MM if self.skin_known else BEYOND_BONE_MM

    def _outline_at(self, level_mm: float) -> Array | None:
        section = self.limb.section(self.pin.bone, level_mm)
        return None if section is None else section.outline

    def _canal_at(self, level_mm: float) -> Array | None:
        section = self.limb.section(self.pin.bone, level_mm)
        return None if section is None else section.canal

    def _known_at(self, at_mm: float) -> bool:
        section = self.limb.section(self.pin.bone, self.level_at(at_mm))
        return section is not None and section.known

    def _skin_ends(self, skin: Span | None) -> tuple[float, float]:
        if skin is None:
            return self.near_mm, self.far_mm
        return max(skin.outer_mm, self.near_mm), min(skin.inner_mm, self.far_mm)


@lru_cache(maxsize=1024)
def pin_path(limb: Limb, pin: Pin) -> PinPath:
    """The path of a pin in its bone's segment.

    A pin that misses its bone is an answer (`hits_bone` False), not an error.

    Raises:
        GeometryError: the limb has no bone of that name.
    """
    return PinPath(limb, pin)


def segment_of(limb: Limb, bone: str) -> str:
    """Name of the segment that a bone belongs to.

    Raises:
        GeometryError: the limb has no bone of that name.
    """
    if bone not in limb.bones:
        raise GeometryError(
            f'This limb has no bone "{bone}": choose one of {", ".join(limb.bones)}.'
        )
    return str(limb.bones[bone].segment)


def _aimed_section(limb: Limb, pin: Pin) -> tuple[Section | None, Array]:
    """Section at the pin's level and its target; off the bone, the target of its nearest end."""
    section = limb.section(pin.bone, pin.level_mm)
    if section is not None:
        return section, np.asarray(section.target, dtype=float)
    bone, inward_mm = limb.bones[pin.bone], 0.5
    level = min(max(pin.level_mm, bone.from_mm + inward_mm), bone.to_mm - inward_mm)
    nearest = limb.section(pin.bone, level)
    return None, np.zeros(2) if nearest is None else np.asarray(nearest.target, dtype=float)
