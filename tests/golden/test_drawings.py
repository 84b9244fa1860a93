"""What is drawn, against drawings that a person has looked at.

The display list as text, rounded to 0.01 mm, is the main gate; a few pictures stand beside it. To
accept a change after looking at it: `FIXPLAN_DRAW_ANEW=1 pytest tests/golden`, then read the
difference in git. On failure the actual drawing is left beside the expected one, ending in
`.actual`. Title block, findings and firmness are left out: they
change with every rule.
"""

import os
import re
from itertools import zip_longest
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtGui import QImage

from fixplan.case.file import read_case
from fixplan.sheet import paint
from fixplan.sheet.pages import Page, compose
from fixplan.sheet.shapes import AnyShape, Disc, Fill, Line, Polygon, Stroke

HERE = Path(__file__).parent
EXPECTED = HERE / "expected"
NAMES = (
    "tibia-right",
    "femur-left",
    "knee-right",
    "ankle-left",
    "humerus-right",
    "wrist-right",
    "hand-left",
    "pelvis-both",
)
LEFT_OUT = ("title-block",)
AS_EXTENT = ("limb", "key")
DRAW_ANEW = bool(os.environ.get("FIXPLAN_DRAW_ANEW"))
NEAR_MM = 0.015
DPI = 60.0
NUMBER = re.compile(r"-?\d+\.\d\d")


def _points(points: tuple[tuple[float, float], ...]) -> str:
    return " ".join(f"{x:.2f},{y:.2f}" for x, y in points)


def _look(stroke: Stroke | None, fill: Fill | None = None) -> str:
    line = "no line" if stroke is None else f"{stroke.colour} {stroke.width_mm:g} {stroke.dash}"
    if fill is None:
        return line
    return f"{line} / {fill.tint or 'clear'} {fill.hatch} {fill.colour} {fill.spacing_mm:g}"


def _told(shape: AnyShape) -> str:
    if isinstance(shape, Line):
        return f"line {_points(shape.points)} | {_look(shape.stroke)}"
    if isinstance(shape, Polygon):
        rings = " o ".join(_points(ring) for ring in (shape.points, *shape.holes))
        return f"polygon {rings} | {_look(shape.stroke, shape.fill)}"
    if isinstance(shape, Disc):
        look = _look(shape.stroke, shape.fill)
        return f"disc {_points((shape.centre,))} r {shape.radius_mm:.2f} | {look}"
    style = " ".join(word for word in ("bold", "italic") if getattr(shape, word))
    turned = f" turned {shape.turn_deg:g}" if shape.turn_deg else ""
    return (
        f"text {_points((shape.at,))} {shape.align} {shape.size_mm:g} {style} "
        f"{shape.colour}{turned} | {shape.text}"
    )


def _extent(shapes: tuple[AnyShape, ...]) -> list[str]:
    """A group that is the limb's own data: how many shapes, and from where to where."""
    points = [p for s in shapes if isinstance(s, Line | Polygon) for p in s.points]
    corners = (
        tuple(map(min, zip(*points, strict=True))),
        tuple(map(max, zip(*points, strict=True))),
    )
    return [f"{len(shapes)} shapes {_points(corners)}"]


def _drawn(name: str, paper: str) -> tuple[Page, ...]:
    case = read_case(HERE / "cases" / f"{name}.json")
    pages = compose(case, (), paper, hold=())
    return tuple(
        Page(
            page.width_mm,
            page.height_mm,
            {owner: group for owner, group in page.groups.items() if owner not in LEFT_OUT},
            page.views,
        )
        for page in pages
    )


def _as_text(pages: tuple[Page, ...]) -> str:
    lines = []
    for number, page in enumerate(pages, 1):
        lines.append(f"page {number}: {page.width_mm:.2f} x {page.height_mm:.2f}")
        for owner, shapes in page.groups.items():
            lines.append(f"[{owner}]")
            lines += _extent(shapes) if owner in AS_EXTENT else [_told(s) for s in shapes]
    return "\n".join(lines) + "\n"


def _differences(expected: str, actual: str) -> list[str]:
    """Lines that differ in more than the last figure of a number."""
    found = []
    for one, other in zip_longest(expected.splitlines(), actual.splitlines(), fillvalue=""):
        if one == other:
            continue
        numbers = [float(x) for x in NUMBER.findall(one)], [float(x) for x in NUMBER.findall(other)]
        alike = NUMBER.sub("#", one) == NUMBER.sub("#", other)
        if not alike or any(abs(a - b) > NEAR_MM for a, b in zip(*numbers, strict=True)):
            found.append(f"expected: {one[:200]}\n  actual: {other[:200]}")
    return found


@pytest.mark.parametrize("paper", ["A3", "A4"])
@pytest.mark.parametrize("name", NAMES)
def test_the_display_list_is_as_expected(name: str, paper: str) -> None:
    actual = _as_text(_drawn(name, paper))
    path = EXPECTED / f"{name}-{paper}.txt"
    if DRAW_ANEW:
        path.write_text(actual, encoding="utf-8")
    expected = path.read_text(encoding="utf-8")
    differences = _differences(expected, actual)
    if differences:
        path.with_suffix(".txt.actual").write_text(actual, encoding="utf-8")
    assert differences[:5] == []


def _pixels(image: QImage) -> np.ndarray:
    grey = image.convertToFormat(QImage.Format.Format_RGB888)
    rows = np.frombuffer(grey.constBits(), np.uint8).reshape(grey.height(), grey.bytesPerLine())
    return rows[:, : 3 * grey.width()].reshape(grey.height(), grey.width(), 3).astype(int)


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize(
    ("name", "paper"), [("tibia-right", "A3"), ("femur-left", "A4"), ("knee-right", "A4")]
)
def test_the_picture_is_as_expected(name: str, paper: str) -> None:
    image = paint.page_image(_drawn(name, paper)[0], DPI)
    path = EXPECTED / f"{name}-{paper}.png"
    if DRAW_ANEW:
        image.save(str(path))
    expected, actual = _pixels(QImage(str(path))), _pixels(image)
    assert expected.shape == actual.shape
    difference = np.abs(expected - actual).max(axis=2)
    if difference.mean() >= 1 or (difference > 32).mean() >= 0.005:
        image.save(str(path.with_suffix(".actual.png")))
    assert difference.mean() < 1
    assert (difference > 32).mean() < 0.005
