"""Severity marks, numbered balloons and arrows. A mark is shape, word and colour at once."""

from functools import lru_cache
from math import cos, pi, sin

from fixplan.case.scalars import Severity
from fixplan.sheet.fonts import text_width_mm
from fixplan.sheet.ink import INK, LABEL_LAYER, PAPER, SEVERITY_INK
from fixplan.sheet.shapes import AnyShape, Disc, Fill, Point, Polygon, Stroke, Text

CAPITAL = 0.73
"""Height of a capital as a share of the text size (DejaVu Sans)."""


def _regular(centre: Point, radius_mm: float, corners: int, turn: float) -> tuple[Point, ...]:
    """A regular polygon, its first corner `turn` radians from straight up."""
    steps = [turn + 2 * pi * k / corners for k in range(corners)]
    return tuple(
        (centre[0] + radius_mm * sin(step), centre[1] - radius_mm * cos(step)) for step in steps
    )


def _letter(owner: str, at: Point, text: str, size_mm: float, colour: str) -> Text:
    """A bold letter centred on a point."""
    return Text(
        owner=owner,
        layer=LABEL_LAYER,
        at=(at[0], at[1] + 0.5 * CAPITAL * size_mm),
        text=text,
        size_mm=size_mm,
        bold=True,
        colour=colour,
        align="centre",
    )


@lru_cache(maxsize=2048)
def severity_mark(
    owner: str, severity: Severity, centre: Point, radius_mm: float, is_open: bool = True
) -> tuple[AnyShape, ...]:
    """Octagon for a stop, triangle caution, disc note, dashed square not assessed.

    An accepted finding's mark is hollow. `radius_mm` is half the mark's height.
    """
    colour = SEVERITY_INK[severity]
    x, y = centre
    letter = round(1.3 * radius_mm, 1)
    stroke = Stroke(colour, 0.35)
    hollow = Fill(PAPER)
    if severity == "stop":
        fill = Fill(colour) if is_open else hollow
        points = _regular(centre, 1.08 * radius_mm, 8, pi / 8)
        ink = PAPER if is_open else colour
        shape: AnyShape = Polygon(
            owner=owner, layer=LABEL_LAYER, points=points, stroke=stroke, fill=fill
        )
        return (shape, _letter(owner, centre, "!", letter, ink))
    if severity == "caution":
        points = _regular((x, y + 0.22 * radius_mm), 1.22 * radius_mm, 3, 0.0)
        shape = Polygon(owner=owner, layer=LABEL_LAYER, points=points, stroke=stroke, fill=hollow)
        return (shape, _letter(owner, (x, y + 0.25 * radius_mm), "!", letter, colour))
    if severity == "note":
        shape = Disc(
            owner=owner,
            layer=LABEL_LAYER,
            centre=centre,
            radius_mm=radius_mm,
            stroke=stroke,
            fill=hollow,
        )
        return (shape, _letter(owner, centre, "i", letter, colour))
    half = 0.9 * radius_mm
    square = (
        (x - half, y - half),
        (x + half, y - half),
        (x + half, y + half),
        (x - half, y + half),
    )
    shape = Polygon(
        owner=owner,
        layer=LABEL_LAYER,
        points=square,
        stroke=Stroke(colour, 0.3, "dot"),
        fill=hollow,
    )
    return (shape, _letter(owner, centre, "?", letter, colour))


BALLOON_RADIUS_MM = 3.8


@lru_cache(maxsize=1024)
def balloon(
    owner: str, number: int, centre: Point, radius_mm: float = BALLOON_RADIUS_MM
) -> tuple[AnyShape, ...]:
    """A pin's number in a ring."""
    size_mm = round(max({1: 1.35, 2: 1.15}.get(len(str(number)), 0.8) * radius_mm, 2.6), 1)
    ring = Disc(
        owner=owner,
        layer=LABEL_LAYER,
        centre=centre,
        radius_mm=radius_mm,
        stroke=Stroke(INK, 0.35),
        fill=Fill(PAPER),
    )
    return (ring, _letter(owner, centre, str(number), size_mm, INK))


def arrow_head(owner: str, tip: Point, towards: Point, layer: int = LABEL_LAYER) -> Polygon:
    """A slim filled arrow head at `tip`, its body lying towards a point."""
    dx, dy = towards[0] - tip[0], towards[1] - tip[1]
    size = (dx * dx + dy * dy) ** 0.5 or 1.0
    dx, dy = dx / size, dy / size
    base = (tip[0] + 2.2 * dx, tip[1] + 2.2 * dy)
    points = (
        tip,
        (base[0] - 0.5 * dy, base[1] + 0.5 * dx),
        (base[0] + 0.5 * dy, base[1] - 0.5 * dx),
    )
    return Polygon(owner=owner, layer=layer, points=points, stroke=None, fill=Fill(INK))


def plated_text(
    owner: str,
    at: Point,
    text: str,
    size_mm: float = 2.6,
    colour: str = INK,
    align: str = "left",
    bold: bool = False,
) -> tuple[AnyShape, ...]:
    """A text on a white plate, so that lines beneath do not run through it."""
    width = text_width_mm(text, size_mm, bold)
    left = at[0] - {"left": 0.0, "centre": 0.5, "right": 1.0}[align] * width
    top, bottom = at[1] - 0.8 * size_mm, at[1] + 0.25 * size_mm
    plate = Polygon(
        owner=owner,
        layer=LABEL_LAYER,
        points=(
            (left - 0.4, top),
            (left + width + 0.4, top),
            (left + width + 0.4, bottom),
            (left - 0.4, bottom),
        ),
        stroke=None,
        fill=Fill(PAPER),
    )
    label = Text(
        owner=owner,
        layer=LABEL_LAYER,
        at=(left, at[1]),
        text=text,
        size_mm=size_mm,
        bold=bold,
        colour=colour,
    )
    return (plate, label)
