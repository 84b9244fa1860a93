"""Applies all rules to a case, and remembers the answers for each pin.

What a pin is told depends on the pin, the limb as it lies and everything drawn but pins and bars;
so moving one pin judges that pin anew, and what pins and bars do together.
"""

from functools import lru_cache
from pathlib import Path

import msgspec

from fixplan.case.file import content_hash, decode, read_bytes
from fixplan.case.records import Case, Pin
from fixplan.case.scalars import Severity
from fixplan.checks import (  # noqa: F401 each enters its rule kinds
    capsules,
    clashes,
    cover,
    fragments,
    frames,
    growing,
    hazards,
    holding,
    later_fixation,
    not_assessed,
    pins,
    plate_levels,
    ring,
    soft_tissue,
    spanning,
    spread,
    support,
    unheld,
    ways,
)
from fixplan.checks.accepting import with_acceptances
from fixplan.checks.advice import advised
from fixplan.checks.company import ASKED, BesidePins, Company, InCase
from fixplan.checks.finding import SEVERITIES, Finding
from fixplan.checks.register import CASE_CHECKS, LEAN_CHECKS, PIN_CHECKS, waits_for_rest
from fixplan.checks.rules import Rule, rule_set_version
from fixplan.checks.scene import Scene, scene_of
from fixplan.checks.turning import turn_words
from fixplan.errors import LibraryError

__all__ = ["Opened", "check", "check_only", "counts", "judge_pin", "open_case", "rule_set_version"]


_RANK = {severity: rank for rank, severity in enumerate(SEVERITIES)}


class Opened(msgspec.Struct, frozen=True, kw_only=True):
    """A case as opened: what was found in it, where it came from, and the file's bytes."""

    case: Case
    findings: tuple[Finding, ...]
    path: Path
    content: bytes

    @property
    def hash(self) -> str:
        """SHA-256 of the file's bytes, as hexadecimal text."""
        return content_hash(self.content)


def open_case(path: Path) -> Opened:
    """Reads and checks a case; the one door for desk and command line.

    Raises:
        CaseFileError: the file cannot be read or does not hold a case.
    """
    content = read_bytes(path)
    case = decode(content, str(path))
    return Opened(case=case, findings=check(case), path=path, content=content)


def check(case: Case, at_rest: Case | None = None) -> tuple[Finding, ...]:
    """Every finding of a case, worst first, then in the order of the rules and of the pins.

    While something moves, `at_rest` is the case before it moved: how firmly the frame holds is then
    told of that one.
    """
    scene = scene_of(case)
    known = [pin for pin in case.pins if pin.bone in scene.limb.bones]
    for asked_together in (hazards.gaps_of, soft_tissue.gaps_in_own_segment):
        asked_together.look_up(scene, known)
    company = _company(case, scene, is_moving=at_rest is not None)
    found = [one for pin in case.pins for one in _judged(scene, pin, company)]
    for rule in _by_register(scene.rules)[1]:
        asked = case if at_rest is None or not waits_for_rest(rule.kind) else at_rest
        found.extend(CASE_CHECKS[rule.kind](rule, asked))
    order = _order(scene.rules)
    told = _without_echoes(scene, found)
    told.sort(key=lambda one: (_RANK[one.severity], not names_structure(one), order[one.rule]))
    return with_acceptances(tuple(told), case)


def check_only(case: Case, rule_ids: frozenset[str]) -> tuple[Finding, ...]:
    """What some rules alone find in a case, in the order of the rules; quick, without any advice.

    The same findings as `check` has of these rules; acceptances are not looked at. One that gives
    way to a rule that is not among them stands.
    """
    scene = scene_of(case)
    known = [pin for pin in case.pins if pin.bone in scene.limb.bones]
    asked = [rule for rule in scene.rules if rule.id in rule_ids]
    alone = sum(waits_for_rest(rule.kind) for rule in asked) == 1
    found: list[Finding] = []
    for rule in asked:
        if rule.kind in PIN_CHECKS:
            found += (one for pin in known for one in PIN_CHECKS[rule.kind](rule, scene, pin))
        elif alone and rule.kind in LEAN_CHECKS:
            found += LEAN_CHECKS[rule.kind](rule, case)
        else:
            found += CASE_CHECKS[rule.kind](rule, case)
    return tuple(_without_echoes(scene, found))


def judge_pin(case: Case, pin: Pin) -> tuple[Finding, ...]:
    """What is found about one pin by itself, whether or not it is in the case yet."""
    return plainly_judged(scene_of(case), pin)


def counts(findings: tuple[Finding, ...]) -> dict[Severity, int]:
    """How many findings of each severity are open; accepted ones are not counted."""
    return {
        severity: sum(one.severity == severity and one.accepted is None for one in findings)
        for severity in SEVERITIES
    }


def _judged(scene: Scene, pin: Pin, company: Company) -> tuple[Finding, ...]:
    """What is found about one pin in a scene, with the move that would clear it."""
    plain = plainly_judged(scene, pin)
    if not any(one.is_open for one in plain):
        return plain
    return advised(scene, pin, plain, plainly_judged, company, _turn(scene, pin))


@lru_cache(maxsize=4096)
def _turn(scene: Scene, pin: Pin) -> str:
    return turn_words(scene, pin, plainly_judged(scene, pin), plainly_judged)


def _company(case: Case, scene: Scene, *, is_moving: bool) -> Company:
    """What a pin is moved beside: other pins; the bars too, where nothing moves now."""
    if is_moving:
        return BesidePins(scene, case.pins)
    return InCase(case, _asked(scene.rules), check_only)


@lru_cache(maxsize=4)
def _asked(listed: tuple[Rule, ...]) -> frozenset[str]:
    return frozenset(rule.id for rule in listed if rule.kind in ASKED)


@lru_cache(maxsize=8192)
def plainly_judged(scene: Scene, pin: Pin) -> tuple[Finding, ...]:
    """What is found about one pin in a scene; nothing for a bone that the limb does not have."""
    if pin.bone not in scene.limb.bones:
        return ()
    found = [
        one
        for rule in _by_register(scene.rules)[0]
        for one in PIN_CHECKS[rule.kind](rule, scene, pin)
    ]
    return tuple(_without_echoes(scene, found))


@lru_cache(maxsize=4)
def _by_register(listed: tuple[Rule, ...]) -> tuple[tuple[Rule, ...], tuple[Rule, ...]]:
    for rule in listed:
        if rule.kind not in PIN_CHECKS and rule.kind not in CASE_CHECKS:
            raise LibraryError(f"rules.toml, {rule.id}: nothing checks a rule of kind {rule.kind}.")
    per_pin = tuple(rule for rule in listed if rule.kind in PIN_CHECKS)
    return per_pin, tuple(rule for rule in listed if rule.kind in CASE_CHECKS)


@lru_cache(maxsize=4)
def _order(listed: tuple[Rule, ...]) -> dict[str, int]:
    return {rule.id: place for place, rule in enumerate(listed)}


def names_structure(finding: Finding) -> bool:
    """Whether a finding is about a nerve, vessel or tendon: such are told first of a severity."""
    return any(one.startswith("hazard:") for one in finding.subjects)


def _without_echoes(scene: Scene, found: list[Finding]) -> list[Finding]:
    """One alarm where two rules say the same of the same subject."""
    listed = scene.rules_by_id
    if not any(listed[one.rule].gives_way_to for one in found):
        return found
    told: dict[tuple[str, str], list[Finding]] = {}
    for one in found:
        told.setdefault((one.rule, one.subjects[0]), []).append(one)
    return [
        one
        for one in found
        if not any(
            _says_the_same(listed[one.rule], other)
            for rule_id in listed[one.rule].gives_way_to
            for other in told.get((rule_id, one.subjects[0]), ())
        )
    ]


def _says_the_same(rule: Rule, other: Finding) -> bool:
    """Whether a finding that a rule gives way to speaks of the rule's own structures, if of any."""
    named = {one for one in other.subjects if one.startswith("hazard:")}
    return not rule.tracks or not named or any(f"hazard:{one}" in named for one in rule.tracks)
