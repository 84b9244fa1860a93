"""The bent frame over both views, and stress on its members, as shapes in page millimetres. No Qt.

The bent shape is enlarged by a stated factor. Stress is told by width, by pattern and by figure.
"""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

import numpy as np

from fixplan.case.limbs import pose_of_case
from fixplan.case.records import Case
from fixplan.frame.assumed import Shown, assumed
from fixplan.frame.beams import posed
from fixplan.frame.elements import Array, Beam
from fixplan.frame.hold import LoadHold, Results
from fixplan.frame.joining import bar_paths
from fixplan.frame.peaks import stress_by_part_mpa
from fixplan.frame.vectors import Vector, dot, minus, vector
from fixplan.limb.pose import Pose
from fixplan.sheet.clipping import clipped_lines
from fixplan.sheet.fonts import text_width_mm, wrapped
from fixplan.sheet.frame_picture import held_segments, segment_near
from fixplan.sheet.ink import PAPER, SOFT_INK
from fixplan.sheet.scene import posed_plane
from fixplan.sheet.shapes import AnyShape, Dash, Fill, Line, Polygon, Stroke, Text
from fixplan.sheet.views import ViewFrame

OWNER = "bent"
BENT_INK = "#2c5282"
STRESS_INK = "#101820"
LAYER = 95
STEPS = 6
TEXT_MM = 2.6
EDGE_MM = 1.0
LINE_MM = 1.3 * TEXT_MM
WIDTHS_MM = (0.5, 0.9, 1.3, 1.8, 2.4)
DASHES: tuple[Dash, ...] = ("dot", "dash-dot-dot", "dash-dot", "dash", "solid")


class Wanted(NamedTuple):
    """What is to be shown over the drawing."""

    bent: bool = False
    stress: bool = False
    load_id: str = "traction-hold"


def bent_shapes(
    case: Case, results: Results, wanted: Wanted, frames: tuple[ViewFrame, ...]
) -> tuple[AnyShape, ...]:
    """Shapes over the first page's views for one reference load; none for an unknown load."""
    load = results.load(wanted.load_id)
    if load is None or not (wanted.bent or wanted.stress):
        return ()
    shown = assumed().shown
    where = _Segments(case, results)
    shapes: list[AnyShape] = []
    factor = exaggeration(results, load, shown)
    for frame in frames:
        if wanted.bent:
            shapes += _bent(results, load, where, frame, factor)
        if wanted.stress:
            shapes += _stressed(results, load, where, frame, shown)
        shapes += _said(load, wanted, frame, factor)
    return tuple(shapes)


def exaggeration(results: Results, load: LoadHold, shown: Shown) -> float:
    """The listed factor that makes the largest movement come nearest to what the eye needs."""
    moved = results.solved.movement[:, :3, load.peaks.column]
    largest = float(np.sqrt((moved**2).sum(axis=1)).max())
    if largest <= 0:
        return shown.exaggerations[0]
    return min(shown.exaggerations, key=lambda factor: abs(factor * largest - shown.bent_mm))


class _Segments:
    """The segment that each member is drawn with: of its bone, or of what holds a bar there."""

    def __init__(self, case: Case, results: Results) -> None:
        self.pose: Pose = pose_of_case(case)
        self._bones = {pin.id: pin.bone for pin in case.pins}
        self._bodies = {b.id: b.segment for f in results.model.frames for b in f.bodies}
        self._paths, self._held = bar_paths(case), held_segments(case, self.pose)

    def of(self, beam: Beam, at: Vector) -> str:
        """The segment for a place (posed limb, mm) on a member."""
        if beam.role == "bar":
            path = self._paths[beam.owner]
            along_mm = dot(minus(at, path.origin_mm), path.direction)
            return segment_near(self._held[beam.owner], along_mm)
        if beam.role == "pin":
            return self.pose.limb.bones[self._bones[beam.owner]].segment
        return self._bodies[beam.owner]


def _bent(
    results: Results, load: LoadHold, where: _Segments, frame: ViewFrame, factor: float
) -> Iterator[AnyShape]:
    """Each member as it bends, enlarged."""
    solved, column = results.solved, load.peaks.column
    index, at = solved.frame.index, solved.frame.at
    for beam in results.model.model.beams:
        ends = at[[index[beam.i], index[beam.j]]]
        moved = solved.movement[[index[beam.i], index[beam.j]], :, column]
        points = _curve(ends, factor * moved)
        first, last = (where.of(beam, posed(vector(end))) for end in ends)
        names = [first if n <= STEPS // 2 else last for n in range(STEPS + 1)]
        page = tuple(
            frame.point(*posed_plane(where.pose, frame.view, name).at(*posed(vector(point))))
            for name, point in zip(names, points.tolist(), strict=True)
        )
        width = 0.8 if beam.role == "bone" else 0.45
        stroke = Stroke(BENT_INK, width, "dash")
        for piece in clipped_lines(list(page), frame.box, closed=False):
            yield Line(owner=OWNER, layer=LAYER, points=tuple(piece), stroke=stroke)


def _curve(ends: Array, moved: Array) -> Array:
    """Points (STEPS + 1, 3) on a bent member: a cubic through its ends and their slopes."""
    span = ends[1] - ends[0]
    t = np.linspace(0, 1, STEPS + 1)[:, None]
    slopes = np.cross(moved[:, 3:], span)
    straight = ends[0] + t * span
    shift = (
        (1 - 3 * t**2 + 2 * t**3) * moved[0, :3]
        + (t - 2 * t**2 + t**3) * slopes[0]
        + (3 * t**2 - 2 * t**3) * moved[1, :3]
        + (t**3 - t**2) * slopes[1]
    )
    curve: Array = straight + shift
    return curve


def _stressed(
    results: Results, load: LoadHold, where: _Segments, frame: ViewFrame, shown: Shown
) -> Iterator[AnyShape]:
    """Pins and bars with a line as wide and as closed as their stress is high, and a figure."""
    most = stress_by_part_mpa(results.solved, load.peaks.column)
    index, at = results.solved.frame.index, results.solved.frame.at
    told: set[str] = set()
    for beam in results.model.model.beams:
        if beam.owner not in most or beam.role not in ("pin", "bar"):
            continue
        places = [posed(vector(at[index[end]])) for end in (beam.i, beam.j)]
        page = tuple(
            frame.point(*posed_plane(where.pose, frame.view, where.of(beam, place)).at(*place))
            for place in places
        )
        kind = stress_class(most[beam.owner], shown)
        stroke = Stroke(STRESS_INK, WIDTHS_MM[kind], DASHES[kind])
        yield Line(owner=OWNER, layer=LAYER, points=page, stroke=stroke)
        if beam.owner not in told and not any(load.withdrawn):
            told.add(beam.owner)
            yield _figure(most, beam.owner, page)


def stress_class(stress_mpa: float, shown: Shown) -> int:
    """The class of a stress, 0 for the lowest."""
    return sum(stress_mpa > limit for limit in shown.stress_mpa)


def _figure(most: Mapping[str, float], owner: str, page: tuple[tuple[float, float], ...]) -> Text:
    x = (page[0][0] + page[-1][0]) / 2
    y = (page[0][1] + page[-1][1]) / 2
    words = f"{round(most[owner], -1):.0f} MPa"
    return Text(
        owner=OWNER,
        layer=LAYER + 1,
        at=(x, y - 1.2),
        text=words,
        size_mm=TEXT_MM,
        bold=True,
        colour=STRESS_INK,
        align="centre",
    )


def _said(load: LoadHold, wanted: Wanted, frame: ViewFrame, factor: float) -> Iterator[AnyShape]:
    """What is shown, in words, at the foot of each view and within it."""
    words = f"{load.load.name}, {load.load.words}"
    if wanted.bent:
        words = f"bent {factor:g} times as much as calculated; {words}"
    if any(load.withdrawn):
        words += "; beyond what can be calculated, shape only"
    lines = wrapped(words, TEXT_MM, frame.box.width - 2 * EDGE_MM)
    wide = max(text_width_mm(line, TEXT_MM) for line in lines) + EDGE_MM
    left, bottom = frame.box.x + 0.5 * EDGE_MM, frame.box.bottom
    top = bottom - EDGE_MM - (len(lines) - 1) * LINE_MM - TEXT_MM
    corners = ((left, top), (left + wide, top), (left + wide, bottom), (left, bottom))
    yield Polygon(owner=OWNER, layer=LAYER + 1, points=corners, stroke=None, fill=Fill(tint=PAPER))
    for number, line in enumerate(reversed(lines)):
        yield Text(
            owner=OWNER,
            layer=LAYER + 2,
            at=(frame.box.x + EDGE_MM, frame.box.bottom - EDGE_MM - number * LINE_MM),
            text=line,
            size_mm=TEXT_MM,
            colour=SOFT_INK,
        )
