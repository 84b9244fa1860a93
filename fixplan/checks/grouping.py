"""The same finding at several pins, told once where findings are read.

For the eye alone: rules, acceptances, counts and `check --json` keep a finding a pin.
"""

from collections.abc import Iterable
from itertools import chain

from msgspec.structs import replace

from fixplan.case.scalars import Severity
from fixplan.checks.finding import SEVERITIES, Finding
from fixplan.checks.texts import numbered_pins

_ONE = "Pin "
_Key = tuple[object, ...]


def grouped(
    findings: Iterable[Finding], among: tuple[Severity, ...] = SEVERITIES
) -> tuple[Finding, ...]:
    """The findings, those that say the same of several pins as one, where the first stood.

    Such a finding is about all their things; its value is that of the first. `among`: severities
    that are told together.
    """
    alike: dict[_Key, list[Finding]] = {}
    for place, one in enumerate(findings):
        key = _key(one) if one.severity in among else None
        alike.setdefault(("alone", place) if key is None else key, []).append(one)
    return tuple(found[0] if len(found) == 1 else _joined(found) for found in alike.values())


def _number(finding: Finding) -> int | None:
    """The number of the one pin that a finding is about."""
    text = finding.subject.removeprefix(_ONE)
    return int(text) if finding.subject.startswith(_ONE) and text.isdigit() else None


def _said(finding: Finding) -> str:
    """What a finding says behind the name of its pin, which leads its message."""
    return finding.message.removeprefix(finding.subject)


def _key(finding: Finding) -> _Key | None:
    """What findings have in common that are told as one; None for one that stands alone."""
    said = _said(finding)
    if _number(finding) is None or said == finding.message or said[:1].isdigit():
        return None
    return (
        finding.rule,
        finding.severity,
        finding.subjects[1:],
        said,
        finding.advice,
        finding.accepted,
        finding.reopened,
    )


def _joined(found: list[Finding]) -> Finding:
    """One finding for several pins: "Pins 1 to 4: ...", or "Pins 1 to 4: each is ..."."""
    numbers = [number for number in map(_number, found) if number is not None]
    about, said = numbered_pins(numbers), _said(found[0])
    message = f"{about}{said}" if said.startswith(":") else f"{about}: each{said}"
    subjects = dict.fromkeys(chain.from_iterable(one.subjects for one in found))
    return replace(found[0], subjects=tuple(subjects), subject=about, message=message)
