"""A rule in a few words, for lists of rules and for the parts of a mark."""

from functools import lru_cache

import msgspec

from fixplan.checks.rules import Rule
from fixplan.limb.library import load_toml


class RuleNames(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What resources/rule_names.toml holds."""

    schema: int
    names: dict[str, str]
    cases: dict[str, str]
    cases_of: dict[str, dict[str, str]]


@lru_cache(maxsize=1024)
def rule_words(rule: Rule) -> str:
    """A short name: the listed one, else the id in words. Raises LibraryError."""
    listed = load_toml("rule_names.toml", RuleNames).names.get(rule.id)
    if listed is not None:
        return listed
    words = rule.id.removeprefix("rule.").replace(".", ", ").replace("-", " ")
    return words[:1].upper() + words[1:]


def case_words(rule_id: str, name: str) -> str:
    """When a severity of a rule holds: "with an open approach". Raises LibraryError."""
    listed = load_toml("rule_names.toml", RuleNames)
    words = listed.cases_of.get(rule_id, {}).get(name) or listed.cases.get(name)
    return words or f"if {name.replace('-', ' ').replace('_', ' ')}"
