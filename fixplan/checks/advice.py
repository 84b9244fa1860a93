"""A move that would clear a pin: how far to slide it along its bone, told only if it helps.

For every kind of finding that sliding can clear, a function says how far it takes, proximally and
distally. From the longest of them on, places are tried in both directions, the nearest first; the
slid pin is judged anew. A move is told only when nothing that sliding could clear is left, the pin
stays in its own fragment, and neither it nor what it stands beside gets a stop or caution that was
not there before.
"""

import math
from collections.abc import Callable, Iterable, Mapping

from msgspec.structs import replace

from fixplan.case.records import FreeOutline, Incision, Nail, Pin, Plate
from fixplan.checks.company import Company
from fixplan.checks.finding import Finding
from fixplan.checks.rules import Rule
from fixplan.checks.scene import Scene
from fixplan.checks.turning import is_turned, is_worse
from fixplan.checks.zones import Levels, levels_of
from fixplan.geometry.corridors import hole_levels
from fixplan.geometry.paths import pin_path
from fixplan.limb.reference import level_ways

Shifts = tuple[float, float]
Judge = Callable[[Scene, Pin], tuple[Finding, ...]]

NEVER: Shifts = (math.inf, math.inf)
CLEAR_MM = 0.5
"""How far past the edge a slid pin ends, so that it does not touch."""


def advised(
    scene: Scene,
    pin: Pin,
    findings: tuple[Finding, ...],
    judge: Judge,
    company: Company,
    turn: str,
) -> tuple[Finding, ...]:
    """The findings, those that a slide clears with the words for it.

    `company` says whether a slid pin gets on with what it stands beside; `turn` is the turn that
    would clear what a turn can clear, in words.
    """
    shifts = {id(one): _shifts(scene, pin, one) for one in findings if one.is_open}
    movable = [shift for shift in shifts.values() if shift is not None]
    slide = _best_slide(scene, pin, movable, judge, findings, company) if movable else ""
    if not slide and not turn:
        return findings
    return tuple(
        replace(one, advice=slide)
        if shifts.get(id(one))
        else replace(one, advice=turn)
        if is_turned(scene, one)
        else one
        for one in findings
    )


def slide_words(segment: str, shift_mm: float) -> str:
    """A slide in the words of the segment: "slide it 12 mm distally"."""
    return f"slide it {abs(shift_mm):.0f} mm {level_ways(segment).slides[shift_mm > 0]}"


def _best_slide(
    scene: Scene,
    pin: Pin,
    movable: Iterable[Shifts],
    judge: Judge,
    findings: tuple[Finding, ...],
    company: Company,
) -> str:
    """The shortest slide that clears; ends at a whole millimetre, so that a drag asks no more."""
    for level_mm in _places(scene, pin, _longest(movable), company.further_mm):
        slid = replace(pin, level_mm=level_mm)
        if _is_clear(scene, slid, judge, findings) and company.accepts(slid):
            gone_mm = level_mm - pin.level_mm
            whole_mm = math.copysign(math.ceil(abs(gone_mm)), gone_mm)
            return slide_words(scene.limb.bones[pin.bone].segment, whole_mm)
    return ""


def _places(scene: Scene, pin: Pin, longest: Shifts, further: tuple[float, ...]) -> list[float]:
    """Levels to try within the pin's fragment, the nearest first."""
    low, high = _fragment_levels(scene, pin)
    proximal, distal = longest
    tried = []
    for further_mm in further:
        if math.isfinite(distal):
            tried.append(float(math.ceil(pin.level_mm + distal) + further_mm))
        if math.isfinite(proximal):
            tried.append(float(math.floor(pin.level_mm - proximal) - further_mm))
    within = [level for level in tried if low <= level <= high]
    return sorted(within, key=lambda level: abs(level - pin.level_mm))


def _fragment_levels(scene: Scene, pin: Pin) -> Levels:
    """Between which fractures a pin stands; of one that it stands in, both sides are open to it."""
    bone = scene.limb.bones[pin.bone]
    low, high = bone.from_mm, bone.to_mm
    for one in scene.fractures:
        if one.bone == pin.bone and one.to_mm < pin.level_mm:
            low = max(low, one.to_mm)
        elif one.bone == pin.bone and one.from_mm > pin.level_mm:
            high = min(high, one.from_mm)
    return low, high


def _longest(movable: Iterable[Shifts]) -> Shifts:
    proximal, distal = zip(*movable, strict=True)
    return max(proximal), max(distal)


def _is_clear(scene: Scene, slid: Pin, judge: Judge, before: tuple[Finding, ...]) -> bool:
    """Whether a slid pin still stands in its bone with nothing left that sliding could clear.

    Nor may it have come to a stop or caution of another kind, such as a nerve.
    """
    if not pin_path(scene.limb, slid).hits_bone:
        return False
    found = judge(scene, slid)
    left = (one for one in found if one.is_open)
    return all(_shifts(scene, slid, one) is None for one in left) and not is_worse(before, found)


def _shifts(scene: Scene, pin: Pin, finding: Finding) -> Shifts | None:
    """How far to slide for one finding; None when sliding is not the way to clear it."""
    rule = scene.rules_by_id[finding.rule]
    ask = _ASKED.get(rule.kind)
    return ask(rule, scene, pin, finding) if ask else None


def _from_fracture(rule: Rule, scene: Scene, pin: Pin, finding: Finding) -> Shifts:
    del rule
    broken = [one for one in scene.fractures if one.id == finding.subjects[1]]
    gap_mm = finding.limit or 0.0
    return _past_all(scene, pin, [(one.from_mm - gap_mm, one.to_mm + gap_mm) for one in broken])


def _from_injury(rule: Rule, scene: Scene, pin: Pin, finding: Finding) -> Shifts:
    del rule
    for zone in scene.zones.get(scene.limb.bones[pin.bone].segment, ()):
        if zone.injury.id == finding.subjects[1]:
            return _past(scene, pin, zone.levels_mm)
    return NEVER


def _from_mark(rule: Rule, scene: Scene, pin: Pin, finding: Finding) -> Shifts:
    del rule
    for wound in scene.wounds:
        if wound.id == finding.subjects[1]:
            return _past(scene, pin, levels_of(scene.limb, wound))
    return NEVER


def _from_candidate(rule: Rule, scene: Scene, pin: Pin, finding: Finding) -> Shifts:
    kind = _PARTS[rule.kind]
    taken = [
        levels_of(scene.limb, part)
        for candidate, part in scene.parts
        if candidate.id == finding.subjects[1] and isinstance(part, kind)
    ]
    return _past_all(scene, pin, taken)


def _from_zone(rule: Rule, scene: Scene, pin: Pin, finding: Finding) -> Shifts:
    """Out of the zones of the nail that the pin's hole meets; never past a zone beside it."""
    hole = hole_levels(pin_path(scene.limb, pin))
    zones = [
        zone
        for candidate, part in scene.parts
        if candidate.id == finding.subjects[1] and isinstance(part, Nail) and part.bone == pin.bone
        for zone in ((part.entry_zone,) if rule.target == "entry" else part.locking_zones)
    ]
    met = [(min(z), max(z)) for z in zones if hole and hole[0] < max(z) and hole[1] > min(z)]
    return _past_all(scene, pin, met)


def _from_joint(rule: Rule, scene: Scene, pin: Pin, finding: Finding) -> Shifts:
    del scene, pin
    if finding.measured is None or finding.limit is None:
        return NEVER
    limits = [
        max(one.stop or 0.0, one.caution or 0.0)
        for one in rule.sectors
        if finding.limit in (one.stop, one.caution)
    ]
    away_mm = max(limits) - finding.measured
    return (math.inf, away_mm) if rule.clear == "distal" else (away_mm, math.inf)


def _past_all(scene: Scene, pin: Pin, taken: list[Levels]) -> Shifts:
    if not taken:
        return NEVER
    return _past(scene, pin, (min(low for low, _ in taken), max(high for _, high in taken)))


def _past(scene: Scene, pin: Pin, levels: Levels) -> Shifts:
    """How far to slide so that the whole pin lies past a range of levels."""
    path = pin_path(scene.limb, pin)
    ends = (path.level_at_skin_mm, float(path.tip_mm[2]))
    clear_mm = CLEAR_MM + path.radius_mm
    return max(ends) - levels[0] + clear_mm, levels[1] - min(ends) + clear_mm


_PARTS: Mapping[str, type[Plate | Incision | FreeOutline]] = {
    "pin-under-plate": Plate,
    "pin-in-incision": Incision,
    "pin-in-free-outline": FreeOutline,
}
_ASKED: Mapping[str, Callable[[Rule, Scene, Pin, Finding], Shifts]] = {
    "pin-to-fracture": _from_fracture,
    "pin-in-injury": _from_injury,
    "pin-through-skin-mark": _from_mark,
    "pin-under-plate": _from_candidate,
    "pin-in-incision": _from_candidate,
    "pin-in-free-outline": _from_candidate,
    "pin-in-nail-zone": _from_zone,
    "pin-near-joint": _from_joint,
}
