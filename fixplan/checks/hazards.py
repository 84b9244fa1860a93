"""Rule kinds about nerves, vessels and tendons beside a pin (D22).

What one pin comes near to is looked up once and remembered; each rule then takes its share. What
lies in one direction and is equally grave is one finding, with every structure named and among its
subjects: an acceptance never covers a structure that joined later.
"""

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache

from fixplan.case.records import Pin
from fixplan.case.scalars import Severity
from fixplan.checks.finding import Finding
from fixplan.checks.register import pin_kind
from fixplan.checks.rules import Rule
from fixplan.checks.scene import Scene
from fixplan.checks.slender import slender_gap_mm
from fixplan.checks.texts import beyond, listed, number, number_pair, pin_finding
from fixplan.checks.together import Together
from fixplan.geometry.hazard_gaps import HazardGap, hazard_gaps_of_each
from fixplan.geometry.obstacle_hits import OutlineGap, outlined_gaps
from fixplan.geometry.paths import PinPath, pin_path
from fixplan.geometry.section_near import beginning_near, begins_words
from fixplan.limb.authored import GRADES
from fixplan.limb.words import ways_of

Gap = HazardGap | OutlineGap
Told = tuple[Gap, Severity, float]

CRITICAL = ("critical",)
OPENED = ("minor", "tether")
JOINT = "joint"
LEVEL_DEG = 2.0
"""A pin tilted less than this lies in the plane of its section."""
TOUCHED_MM = 0.05
"""Gaps under this would be told as 0.0 mm."""
IN_THE_WAY = "in its way"
"""What is told of a structure to protect that the pin would run through."""


@lru_cache(maxsize=4096)
def hazards_assessed(path: PinPath) -> bool:
    """Whether nerves and vessels are known wherever the pin runs, from its skin to its tip."""
    known, levels = _known_levels(path), _levels(path)
    return path.known and known[0] <= levels[0] and levels[1] <= known[1]


@lru_cache(maxsize=4096)
def hazards_in_part(path: PinPath, within_mm: float) -> bool:
    """Whether a pin comes near levels where nerves and vessels are known, so that some are told.

    Near: a part of it lies there, or within `within_mm` of it, which is as far as the rules look.
    """
    known, levels = _known_levels(path), _levels(path)
    reach_mm = path.radius_mm + within_mm
    return known[0] <= levels[1] + reach_mm and levels[0] - reach_mm <= known[1]


def _levels(path: PinPath) -> tuple[float, float]:
    ends = [path.level_at(at) for at in (path.tip_end_mm, path.skin_mm)]
    return min(ends), max(ends)


def _known_levels(path: PinPath) -> tuple[float, float]:
    first, last = path.limb.known_mm(path.group)
    return first - 1e-6, last + 1e-6


@Together
def gaps_of(scene: Scene, pins: tuple[Pin, ...]) -> Iterator[tuple[Gap, ...]]:
    """Everything that pins come near to, the nearest first; as far as any rule asks."""
    paths = [pin_path(scene.limb, pin) for pin in pins]
    hits = [path for path in paths if path.hits_bone]
    within_mm = reach_mm(scene.rules)
    tracks = dict(zip(hits, hazard_gaps_of_each(scene.limb, hits, within_mm, GRADES), strict=True))
    for path in paths:
        gaps: list[Gap] = list(tracks.get(path, ()))
        if path.hits_bone:
            gaps += outlined_gaps(scene.limb, path, within_mm, GRADES)
        yield tuple(sorted(gaps, key=lambda one: one.gap_mm))


@lru_cache(maxsize=4)
def reach_mm(listed_rules: tuple[Rule, ...]) -> float:
    """The farthest that any rule about hazards looks, mm."""
    kinds = ("hazard-gap", "hazard-to-protect", "spread-not-known")
    asked = [rule for rule in listed_rules if rule.kind in kinds]
    return max(
        (x for rule in asked for x in (*rule.below.values(), *rule.numbers.values())), default=0
    )


@pin_kind("hazard-gap")
def hazard_gap(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """Named nerves and vessels on the pin's way in (`target` near) or past the bone (far)."""
    told: dict[Severity, list[Told]] = {}
    others: list[Gap] = []
    for gap in _each_once(gaps_of(scene, pin), rule.target):
        if gap.kind == JOINT or gap.grade not in CRITICAL:
            continue
        passed = beyond(rule, gap.gap_mm)
        if passed:
            severity = _when_opened(rule, pin, gap, passed[0])
            told.setdefault(severity, []).append((gap, severity, passed[1]))
        else:
            others.append(gap)
    for severity, gaps in told.items():
        yield _gap_finding(rule, scene, pin, severity, gaps, _beside(rule, gaps, others))


def _beside(rule: Rule, told: Sequence[Told], others: Sequence[Gap]) -> list[Gap]:
    """What keeps its limit but runs in one bundle with a structure that does not."""
    near = {gap.track for gap, _, _ in told}
    met = [bundle for bundle in rule.bundles if near.intersection(bundle)]
    within_mm = rule.numbers.get("bundle", 0.0)
    return [
        gap
        for gap in others
        if gap.gap_mm < within_mm and any(gap.track in bundle for bundle in met)
    ]


def _when_opened(rule: Rule, pin: Pin, gap: Gap, severity: Severity) -> Severity:
    """D22 with an open approach: a gap that a cut shows is a caution; no gap at all is no gap.

    A cut shows a structure, it does not take it out of the way of a pin through it, unless the rule
    says so of that one; and a cut from another side does not show it.
    """
    if not pin.open_approach or "open" not in rule.severities:
        return severity
    exposure = rule.exposures.get(gap.track)
    gives_way = exposure is not None and exposure.gives_way
    hidden = exposure is not None and not exposure.opens(pin.bearing_deg)
    stays = hidden or (gap.gap_mm <= 0 and not gives_way)
    return severity if stays else rule.severities["open"]


def _with_exposure(rule: Rule, pin: Pin, severity: Severity) -> Severity:
    return rule.severities.get("open", severity) if pin.open_approach else severity


def _evidence(rule: Rule, scene: Scene, pin: Pin, tracks: Sequence[str]) -> tuple[str, ...]:
    """The rule's evidence, what is known of the bone, and of where these structures run."""
    group = scene.limb.groups[scene.limb.group_of(pin.bone)]
    placed = [
        one
        for spread in group.authored.spreads
        if spread.track in tracks
        for one in spread.evidence
    ]
    return tuple(dict.fromkeys((*rule.evidence_for(pin.bone), *placed)))


def _gap_finding(
    rule: Rule,
    scene: Scene,
    pin: Pin,
    severity: Severity,
    gaps: Sequence[Told],
    beside: Sequence[Gap],
) -> Finding:
    nearest = min(gaps, key=lambda one: one[0].gap_mm)
    with_them = listed([gap_words(gap) for gap in beside])
    return pin_finding(
        rule,
        pin,
        severity,
        _gap_text(rule, pin, nearest[0], severity),
        others=_subjects(gap for gap, _, _ in gaps),
        measured=nearest[0].gap_mm,
        limit=nearest[2],
        evidence=_evidence(rule, scene, pin, [gap.track for gap, _, _ in gaps]),
        structures=listed([_placed_words(scene, pin, gap, limit) for gap, _, limit in gaps])
        + (f", in one bundle with {with_them}" if beside else ""),
        exposures=_exposures(rule, [gap for gap, _, _ in gaps]),
        least=number(slender_gap_mm(pin.bone) or 0.0),
    )


def _placed_words(scene: Scene, pin: Pin, gap: Gap, limit: float) -> str:
    """As `gap_words`, with where the structure begins that does not cross the pin's level.

    A slanting pin meets it at another level than that of its section, where it may be drawn.
    """
    words = gap_words(gap, limit)
    if abs(pin.tilt_deg) > LEVEL_DEG or not isinstance(gap, HazardGap):
        return words
    limb, within_mm = scene.limb, reach_mm(scene.rules) + pin.diameter_mm / 2
    found = beginning_near(limb, limb.group_of(pin.bone), pin.level_mm, within_mm)
    one = next((one for one in found if one.structure.track == gap.track), None)
    if one is None:
        return words
    places = ways_of(limb, limb.bones[pin.bone].segment).places
    return f"{words} ({begins_words(one, places)})"


def _exposures(rule: Rule, gaps: Sequence[Gap]) -> str:
    """How each structure is exposed, in brackets, and of which no cut is listed."""
    known = [gap for gap in gaps if gap.track in rule.exposures]
    others = [gap.name for gap in gaps if gap.track not in rule.exposures]
    told = [f"{gap.name}: {rule.exposures[gap.track].how}" for gap in known]
    if others and rule.exposures:
        told.append(f"no cut is listed that shows the {listed(others)}")
    return f" ({'; '.join(told)})" if told else ""


def _gap_text(rule: Rule, pin: Pin, nearest: Gap, severity: Severity) -> str:
    """The rule's words; with an open approach those for what the cut shows, or does not mend.

    A caution past a slender bone tells that its bands keep less.
    """
    if severity == "caution" and "slender" in rule.texts and slender_gap_mm(pin.bone) is not None:
        return rule.texts["slender"]
    hit = nearest.gap_mm <= 0
    if not pin.open_approach or "open" not in rule.texts:
        return rule.texts.get("through", rule.text) if hit else rule.text
    if severity == rule.severities["open"]:
        return rule.texts["open"]
    return rule.texts["hit" if hit else "hidden"]


def _each_once(gaps: Iterable[Gap], part: str = "") -> Iterator[Gap]:
    """Each structure of one part (or either) once, where it is nearest; the nearest come first."""
    told: set[str] = set()
    for gap in gaps:
        if gap.track not in told and part in ("", gap.part):
            told.add(gap.track)
            yield gap


def gap_words(gap: Gap, limit: float | None = None, hit: str = "hit") -> str:
    """A structure and how far off it is: "deep peroneal nerve 3 mm off", "sural nerve hit"."""
    if gap.gap_mm <= 0:
        return f"{gap.name} {hit}"
    if gap.gap_mm < TOUCHED_MM:
        return f"{gap.name} touched"
    close = number(gap.gap_mm, 1) if gap.gap_mm < 1 else ""
    return f"{gap.name} {close or number_pair(gap.gap_mm, limit)[0]} mm off"


def _subjects(gaps: Iterable[Gap]) -> tuple[str, ...]:
    return tuple(sorted({f"hazard:{gap.track}" for gap in gaps}))


@pin_kind("hazard-to-protect")
def hazard_to_protect(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """Skin nerves, small vessels and tendons on the way in: one finding a pin, to open and protect.

    The gravest limit passed gives its severity; with an open approach it is what `severities` say.
    """
    told: list[Told] = []
    for gap in _each_once(gaps_of(scene, pin), "near"):
        if gap.grade in OPENED and gap.kind != JOINT:
            passed = beyond(rule, gap.gap_mm)
            if passed:
                told.append((gap, *passed))
    if told:
        nearest, worst, limit = told[0]
        yield pin_finding(
            rule,
            pin,
            _with_exposure(rule, pin, worst),
            rule.texts["open"] if pin.open_approach else rule.text,
            others=_subjects(gap for gap, _, _ in told),
            measured=nearest.gap_mm,
            limit=limit,
            evidence=_evidence(rule, scene, pin, [gap.track for gap, _, _ in told]),
            structures=listed([gap_words(gap, hit=IN_THE_WAY) for gap, _, _ in told]),
        )


@pin_kind("pin-in-joint-space")
def pin_in_joint_space(rule: Rule, scene: Scene, pin: Pin) -> Iterator[Finding]:
    """A pin through a joint's cavity where one is drawn: at its authored level only."""
    for gap in _each_once(gaps_of(scene, pin)):
        if gap.kind == JOINT and gap.gap_mm <= 0:
            yield pin_finding(
                rule,
                pin,
                rule.severities[gap.grade],
                rule.text,
                other=f"hazard:{gap.track}",
                evidence=rule.evidence_for(pin.bone),
                structure=gap.name,
            )
