"""The diagram of a finding: what it shows, and that nothing lies outside its edges."""

from pathlib import Path

import pytest

from fixplan.checks.run import open_case
from fixplan.sheet.box import Box
from fixplan.sheet.cut_shapes import cut_shapes
from fixplan.sheet.gauge import gauge_shapes
from fixplan.sheet.shapes import Disc, Line, Polygon, Text
from fixplan.sheet.why_picture import why_picture

CASES = Path(__file__).parents[3] / "sample_cases"


@pytest.fixture(scope="module")
def opened():
    return open_case(CASES / "teaching-faults.json")


def by_rule(opened, rule):
    return next(one for one in opened.findings if one.rule == rule)


def words(page):
    return [shape.text for shape in page.shapes() if isinstance(shape, Text)]


def test_every_finding_of_a_faulty_case_has_a_diagram_inside_its_page(opened):
    for finding in opened.findings:
        page = why_picture(opened.case, finding)
        assert page is not None, finding.rule
        points = [
            point
            for shape in page.shapes()
            if isinstance(shape, Line | Polygon)
            for point in shape.points
        ]
        assert all(-3 <= x <= page.width_mm + 3 for x, _ in points), finding.rule
        assert all(-3 <= y <= page.height_mm + 3 for _, y in points), finding.rule


def test_a_pin_with_a_known_section_shows_one_view_and_the_section(opened):
    told = words(why_picture(opened.case, by_rule(opened, "rule.pin.fracture")))
    assert any(text.startswith("SECTION") for text in told)
    assert sum("facing the patient" in text or "lateral side" in text for text in told) == 1


def test_other_findings_show_both_views_with_their_edges_named(opened):
    told = words(why_picture(opened.case, by_rule(opened, "rule.bar.skin")))
    assert {"lateral", "medial", "anterior", "posterior"} <= set(told)
    left = told.index("lateral"), told.index("medial")
    assert left[0] < left[1]  # a right limb: lateral on the viewer's left


def test_the_number_line_tells_value_limit_and_difference(opened):
    finding = by_rule(opened, "rule.pin.knee-capsule-tibia")
    told = [
        shape.text for shape in gauge_shapes(finding, Box(0, 0, 160, 20)) if isinstance(shape, Text)
    ]
    assert "measured 12 mm" in told
    assert "limit 14 mm" in told
    assert "2 mm under the limit" in told


def test_a_finding_without_a_number_has_no_number_line(opened):
    assert gauge_shapes(by_rule(opened, "rule.pin.wound"), Box(0, 0, 160, 20)) == []


def test_shapes_are_cut_at_the_window():
    box = Box(0, 0, 10, 10)
    line = Line(owner="a", points=((-5, 5), (15, 5)))
    square = Polygon(owner="a", points=((5, 5), (15, 5), (15, 15), (5, 15)))
    away = Disc(owner="a", centre=(20, 20), radius_mm=1)
    cut = list(cut_shapes([line, square, away], box))
    assert cut[0].points == ((0, 5), (10, 5))
    assert all(0 <= x <= 10 and 0 <= y <= 10 for shape in cut for x, y in shape.points)
    assert not any(isinstance(shape, Disc) for shape in cut)
