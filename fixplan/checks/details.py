"""What is worth knowing about one pin without being a finding; for a pin's own panel."""

from fixplan.case.records import Case, Pin
from fixplan.checks.pins import hole_detail
from fixplan.checks.rules import Rule
from fixplan.checks.scene import scene_of


def pin_details(case: Case, pin: Pin) -> tuple[str, ...]:
    """Details of a pin in words, such as what its hole costs (PD-17); empty when there is none."""
    scene = scene_of(case)
    if pin.bone not in scene.limb.bones:
        return ()
    listed: list[Rule] = [rule for rule in scene.rules if rule.kind == "pin-hole-ratio"]
    told = (hole_detail(scene, pin, rule) for rule in listed)
    return tuple(one for one in told if one)
