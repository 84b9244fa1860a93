"""What a control of the desk is for, as HTML: in words, then the rules that look at it."""

from collections.abc import Iterable
from html import escape

import msgspec

from fixplan.checks.rules import rule_by_id
from fixplan.limb.library import load_toml
from fixplan.teach.reasons import Ground, grounds
from fixplan.teach.rule_words import rule_words

FILE = "help/control_why.toml"


class ControlWhy(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One entry: the names of controls, what they are for, rules that look at them."""

    names: tuple[str, ...]
    says: str
    rules: tuple[str, ...]
    evidence: tuple[str, ...] = ()


class ControlFile(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What resources/help/control_why.toml holds."""

    schema: int
    control: tuple[ControlWhy, ...]


def controls() -> tuple[ControlWhy, ...]:
    """All entries. Raises LibraryError."""
    return load_toml(FILE, ControlFile).control


def control_html(names: Iterable[str], tip: str = "") -> str:
    """Why a control is there, by any of its names; its tip where it has no entry, else empty."""
    wanted = {plain(name) for name in names if name}
    found = next((one for one in controls() if wanted & set(map(plain, one.names))), None)
    if found is None:
        return f"<p>{escape(tip)}</p>" if tip else ""
    lines = [f"<p>{escape(found.says)}</p>"]
    for name in found.rules:
        rule = rule_by_id(name)
        if rule is not None:
            told = "; ".join(map(_ground_words, grounds(rule.evidence[:1])))
            lines.append(f"<p><b>{escape(rule_words(rule))}.</b> {escape(rule.why)} {told}</p>")
    lines += [f"<p>{_ground_words(one)}</p>" for one in grounds(found.evidence)]
    return "".join(lines)


def plain(words: str) -> str:
    """Words of a control without its key and dots, in small letters."""
    return words.replace("&", "").removesuffix("…").strip().lower()


def _ground_words(ground: Ground) -> str:
    one = ground.evidence
    return (
        f"<i>{escape(one.id)}: {escape(one.value)} ({escape(one.cite)}; {escape(one.strength)})</i>"
    )
