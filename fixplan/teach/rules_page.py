"""The page "Rules and sources", and the answer to "Why?", as HTML; made from resources/ alone."""

from collections.abc import Iterable, Iterator
from html import escape

from fixplan import __version__
from fixplan.checks.finding import Finding
from fixplan.checks.rules import rule_by_id, rule_set_version
from fixplan.checks.texts import told_pair
from fixplan.teach.reasons import Ground, RuleEntry, entry_of, found_grounds, rule_entries

STYLE = (
    "body{font-family:sans-serif;color:#1f2933;max-width:60em;margin:2em auto;line-height:1.4}"
    "h3{border-top:1px solid #c3cad2;padding-top:.8em}"
    ".soft{color:#52606d}li{margin-bottom:.4em}code{color:#52606d}"
)
OTHER_NUMBERS = "Numbers behind clocks, drugs, kit and the frame's model"
NOT_PROOF = (
    "A planning and teaching aid on a schematic limb, not a medical device. "
    "Numbers marked as convention or as from memory are to be checked before anyone leans on them."
)


def whole_page(entries: Iterable[RuleEntry] | None = None) -> str:
    """All rules and other numbers as a page of its own, for a browser."""
    listed = tuple(rule_entries() if entries is None else entries)
    contents = "".join(
        f'<li><a href="#{escape(one.rule.id)}">{escape(one.name)}</a></li>' for one in listed
    )
    contents += f'<li><a href="#other-numbers">{OTHER_NUMBERS}</a></li>'
    return (
        '<!DOCTYPE html><html lang="en"><head><meta charset="utf-8">'
        f"<title>Rules and sources</title><style>{STYLE}</style></head><body>"
        f"<h1>Rules and sources</h1><p class='soft'>fixplan {__version__}, rule set "
        f"{rule_set_version()}. {NOT_PROOF}</p><ol>{contents}</ol>"
        f"{''.join(entry_html(one) for one in listed)}"
        f"{grounds_html(found_grounds(''))}</body></html>\n"
    )


def grounds_html(listed: Iterable[Ground]) -> str:
    """What rests behind no rule, as a list; empty for none."""
    rows = "".join(f"<li>{''.join(_ground(one))}</li>" for one in listed)
    return f'<h2 id="other-numbers">{OTHER_NUMBERS}</h2><ul>{rows}</ul>' if rows else ""


def entry_html(entry: RuleEntry) -> str:
    """One rule: what it protects, its limits, what it rests on, who disagrees."""
    limits = "; ".join(escape(one) for one in entry.limits)
    return (
        f'<h3><a name="{escape(entry.rule.id)}" id="{escape(entry.rule.id)}"></a>'
        f"{escape(entry.name)}</h3><p>{escape(entry.rule.why)}</p>"
        f"<p><b>What it says:</b> it is {limits}.</p>{_grounds_html(entry)}"
        f"<p><code>{escape(entry.rule.id)}</code></p>"
    )


def why_html(finding: Finding, picture: str = "") -> str:
    """Why there is this finding; `picture` is the HTML of the diagram, if there is one."""
    rule = rule_by_id(finding.rule)
    heading = f"{finding.severity.capitalize()}: {finding.subject}"
    parts = [f"<h2>{escape(heading)}</h2><p>{escape(finding.message)}.</p>", picture]
    if rule is None:
        return "".join((*parts, f"<p>Rule <code>{escape(finding.rule)}</code>.</p>"))
    entry = entry_of(rule, finding.evidence)
    limits = "; ".join(escape(one) for one in entry.limits)
    parts += [
        f"<p><b>What it protects.</b> {escape(rule.why)}</p>",
        f"<p><b>The number.</b> {_number_words(finding)}It is {limits}.</p>",
        _grounds_html(entry),
        f"<p class='soft'>Rule <code>{escape(rule.id)}</code>, rule set {rule_set_version()}.</p>",
    ]
    return "".join(parts)


def _number_words(finding: Finding) -> str:
    if finding.measured is None:
        return ""
    unit = f" {escape(finding.unit)}" if finding.unit else ""
    shown, bound = told_pair(finding.measured, finding.limit)
    limit = "" if finding.limit is None else f", limit {bound}{unit}"
    return f"Measured {shown}{unit}{limit}. "


def _grounds_html(entry: RuleEntry) -> str:
    grounds = "".join(f"<li>{''.join(_ground(one))}</li>" for one in entry.grounds)
    text = f"<p><b>Rests on</b></p><ul>{grounds}</ul>"
    if entry.disputes:
        told = "".join(
            f"<li><b>{escape(one.topic)}.</b> {escape(one.says)} "
            f"<i>Here: {escape(one.kept)}</i></li>"
            for one in entry.disputes
        )
        text += f"<p><b>Where sources disagree</b></p><ul>{told}</ul>"
    return text


def _ground(ground: Ground) -> Iterator[str]:
    one = ground.evidence
    yield f"{escape(one.id)}: {escape(one.says)} <b>{escape(one.value)}</b>. "
    yield f"Strength: {escape(ground.strength)}. Value {escape(one.status)}."
    if one.note:
        yield f" {escape(one.note)}"
    for work in ground.works:
        said = ", ".join(
            escape(str(part)) for part in (work.authors, work.title, work.where, work.year) if part
        )
        link = f' <a href="{escape(work.link)}">{escape(work.link)}</a>' if work.link else ""
        yield f"<br><span class='soft'>{said} ({escape(work.level)}).{link}</span>"
