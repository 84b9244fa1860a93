"""The build order step by step for a screen in theatre: what is there, what comes now, later."""

import re
from collections.abc import Iterator, Sequence
from itertools import zip_longest

import msgspec
from msgspec.structs import replace

from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.frame.order import build_order
from fixplan.sheet.box import Box
from fixplan.sheet.ink import FAINT_INK, PAPER, SEVERITY_INK
from fixplan.sheet.picture import draw_picture
from fixplan.sheet.shapes import AnyShape, Disc, Fill, Line, Polygon, Stroke, Text
from fixplan.sheet.statements import open_stops, stop_sentences
from fixplan.sheet.view_plan import drawn_of, pin_lengths

NOW_INK = "#1f5f9e"
NOW_MM = 1.0
PICTURE = (240.0, 275.0)
MARK_INKS = (PAPER, *(SEVERITY_INK[one] for one in ("stop", "caution", "note")))
"""Colours of a severity's mark, its letter and its word: these tell something and stay."""
LEFT_OUT = ("key", "legend")
_NAMED = re.compile(r"\b([Pp]in|[Bb]ar)s? ((?:\d+(?:, | and )?)+)")
Shapes = tuple[AnyShape, ...]


class Step(msgspec.Struct, frozen=True, kw_only=True):
    """One step: its number from 1, its words, the pins and bars named, and those it puts on."""

    number: int
    text: str
    subjects: tuple[str, ...]
    puts_on: tuple[str, ...] = ()


def steps_of(case: Case) -> tuple[Step, ...]:
    """The steps of the build order; empty without a frame."""
    return tuple(
        Step(
            number=number,
            text=one.text,
            subjects=tuple(_named(one.text)),
            puts_on=one.subjects,
        )
        for number, one in enumerate(build_order(case), start=1)
    )


def _named(text: str) -> Iterator[str]:
    """Ids of what a step names: a printed number is that of the id (D17)."""
    for word, numbers in _NAMED.findall(text):
        yield from (f"{word.lower()}-{number}" for number in re.findall(r"\d+", numbers))


def barred_at(case: Case, findings: Sequence[Finding], at: int) -> tuple[str, ...]:
    """The sheet's sentences for the open stops that bar a step, from 0; empty where none does."""
    told = stop_sentences(build_order(case), at, open_stops(findings))
    return tuple(sentence for sentence in told if sentence)


def stops_at(case: Case, findings: Sequence[Finding], at: int) -> tuple[str, ...]:
    """The messages of the open stops that bar a step, from 0; the first of each part lead."""
    order = build_order(case)
    told: dict[str, list[str]] = {}
    for one in findings:
        is_stop = one.severity == "stop" and one.is_open
        if is_stop and any(stop_sentences(order, at, (frozenset(one.subjects),))):
            told.setdefault(one.subject, []).append(one.message)
    rounds = zip_longest(*told.values())
    return tuple(message for turn in rounds for message in turn if message is not None)


def step_shapes(case: Case, findings: Sequence[Finding], step: int) -> Shapes:
    """The drawing at a step, from 0: its parts marked, later ones faint; within `PICTURE` mm."""
    steps = steps_of(case)
    ranks = _ranks(case, steps)
    box = Box(0.0, 0.0, *PICTURE)
    drawn = drawn_of(case, findings, pin_lengths(case))
    drawing = draw_picture(drawn, findings, box, Box(box.right, 0.0, 10.0, 20.0))
    found: list[AnyShape] = []
    for owner, shapes in drawing.groups.items():
        if owner not in LEFT_OUT:
            found += _at_step(shapes, _rank(ranks, owner), step)
    return tuple(found)


def _ranks(case: Case, steps: Sequence[Step]) -> dict[str, int]:
    """At which step each pin and bar first comes; those never named are there from the start."""
    ranks = {pin.id: 0 for pin in case.pins} | {bar.id: 0 for bar in case.bars}
    for place, step in reversed(list(enumerate(steps))):
        ranks.update({subject: place for subject in step.subjects if subject in ranks})
    return ranks


def _rank(ranks: dict[str, int], owner: str) -> int | None:
    """The step of a part, of its label, or of a clamp (that of its bar); None: always there."""
    own = owner.removeprefix("clamp:").partition("/")[0].partition(":")[0]
    return ranks.get(own)


def _at_step(shapes: Shapes, rank: int | None, step: int) -> Shapes:
    if rank is None or rank < step:
        return shapes
    if rank == step:
        return tuple(_marked(shape) for shape in shapes)
    return tuple(_faint(shape) for shape in shapes)


def _marked(shape: AnyShape) -> AnyShape:
    """A shape in the ink of what comes now; a severity's mark keeps its own."""
    if isinstance(shape, Text):
        mark = shape.colour in MARK_INKS
        return shape if mark else replace(shape, colour=NOW_INK, bold=True)
    if shape.stroke is not None and shape.stroke.colour in MARK_INKS:
        return shape
    if isinstance(shape, Line):
        return replace(shape, stroke=replace(shape.stroke, colour=NOW_INK))
    width = NOW_MM if shape.stroke is not None else 0.0
    return replace(shape, stroke=Stroke(NOW_INK, width)) if width else shape


def _faint(shape: AnyShape) -> AnyShape:
    if isinstance(shape, Text):
        return replace(shape, colour=FAINT_INK)
    if isinstance(shape, Line):
        return replace(shape, stroke=replace(shape.stroke, colour=FAINT_INK))
    if isinstance(shape, Polygon | Disc):
        stroke = None if shape.stroke is None else replace(shape.stroke, colour=FAINT_INK)
        fill = None if shape.fill is None else Fill(PAPER)
        return replace(shape, stroke=stroke, fill=fill)
    return shape
