"""The rule kind about a broken bone that the frame passes over: none of its pieces holds a pin."""

from collections.abc import Iterator

from fixplan.case.limbs import bar_systems, limb_of_case, segment_of
from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.checks.register import case_kind
from fixplan.checks.rules import LeftBone, Rule
from fixplan.checks.texts import finding, listed
from fixplan.frame.patterns import kin_of
from fixplan.limb.anatomy import Limb
from fixplan.limb.kinds import limb_kind


@case_kind("fracture-unheld")
def fracture_unheld(rule: Rule, case: Case) -> Iterator[Finding]:
    """Broken bones without any pin, once the case has a pin at all (D14, PP-04).

    Softer, in words of its own, where a drawn splint or the frame bridges them, or where practice
    leaves such bones alone (`left` of the rule). Bones of which the same is said are one finding.
    """
    limb = limb_of_case(case)
    pinned = {pin.bone for pin in case.pins}
    broken = dict.fromkeys(one.bone for one in case.fractures if one.bone in limb.bones)
    told: dict[tuple[str, str], list[str]] = {}
    for bone in broken if pinned else ():
        if bone not in pinned:
            told.setdefault(_way(rule, case, limb, bone, pinned), []).append(bone)
    for (way, why), bones in told.items():
        titles = listed([limb.bones[bone].title for bone in bones])
        stand = "is broken and holds" if len(bones) == 1 else "are broken and hold"
        yield finding(
            rule,
            rule.severities.get(way, rule.severity),
            tuple(one.id for one in case.fractures if one.bone in bones),
            f"{titles[0].upper()}{titles[1:]}",
            rule.texts.get(way, rule.text),
            bones=f"The {titles} {stand}",
            why=why,
        )


def _way(rule: Rule, case: Case, limb: Limb, bone: str, pinned: set[str]) -> tuple[str, str]:
    """What else may hold a bone, as the rule's texts call it, and the rule's own words for it."""
    left = next((one for one in rule.left if _is_left(one, bone, pinned)), None)
    if left is not None:
        return "left", left.words
    segment = limb.bones[bone].segment
    if any(one.kind == "splint" and one.segment == segment for one in case.supports):
        return "splint", ""
    return ("bridged", "") if _is_bridged(case, segment) else ("", "")


def _is_left(left: LeftBone, bone: str, pinned: set[str]) -> bool:
    return _is_kin(bone, left.bones) and any(_is_kin(one, left.beside) for one in pinned)


def _is_kin(bone: str, named: tuple[str, ...]) -> bool:
    """Whether a bone is named, itself or as its kin: "metacarpal" for "metacarpal-3"."""
    return bone in named or kin_of(bone) in named


def _is_bridged(case: Case, segment: str) -> bool:
    """Whether one system of bars holds pins both above and below a whole segment."""
    order = [one.name for one in limb_kind(case.limb).segments]
    place, segments = (
        order.index(segment),
        {pin.id: segment_of(case, pin.bone) for pin in case.pins},
    )
    for system in bar_systems(case):
        places = [order.index(held) for pin in system if (held := segments.get(pin)) is not None]
        if places and min(places) < place < max(places):
            return True
    return False
