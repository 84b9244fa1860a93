"""A mark as HTML: the sum, each part with reason, number, source and what to try, all tries."""

from collections.abc import Iterator
from html import escape

from fixplan.teach.feedback import Feedback, Told
from fixplan.teach.marks import Mark
from fixplan.teach.reasons import grounds
from fixplan.teach.records import Exercise

WHY_LINK = "why:"
LEGEND = (
    "Your answer; dashed over it the teacher's frame and what was hidden. "
    "Any frame that keeps the rules has full points, whether or not it looks like that one."
)


def mark_html(exercise: Exercise, found: Feedback, picture: str = "") -> str:
    """The page; `picture` is the HTML of answer and teacher's answer. Links `why:<number>` lead on.

    The number counts the parts from 0.
    """
    rows = "".join(_row(number, one) for number, one in _most_lost_first(found))
    earlier = "".join(f"<th>Try {n}</th>" for n, _ in enumerate(found.marks, 1))
    return (
        f"<h2>{escape(exercise.title)}: {found.last.percent:.1f} %, {_verdict(found.last)}</h2>"
        f"{''.join(f'<p>{escape(line)}</p>' for line in _lines(exercise, found))}"
        f"{picture}{f'<p>{LEGEND}</p>' if picture else ''}"
        f'<table cellspacing="0" cellpadding="5" border="1" style="border-color:#c3cad2" '
        f'width="100%"><tr><th align="left">What counts</th><th>Points</th>{earlier}'
        f'<th align="left">Why, and what to try</th></tr>{rows}</table>'
    )


def _most_lost_first(found: Feedback) -> list[tuple[int, Told]]:
    """The parts with their numbers, those that cost most points first."""
    return sorted(enumerate(found.told), key=lambda one: one[1].part.points - one[1].part.weight)


def _verdict(mark: Mark) -> str:
    return "passes" if mark.passes else "does not pass yet"


def _lines(exercise: Exercise, found: Feedback) -> Iterator[str]:
    if len(found.marks) > 1:
        told = ", ".join(f"try {n}: {one.percent:.1f} %" for n, one in enumerate(found.marks, 1))
        yield f"{told[:1].upper()}{told[1:]}."
    yield f"It passes from {exercise.pass_percent:g} % up."
    if found.last.complete < 1:
        yield f"{100 * found.last.complete:.0f} % of the needed pins are there."
    yield from found.last.remarks


def _row(number: int, one: Told) -> str:
    part = one.part
    shares = "".join(
        f'<td align="center">{100 * credit:.0f} %</td>' for credit in (*one.earlier, part.credit)
    )
    told = " ".join(_told(number, one))
    points = f"{part.points:.1f} of {part.weight:g}"
    return (
        f'<tr><td>{_mark(one)}{escape(part.words)}</td><td align="center">{points}</td>'
        f"{shares}<td>{told}</td></tr>"
    )


def _mark(one: Told) -> str:
    if one.part.is_kept:
        return ""
    severity = one.part.severity
    return f"<b>{escape(severity.capitalize() if severity else 'Missed')}:</b> "


def _told(number: int, one: Told) -> Iterator[str]:
    """Reason, number against limit, sources, what to try."""
    part = one.part
    yield escape(part.reason)
    if part.kind in ("rule", "region") and part.measured is not None and part.limit is not None:
        unit = f" {escape(part.unit)}" if part.unit else ""
        yield f"<br>Measured {part.measured:.1f}{unit}, limit {part.limit:g}{unit}."
    cites = "; ".join(
        f"{escape(ground.evidence.id)} {escape(ground.evidence.cite)} ({escape(ground.strength)})"
        for ground in grounds(part.sources)
    )
    if cites and not part.is_kept:
        yield f'<br><span style="color:#52606d">{cites}.</span>'
    if one.advice:
        yield f"<br><b>Try:</b> {escape(one.advice)}"
    if one.finding is not None:
        yield f'<br><a href="{WHY_LINK}{number}">Why?</a>'
