"""Why a rule is there, in records: what it protects, its limits, what it rests on, who disagrees.

Read from resources/ when somebody asks; no check needs it.
"""

from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

import msgspec

from fixplan.checks.rules import Evidence, Rule, Sector, Source, evidence, publications, rules
from fixplan.limb.library import load_toml
from fixplan.teach.rule_words import case_words, rule_words

STRENGTH_WORDS = {
    "strong": "strong: a trial, a large cohort or repeated agreement",
    "moderate": "moderate: several cadaver or cohort studies",
    "weak": "weak: one small study, or studies that conflict",
    "convention": "convention: habit or the opinion of experts",
    "guideline": "guideline: the advice of a body, its studies not read",
    "disputed": "disputed: studies disagree",
}


class Dispute(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Where sources disagree, and what the program does about it."""

    topic: str
    evidence: tuple[str, ...]
    says: str
    kept: str


class DisputeFile(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What resources/disputes.toml holds."""

    schema: int
    dispute: tuple[Dispute, ...]


class Ground(NamedTuple):
    """A piece of evidence with the publications behind it."""

    evidence: Evidence
    works: tuple[Source, ...]

    @property
    def strength(self) -> str:
        """How strong it is, in words."""
        return STRENGTH_WORDS.get(self.evidence.strength, self.evidence.strength)


class RuleEntry(NamedTuple):
    """A rule as it is explained: a short name, its limits in words, grounds and disputes."""

    rule: Rule
    name: str
    limits: tuple[str, ...]
    grounds: tuple[Ground, ...]
    disputes: tuple[Dispute, ...]

    @property
    def searched(self) -> str:
        """All of its words, in small letters, for a search."""
        disputes = ((one.topic, one.says, one.kept) for one in self.disputes)
        rule = (self.name, self.rule.id, self.rule.why, *self.limits)
        words = [word for part in (rule, *disputes) for word in part]
        return " ".join((*words, *map(_searched, self.grounds))).lower()


def _of(ground: Ground) -> Iterator[str]:
    for work in ground.works:
        yield f"{work.authors} {work.title} {work.where} {work.year or ''} {work.level}"


def rule_entries() -> tuple[RuleEntry, ...]:
    """Every rule, in the order of the list. Raises LibraryError."""
    return _entries(rules())


@lru_cache(maxsize=2)
def _entries(listed: tuple[Rule, ...]) -> tuple[RuleEntry, ...]:
    return tuple(entry_of(rule) for rule in listed)


def entry_of(rule: Rule, ids: tuple[str, ...] = ()) -> RuleEntry:
    """A rule explained; `ids` are the evidence of one finding, where not the rule's own."""
    named = ids or rule.all_evidence
    return RuleEntry(rule, rule_words(rule), limit_words(rule), grounds(named), disputes(named))


def grounds(ids: tuple[str, ...]) -> tuple[Ground, ...]:
    """Evidence with its publications. Raises LibraryError."""
    known, works = evidence(), publications()
    return tuple(
        Ground(one, tuple(works[name] for name in one.sources if name in works))
        for one in (known[name] for name in ids if name in known)
    )


def disputes(ids: tuple[str, ...]) -> tuple[Dispute, ...]:
    """Where sources disagree about any of some evidence. Raises LibraryError."""
    listed = load_toml("disputes.toml", DisputeFile).dispute
    return tuple(one for one in listed if set(one.evidence) & set(ids))


def found_entries(words: str) -> tuple[RuleEntry, ...]:
    """The rules that hold every word that was typed; all of them for none."""
    typed = words.lower().split()
    return tuple(entry for entry in rule_entries() if all(word in entry.searched for word in typed))


def found_grounds(words: str) -> tuple[Ground, ...]:
    """Evidence behind no rule (clocks, drugs, kit, the frame's model) with every word typed."""
    typed = words.lower().split()
    return tuple(one for one in _other_grounds() if all(word in _searched(one) for word in typed))


@lru_cache(maxsize=1)
def _other_grounds() -> tuple[Ground, ...]:
    behind = {name for rule in rules() for name in rule.all_evidence}
    return grounds(tuple(name for name in evidence() if name not in behind))


def _searched(ground: Ground) -> str:
    one = ground.evidence
    return " ".join((one.id, one.says, one.value, one.cite, one.note, *_of(ground))).lower()


def limit_words(rule: Rule) -> tuple[str, ...]:
    """The rule's limits in words, which follow "it is": "a stop under 5 mm"."""
    unit = f" {rule.unit}" if rule.unit else ""
    lines = [f"{_a(severity)} under {limit:g}{unit}" for severity, limit in rule.below.items()]
    lines += [f"{_a(severity)} over {limit:g}{unit}" for severity, limit in rule.above.items()]
    lines += [
        f"{said} ({one.name})" for one in rule.sectors if (said := ", ".join(_sector(one, unit)))
    ]
    lines = lines or [_a(rule.severity)]
    lines += [
        f"{_a(severity)} {case_words(rule.id, name)}" for name, severity in rule.severities.items()
    ]
    return tuple(lines)


def _sector(sector: Sector, unit: str) -> Iterator[str]:
    for severity, limit in (("stop", sector.stop), ("caution", sector.caution)):
        if limit is not None:
            yield f"{_a(severity)} under {limit:g}{unit}"


def _a(severity: str) -> str:
    """A severity within a sentence: "a stop"."""
    return severity if severity == "not assessed" else f"a {severity}"
