"""What an open approach is to show: nerves, vessels and tendons that its pin would run through."""

from collections.abc import Iterable
from functools import lru_cache

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Pin
from fixplan.geometry.hazard_gaps import hazard_gaps
from fixplan.geometry.paths import pin_path
from fixplan.limb.anatomy import Limb
from fixplan.limb.authored import GRADES


def met_words(case: Case, pins: Iterable[Pin]) -> str:
    """Names of all that open pins run through on their way in, in brackets; "" where nothing is."""
    limb = limb_of_case(case)
    names = [name for pin in pins if pin.bone in limb.bones for name in _met(limb, pin)]
    return f" ({', '.join(dict.fromkeys(names))})" if names else ""


@lru_cache(maxsize=512)
def _met(limb: Limb, pin: Pin) -> tuple[str, ...]:
    path = pin_path(limb, pin)
    if not path.hits_bone:
        return ()
    found = hazard_gaps(limb, path, 0.0, GRADES)
    return tuple(one.name for one in found if one.part == "near" and one.gap_mm < 0)
