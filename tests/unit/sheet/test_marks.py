import pytest

from fixplan.sheet.marks import balloon, plated_text, severity_mark
from fixplan.sheet.shapes import Disc, Polygon, Text

AT = (50.0, 40.0)
SEVERITIES = ["stop", "caution", "note", "not assessed"]


def _outline(severity: str, is_open: bool = True) -> Polygon | Disc:
    shape = severity_mark("x", severity, AT, 2.0, is_open)[0]
    assert isinstance(shape, Polygon | Disc)
    return shape


def test_each_severity_has_a_shape_of_its_own() -> None:
    shapes = [_outline(severity) for severity in SEVERITIES]
    assert [len(s.points) if isinstance(s, Polygon) else 0 for s in shapes] == [8, 3, 0, 4]
    assert shapes[3].stroke is not None
    assert shapes[3].stroke.dash == "dot"


def test_an_accepted_stop_is_hollow() -> None:
    open_fill, accepted_fill = _outline("stop").fill, _outline("stop", False).fill
    assert open_fill is not None
    assert accepted_fill is not None
    assert open_fill.tint != accepted_fill.tint == "#ffffff"


@pytest.mark.parametrize("severity", SEVERITIES)
def test_a_mark_is_about_as_large_as_asked(severity: str) -> None:
    shape = _outline(severity)
    points = shape.points if isinstance(shape, Polygon) else [(AT[0] + shape.radius_mm, AT[1])]
    assert all(1.0 <= ((x - 50) ** 2 + (y - 40) ** 2) ** 0.5 <= 3.0 for x, y in points)


def test_a_balloon_carries_its_number() -> None:
    assert [s.text for s in balloon("pin-12", 12, AT) if isinstance(s, Text)] == ["12"]


@pytest.mark.parametrize("align", ["left", "centre", "right"])
def test_a_plate_lies_under_the_whole_text(align: str) -> None:
    plate, text = plated_text("x", AT, "caution", 2.6, align=align)
    assert isinstance(plate, Polygon)
    assert isinstance(text, Text)
    assert min(x for x, _ in plate.points) < text.at[0]
    assert text.align == "left"
