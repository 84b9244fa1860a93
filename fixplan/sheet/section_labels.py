"""Names beside the section with leader lines, none over another."""

from collections.abc import Sequence
from math import hypot
from typing import NamedTuple

from fixplan.geometry.section_structures import Structures
from fixplan.sheet.crossing import cross
from fixplan.sheet.fonts import wrapped
from fixplan.sheet.ink import INK, LABEL_LAYER, SMALL_MM, SOFT, SOFT_INK
from fixplan.sheet.marks import CAPITAL
from fixplan.sheet.rows import LEADING
from fixplan.sheet.section_frame import COLUMN_MM, SectionFrame
from fixplan.sheet.section_hazards import radius_mm
from fixplan.sheet.shapes import AnyShape, Line, Point, Text
from fixplan.sheet.spreading import spread

OWNER = "section:labels"
PITCH_MM = LEADING * SMALL_MM
SHIFTS = 24
BENT_MM = 1.6
APART_MM = (0.3, 1.2)
"""Between two names: the least, and as much as there is room for, so that names are told apart."""
LEAST_GAP_MM = 0.4
"""So that the longest word of a name stands on one line: "musculocutaneous"."""


class NamedPlace(NamedTuple):
    """Something drawn on the limb that the section cuts: its name, a page point on it, its ink."""

    name: str
    at: Point
    colour: str


class Name(NamedTuple):
    """A name to be placed: its lines, the page point and radius of what it names, its colour."""

    lines: tuple[str, ...]
    at: Point
    radius_mm: float
    colour: str

    @property
    def height_mm(self) -> float:
        """Least room it takes in the column."""
        return PITCH_MM * len(self.lines) + APART_MM[0]


def _lines(text: str) -> tuple[str, ...]:
    return wrapped(text, SMALL_MM, COLUMN_MM - LEAST_GAP_MM)


def _names(frame: SectionFrame, found: Structures, cut: tuple[NamedPlace, ...]) -> list[Name]:
    names = [
        Name(
            _lines(one.name),
            frame.point(*one.at),
            radius_mm(frame, one),
            INK if one.grade == "critical" else SOFT_INK,
        )
        for one in found.round
    ]
    for outlined in found.outlined:
        xs, ys = zip(*outlined.outline, strict=True)
        middle = frame.point(0.5 * (min(xs) + max(xs)), 0.5 * (min(ys) + max(ys)))
        names.append(Name(_lines(outlined.name), middle, 0.0, INK))
    names += [Name(_lines(one.name), one.at, 0.0, one.colour) for one in cut]
    return names


def _sorted_sides(frame: SectionFrame, names: Sequence[Name]) -> tuple[list[Name], list[Name]]:
    """Names for the left and the right column, neither taller than it is high."""
    middle = frame.inner.x + 0.5 * frame.inner.width
    ordered = sorted(names, key=lambda name: name.at[0])
    left = [name for name in ordered if name.at[0] < middle]
    right = [name for name in ordered if name.at[0] >= middle]
    room = frame.box.height
    while left and _height(left) > room and _height(right) + left[-1].height_mm < room:
        right.insert(0, left.pop())
    while right and _height(right) > room and _height(left) + right[0].height_mm < room:
        left.append(right.pop(0))
    return left, right


def _fitting(
    frame: SectionFrame, names: Sequence[Name], near: Point
) -> tuple[list[Name], list[Name], int]:
    """Both columns' names without those farthest from `near` if all are too many; how many."""
    kept = list(names)
    while True:
        left, right = _sorted_sides(frame, kept)
        room = frame.box.height - (PITCH_MM + 0.3 if len(kept) < len(names) else 0.0)
        full = [name for side in (left, right) if _height(side) > room for name in side]
        if not full:
            return left, right, len(names) - len(kept)
        kept.remove(max(full, key=lambda name: hypot(name.at[0] - near[0], name.at[1] - near[1])))


def _left_out(frame: SectionFrame, count: int, is_left: bool) -> Text:
    """How many structures stand without a name, at the foot of a column."""
    return Text(
        owner=OWNER,
        layer=LABEL_LAYER,
        at=(frame.inner.x - 0.6 if is_left else frame.inner.right + 0.6, frame.box.bottom),
        text=f"and {count} farther off",
        size_mm=SMALL_MM,
        colour=SOFT_INK,
        align="right" if is_left else "left",
    )


def _height(names: Sequence[Name]) -> float:
    return sum(name.height_mm for name in names)


def _middles(frame: SectionFrame, names: Sequence[Name], foot_mm: float) -> list[float]:
    """Levels of the names in the order given, which need not be the order of their points."""
    wanted, reached = [], -1e9
    for name in names:
        reached = max(reached, name.at[1])
        wanted.append(reached)
    top, bottom = frame.box.y, frame.box.bottom - foot_mm
    left_mm = (bottom - top - _height(names)) / max(len(names), 1)
    more_mm = min(max(left_mm, 0.0), APART_MM[1] - APART_MM[0])
    heights = [name.height_mm + more_mm for name in names]
    return spread(wanted, heights, top, bottom)


def _untangled(frame: SectionFrame, names: list[Name], x: float, foot_mm: float) -> list[Name]:
    """The names in an order in which no two leaders cross, as far as swapping finds one."""
    names = sorted(names, key=lambda name: name.at[1])
    for _ in range(SHIFTS):
        middles = _middles(frame, names, foot_mm)
        swap = next(
            (
                (i, j)
                for i in range(len(names))
                for j in range(i + 1, len(names))
                if cross(names[i].at, (x, middles[i]), names[j].at, (x, middles[j]))
            ),
            None,
        )
        if swap is None:
            break
        i, j = swap
        names[i], names[j] = names[j], names[i]
    return names


def _leader(name: Name, x: float, middle: float, turn: int) -> Line:
    """From the edge of what is named to its name."""
    bend = (x - turn * BENT_MM, middle)
    gap = hypot(bend[0] - name.at[0], bend[1] - name.at[1])
    share = min(name.radius_mm / gap, 1.0) if gap else 0.0
    start = (
        name.at[0] + share * (bend[0] - name.at[0]),
        name.at[1] + share * (bend[1] - name.at[1]),
    )
    points = (start, bend, (x, middle))
    return Line(owner=OWNER, layer=LABEL_LAYER, points=points, stroke=SOFT)


def _placed(name: Name, x: float, middle: float, turn: int) -> list[AnyShape]:
    """A name beside its column's edge at page `x`; `turn` +1: at the right."""
    first = middle - 0.5 * PITCH_MM * (len(name.lines) - 1) + 0.5 * CAPITAL * SMALL_MM
    texts = [
        Text(
            owner=OWNER,
            layer=LABEL_LAYER,
            at=(x + turn * 0.6, first + PITCH_MM * k),
            text=line,
            size_mm=SMALL_MM,
            colour=name.colour,
            align="left" if turn > 0 else "right",
        )
        for k, line in enumerate(name.lines)
    ]
    return [_leader(name, x, middle, turn), *texts]


def _column(frame: SectionFrame, names: list[Name], turn: int, foot_mm: float) -> list[AnyShape]:
    x = frame.inner.right if turn > 0 else frame.inner.x
    ordered = _untangled(frame, names, x - turn * BENT_MM, foot_mm)
    shapes: list[AnyShape] = []
    for name, middle in zip(ordered, _middles(frame, ordered, foot_mm), strict=True):
        shapes += _placed(name, x, middle, turn)
    return shapes


def label_shapes(
    frame: SectionFrame,
    found: Structures,
    cut: tuple[NamedPlace, ...] = (),
    near: Point | None = None,
) -> tuple[AnyShape, ...]:
    """Names of the structures and of what was drawn that the section cuts, with leaders.

    Where there are more names than room, those farthest from `near` (in the section, mm; its target
    if None) are left out and counted.
    """
    middle = frame.point(*(found.target if near is None else near))
    left, right, missing = _fitting(frame, _names(frame, found, cut), middle)
    foot_mm = PITCH_MM + 0.3 if missing else 0.0
    shapes = _column(frame, left, -1, foot_mm) + _column(frame, right, 1, foot_mm)
    if missing:
        shapes.append(_left_out(frame, missing, is_left=_height(left) < _height(right)))
    return tuple(shapes)
