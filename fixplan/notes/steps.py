"""The build order step by step for a screen in theatre: what is there, what comes now, later."""

import re
from collections.abc import Iterator, Sequence

import msgspec
from msgspec.structs import replace

from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.frame.order import order_lines
from fixplan.sheet.box import Box
from fixplan.sheet.ink import FAINT_INK, PAPER
from fixplan.sheet.picture import draw_picture
from fixplan.sheet.shapes import AnyShape, Disc, Fill, Line, Polygon, Stroke, Text
from fixplan.sheet.view_plan import drawn_of, pin_lengths

NOW_INK = "#1f5f9e"
NOW_MM = 1.0
PICTURE = (240.0, 275.0)
LEFT_OUT = ("key", "legend")
_NAMED = re.compile(r"\b([Pp]in|[Bb]ar)s? ((?:\d+(?:, | and )?)+)")
Shapes = tuple[AnyShape, ...]


class Step(msgspec.Struct, frozen=True, kw_only=True):
    """One step: its number from 1, its words, and the pins and bars that they name."""

    number: int
    text: str
    subjects: tuple[str, ...]


def steps_of(case: Case) -> tuple[Step, ...]:
    """The steps of the build order; empty without a frame."""
    return tuple(
        Step(number=number, text=text, subjects=tuple(_named(text)))
        for number, text in enumerate(order_lines(case), start=1)
    )


def _named(text: str) -> Iterator[str]:
    """Ids of what a step names: a printed number is that of the id (D17)."""
    for word, numbers in _NAMED.findall(text):
        yield from (f"{word.lower()}-{number}" for number in re.findall(r"\d+", numbers))


def stops_at(step: Step, findings: Sequence[Finding]) -> tuple[str, ...]:
    """Open stops about what the step places, in words: to be settled before it."""
    return tuple(
        one.message
        for one in findings
        if one.severity == "stop" and one.is_open and one.subjects[0] in step.subjects
    )


def step_shapes(case: Case, findings: Sequence[Finding], step: int) -> Shapes:
    """The drawing at a step, from 0: its parts marked, later ones faint; within `PICTURE` mm."""
    steps = steps_of(case)
    ranks = _ranks(case, steps)
    box = Box(0.0, 0.0, *PICTURE)
    drawn = drawn_of(case, findings, pin_lengths(case))
    drawing = draw_picture(drawn, findings, box, Box(0.0, 0.0, 10.0, 20.0))
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
    if isinstance(shape, Text):
        return replace(shape, colour=NOW_INK, bold=True)
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
