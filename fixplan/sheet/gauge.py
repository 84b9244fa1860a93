"""A number line: what was measured, the limit, and by how much the one misses the other."""

from fixplan.case.scalars import Severity
from fixplan.checks.finding import Finding
from fixplan.checks.texts import told_pair
from fixplan.sheet.box import Box
from fixplan.sheet.ink import INK, LABEL_LAYER, SEVERITY_INK, SMALL_MM, SOFT, SOFT_INK
from fixplan.sheet.marks import severity_mark
from fixplan.sheet.shapes import AnyShape, Fill, Line, Point, Polygon, Stroke, Text

OWNER = "gauge"
HEIGHT_MM = 20.0
AXIS_MM = 7.0
EDGE_MM = 22.0
ROOM = 1.25


def gauge_shapes(finding: Finding, box: Box) -> list[AnyShape]:
    """The line in a box of `HEIGHT_MM`; nothing for a finding without a value and a limit."""
    measured, limit = finding.measured, finding.limit
    if measured is None or limit is None:
        return []
    low = min(0.0, measured * ROOM, limit * ROOM)
    high = max(measured, limit, low + 1e-6) * ROOM
    y = box.y + AXIS_MM
    inner = box.width - 2 * EDGE_MM

    def x(value: float) -> float:
        return box.x + EDGE_MM + inner * (value - low) / (high - low)

    unit = f" {finding.unit}" if finding.unit else ""
    shown, bound = told_pair(measured, limit)
    missed = abs(float(shown) - float(bound))
    way = "under the limit" if measured < limit else "over the limit"
    middle = (x(measured) + x(limit)) / 2
    return [
        _line((x(low), y), (x(high), y), SOFT),
        *(_tick((x(0.0), y), "0", SOFT_INK) if abs(x(0.0) - x(limit)) > 6.0 else ()),
        _between(x(measured), x(limit), y, finding.severity),
        *_tick((x(limit), y), f"limit {bound}{unit}", INK),
        _words((middle, y + 10.4), f"{missed:.4g}{unit} {way}", SEVERITY_INK[finding.severity]),
        *severity_mark(OWNER, finding.severity, (x(measured), y), 2.0),
        _words((x(measured), y - 3.2), f"measured {shown}{unit}", INK, bold=True),
    ]


def _between(start: float, end: float, y: float, severity: Severity) -> Polygon:
    points = ((start, y - 1), (end, y - 1), (end, y + 1), (start, y + 1))
    fill = Fill(hatch="right", colour=SEVERITY_INK[severity], spacing_mm=1.2)
    return Polygon(owner=OWNER, layer=LABEL_LAYER, points=points, stroke=None, fill=fill)


def _line(start: Point, end: Point, stroke: Stroke) -> Line:
    return Line(owner=OWNER, layer=LABEL_LAYER, points=(start, end), stroke=stroke)


def _tick(at: Point, words: str, colour: str) -> list[AnyShape]:
    x, y = at
    return [
        _line((x, y - 2.2), (x, y + 2.2), Stroke(colour, 0.4)),
        _words((x, y + 5.8), words, colour),
    ]


def _words(at: Point, text: str, colour: str, *, bold: bool = False) -> Text:
    return Text(
        owner=OWNER,
        layer=LABEL_LAYER,
        at=at,
        text=text,
        size_mm=SMALL_MM,
        bold=bold,
        colour=colour,
        align="centre",
    )
