"""When it has to be asked whether growth plates are open, by the stature in frames.toml."""

from fixplan.case.growing import growth_plates
from fixplan.case.records import Case
from fixplan.frame.patterns import frames

MM_IN_CM = 10.0


def asked_below_cm() -> float:
    """The stature under which it is asked."""
    return frames().growth.asked_below_cm


def is_asked(stature_mm: float | None) -> bool:
    """Whether a patient of that stature may still grow; not where it is unknown."""
    return stature_mm is not None and stature_mm / MM_IN_CM < asked_below_cm()


def asks_growth(case: Case) -> bool:
    """Whether the case leaves the question open for a patient so small."""
    return growth_plates(case) == "not told" and is_asked(case.size.stature_mm)
