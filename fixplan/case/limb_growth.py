"""By how much each part of a limb grows from one size to another: factors without unit."""

from collections.abc import Mapping

from fixplan.case.scalars import View
from fixplan.limb.anatomy import Limb


class LimbGrowth:
    """Factors from one size of a limb to another; 1 for a bone or segment that it does not have."""

    def __init__(self, before: Limb, after: Limb) -> None:
        """Takes the same kind of limb at the two sizes."""
        self._limb = before
        self._before = before.growth
        self._after = after.growth

    def along(self, segment: str) -> float:
        """Growth of a segment's levels."""
        return _ratio(self._before.along, self._after.along, segment)

    def along_bone(self, bone: str) -> float:
        """Growth of the levels of the segment that a bone belongs to."""
        known = self._limb.bones.get(bone)
        return self.along(known.segment) if known else 1.0

    def bone(self, bone: str) -> float:
        """Growth of a bone across."""
        return _ratio(self._before.across, self._after.across, bone)

    def skin(self, segment: str) -> float:
        """Growth of a segment's skin across."""
        return _ratio(self._before.skin, self._after.skin, segment)

    def down_view(self, segment: str, view: View) -> float:
        """Growth along a view's v: of the levels, or forwards where the front view shows that."""
        known = self._limb.segments.get(segment)
        if known and view == "front" and known.front_shows == "forward":
            return self.skin(segment)
        return self.along(segment)


def _ratio(before: Mapping[str, float], after: Mapping[str, float], name: str) -> float:
    return after[name] / before[name] if name in before else 1.0
