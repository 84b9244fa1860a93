"""The display list: what is drawn, as records in page millimetres (x right, y down).

Solid tints, hatches and opaque pictures only, no alpha (a PDF/A drops it). `owner` is the id of
what the shape belongs to (`pin-3`, `injury-1`, `page`), `layer` orders drawing: small numbers lie
below.
"""

from typing import Literal

import msgspec

Point = tuple[float, float]
Hatch = Literal["none", "right", "left", "cross", "dots", "sparse"]
Dash = Literal["solid", "dash", "dot", "dash-dot", "dash-dot-dot"]
Align = Literal["left", "centre", "right"]


class Stroke(msgspec.Struct, frozen=True, gc=False):
    """A line's look; `colour` is '#rrggbb', `width_mm` on paper."""

    colour: str = "#1f2933"
    width_mm: float = 0.25
    dash: Dash = "solid"


class Fill(msgspec.Struct, frozen=True, gc=False):
    """A solid tint, a hatch in `colour` over it, or both."""

    tint: str | None = None
    hatch: Hatch = "none"
    colour: str = "#1f2933"
    spacing_mm: float = 1.6


class Shape(msgspec.Struct, frozen=True, kw_only=True, gc=False):
    """What all shapes carry."""

    owner: str
    layer: int = 0


class Line(Shape, frozen=True, kw_only=True, gc=False, tag="line"):
    """An open polyline."""

    points: tuple[Point, ...]
    stroke: Stroke = Stroke()


class Polygon(Shape, frozen=True, kw_only=True, gc=False, tag="polygon"):
    """A closed outline, with optional holes (even-odd)."""

    points: tuple[Point, ...]
    holes: tuple[tuple[Point, ...], ...] = ()
    stroke: Stroke | None = Stroke()
    fill: Fill | None = None


class Disc(Shape, frozen=True, kw_only=True, gc=False, tag="disc"):
    """A circle."""

    centre: Point
    radius_mm: float
    stroke: Stroke | None = Stroke()
    fill: Fill | None = None


class Text(Shape, frozen=True, kw_only=True, gc=False, tag="text"):
    """One line of text; `at` is its baseline point, `size_mm` the height of a capital's em."""

    at: Point
    text: str
    size_mm: float = 3.0
    bold: bool = False
    italic: bool = False
    colour: str = "#1f2933"
    align: Align = "left"
    turn_deg: float = 0.0


AnyShape = Line | Polygon | Disc | Text


class Picture(Shape, frozen=True, kw_only=True, gc=False, tag="picture"):
    """A picture without transparency: rows of red, green and blue, fitted to a box on the page."""

    at: Point
    size_mm: tuple[float, float]
    width_px: int
    height_px: int
    rgb: bytes


Printed = AnyShape | Picture
"""What a page is painted from: its shapes, and pictures that were chosen for it."""
