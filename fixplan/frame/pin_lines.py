"""A pin as a line in the posed limb, with the places where it leaves the skin."""

from functools import lru_cache
from typing import Literal

import msgspec
import numpy as np

from fixplan.case.limbs import pose_of_case
from fixplan.case.records import Case, Pin
from fixplan.frame.vectors import Vector, along, minus, times, unit, vector
from fixplan.geometry.paths import pin_path
from fixplan.limb.pose import Pose

End = Literal["outer", "far"]


class PinLine(msgspec.Struct, frozen=True):
    """A pin's axis: aim and way out in the posed limb, distances (mm) outward from the aim."""

    pin: Pin
    aim: Vector
    outward: Vector
    skin_mm: float
    far_skin_mm: float

    def out(self, end: End, out_mm: float) -> Vector:
        """Point `out_mm` outside the skin at the `outer` or `far` end."""
        reach = self.skin_mm + out_mm if end == "outer" else self.far_skin_mm - out_mm
        return along(self.aim, self.outward, reach)

    def way(self, end: End) -> Vector:
        """Direction out of the limb at that end."""
        return self.outward if end == "outer" else times(self.outward, -1)

    def end_at(self, at_mm: float) -> End:
        """The end of the pin that a place `at_mm` from the aim belongs to."""
        return "outer" if at_mm >= 0 or self.pin.kind == "half" else "far"

    def out_mm(self, at_mm: float) -> float:
        """How far outside the skin a place lies that is `at_mm` from the aim; negative inside."""
        outer = self.end_at(at_mm) == "outer"
        return at_mm - self.skin_mm if outer else self.far_skin_mm - at_mm


def pin_line(case: Case, pin: Pin) -> PinLine:
    """Line of a pin of the case in the posed limb. Raises GeometryError for an unknown bone."""
    return _line(pose_of_case(case), pin)


def pin_lines(case: Case) -> dict[str, PinLine]:
    """Lines of all pins whose bone is known, by pin id."""
    return lines_of(pose_of_case(case), case.pins)


def lines_of(pose: Pose, pins: tuple[Pin, ...]) -> dict[str, PinLine]:
    """Lines of the pins whose bone is known, by pin id."""
    return {pin.id: _line(pose, pin) for pin in pins if pin.bone in pose.limb.bones}


@lru_cache(maxsize=4096)
def _line(pose: Pose, pin: Pin) -> PinLine:
    path = pin_path(pose.limb, pin)
    ends = np.array([path.aim_mm, np.add(path.aim_mm, path.outward)], dtype=float)
    posed = pose.to_limb(path.segment, ends)
    aim = vector(posed[0])
    outward = unit(minus(vector(posed[1]), aim))
    return PinLine(pin, aim, outward, float(path.skin_mm), float(path.far_skin_mm))
