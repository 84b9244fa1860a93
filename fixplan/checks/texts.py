"""Plain words for findings: numbers not to be mistaken for their limit, names, lists, places."""

from collections.abc import Sequence

from fixplan.case.records import Candidate, Pin
from fixplan.case.scalars import CandidateKind, Severity
from fixplan.checks.finding import Finding
from fixplan.checks.rules import Rule, cited, sources_behind

_DECIMALS = 2
_SETTLED = 0.005
_KIND_WORDS: dict[CandidateKind, str] = {
    "dual plate": "dual plates",
    "undecided": "fixation",
    "incision": "operation",
    "free outline": "fixation",
}


def number(value: float, decimals: int = 0) -> str:
    """A number for reading; never "-0"."""
    text = f"{value:.{decimals}f}"
    return text[1:] if text.startswith("-") and not text.strip("-0.") else text


def diameter_words(diameter_mm: float) -> str:
    """A diameter as it is asked for: "5", "4.5"."""
    return f"{round(diameter_mm, 1):g}"


def number_pair(measured: float, limit: float | None) -> tuple[str, str]:
    """Measured value and limit in words, with as many decimals as it takes to tell them apart."""
    if limit is None:
        return number(measured), ""
    for decimals in range(_DECIMALS + 1):
        first, second = number(measured, decimals), number(limit, decimals)
        if first != second:
            break
    if limit == round(limit):
        return first, number(limit)
    authored = limit == round(limit, _DECIMALS)
    return first, number(limit, 1 if authored else decimals)


def told_pair(measured: float, limit: float | None) -> tuple[str, str]:
    """As `number_pair`, but of what is under 1 to one decimal, as findings tell near structures."""
    first, second = number_pair(measured, limit)
    return (number(measured, 1), second) if 0 < abs(measured) < 1 else (first, second)


def pin_words(pin: Pin) -> str:
    """The pin's name on screen and paper."""
    return f"Pin {pin.number}"


def pins_words(pins: Sequence[Pin]) -> str:
    """Several pins by their numbers, runs drawn together: "Pins 1 to 4 and 7"."""
    return numbered_pins([pin.number for pin in pins])


def numbered_pins(numbers: Sequence[int]) -> str:
    """Pins of these numbers, runs drawn together: "Pins 1 to 4 and 7"."""
    runs: list[list[int]] = []
    for one in sorted(numbers):
        if runs and one == runs[-1][-1] + 1:
            runs[-1].append(one)
        else:
            runs.append([one])
    parts = [part for run in runs for part in _run_words(run)]
    return f"{'Pin' if len(numbers) == 1 else 'Pins'} {listed(parts)}"


def _run_words(run: list[int]) -> list[str]:
    return [f"{run[0]} to {run[-1]}"] if len(run) > 2 else [str(one) for one in run]


def listed(parts: Sequence[str], joint: str = "and") -> str:
    """Words in a row: "1, 2 and 5"."""
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} {joint} {parts[-1]}"


def candidate_words(candidate: Candidate) -> str:
    """A candidate's name in a sentence: its label, else its kind."""
    return candidate.label or _KIND_WORDS.get(candidate.kind, candidate.kind)


def note_words(note: str) -> str:
    """What the surgeon noted beside a drawn thing, as an addition: " (shin)"."""
    return f" ({note})" if note else ""


def beyond(rule: Rule, value: float) -> tuple[Severity, float] | None:
    """The worst severity whose limit the value passes, and that limit; None when it passes none.

    Values within a hundredth's rounding of a limit still keep it.
    """
    for severity, limit in rule.least_first:
        if value < limit - _SETTLED:
            return severity, limit
    for severity, limit in rule.greatest_first:
        if value > limit + _SETTLED:
            return severity, limit
    return None


def finding(
    rule: Rule,
    severity: Severity,
    subjects: tuple[str, ...],
    subject: str,
    text: str,
    *,
    measured: float | None = None,
    limit: float | None = None,
    advice: str = "",
    evidence: tuple[str, ...] = (),
    **words: str,
) -> Finding:
    """A finding with its message filled in and its evidence cited at the end.

    `evidence` are the ids that it rests on where these are not the rule's own. A measured value
    below 0 is told by the rule's text `inside`, if it has one, as how far it lies beyond.
    """
    ids = evidence or rule.evidence
    shown = number_pair(measured, limit) if measured is not None else ("", "")
    if measured is not None and measured < 0 and text is rule.text:
        text = rule.texts.get("inside", text)
        words.setdefault("inside", number_pair(-measured, 0.0)[0])
    message = text.format(measured=shown[0], limit=shown[1], **words)
    return Finding(
        rule=rule.id,
        severity=severity,
        subjects=subjects,
        subject=subject,
        message=f"{message} ({cited(ids)})",
        measured=measured,
        limit=limit,
        unit=rule.unit,
        evidence=ids,
        sources=sources_behind(ids),
        advice=advice,
    )


def pin_finding(
    rule: Rule,
    pin: Pin,
    severity: Severity,
    text: str,
    *,
    other: str | None = None,
    others: tuple[str, ...] = (),
    measured: float | None = None,
    limit: float | None = None,
    advice: str = "",
    evidence: tuple[str, ...] = (),
    **words: str,
) -> Finding:
    """A finding about one pin, perhaps against other drawn things or structures."""
    subjects = (pin.id, *others) if other is None else (pin.id, other, *others)
    return finding(
        rule,
        severity,
        subjects,
        pin_words(pin),
        text,
        measured=measured,
        limit=limit,
        advice=advice,
        evidence=evidence,
        pin=pin_words(pin),
        **words,
    )
