"""A pin by itself on the bare limb, whatever else is drawn."""

from functools import lru_cache

from fixplan.case.bare import bare_limb
from fixplan.case.records import Case, Pin
from fixplan.checks.run import judge_pin

_bare = lru_cache(maxsize=8)(bare_limb)


def is_stopped_alone(case: Case, pin: Pin) -> bool:
    """Whether a rule would stop a pin on the limb of a case with nothing else drawn."""
    return any(one.severity == "stop" for one in judge_pin(_bare(case), pin))
