"""The diagram of one finding from the live case: its place enlarged, the section, a number line."""

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Pin
from fixplan.case.scalars import View
from fixplan.checks.finding import Finding
from fixplan.geometry.paths import pin_path
from fixplan.geometry.section_structures import level_is_known
from fixplan.sheet.box import Box
from fixplan.sheet.cut_shapes import cut_shapes
from fixplan.sheet.gauge import HEIGHT_MM, gauge_shapes
from fixplan.sheet.layout import SectionSpot
from fixplan.sheet.marks import severity_mark
from fixplan.sheet.paper import Page
from fixplan.sheet.section_cut import cut_of
from fixplan.sheet.section_picture import draw_section
from fixplan.sheet.shapes import AnyShape
from fixplan.sheet.zoomed import (
    TITLE_MM,
    VIEWS,
    Zoomed,
    around,
    frame_round,
    number_places,
    view_heading,
    zoomed_of,
    zoomed_shapes,
)

WIDTH_MM, VIEW_MM, GAP_MM = 168.0, 76.0, 4.0
SECTION_MM = 104.0
EDGE_MM = 2.0


def why_picture(case: Case, finding: Finding) -> Page | None:
    """The diagram as a page; None for a finding about nothing that is drawn."""
    known = zoomed_of(case)
    pin = _pin(known, finding)
    section = None if pin is None else _section(known, pin)
    width = WIDTH_MM - SECTION_MM - GAP_MM if section else (WIDTH_MM - GAP_MM) / 2
    views = VIEWS if not section or pin is None else (_telling(known, pin),)
    shapes: list[AnyShape] = []
    left = EDGE_MM
    for view in views:
        box = Box(left, TITLE_MM, width, VIEW_MM)
        found = _view(known, finding, view, box)
        if found:
            shapes += found
            left += width + GAP_MM
    if not shapes:
        return None
    shapes += section or ()
    gauge = gauge_shapes(finding, Box(EDGE_MM, TITLE_MM + VIEW_MM + 2.0, WIDTH_MM, HEIGHT_MM))
    height = TITLE_MM + VIEW_MM + 1.0 + (HEIGHT_MM + 1.0 if gauge else 0.0)
    return Page(WIDTH_MM + 2 * EDGE_MM, height, {"why": (*shapes, *gauge)})


def _pin(known: Zoomed, finding: Finding) -> Pin | None:
    """The pin that a finding is about, when it is about one."""
    first = finding.subjects[0] if finding.subjects else ""
    return next((pin for pin in known.drawn.pins if pin.id == first), None)


def _telling(known: Zoomed, pin: Pin) -> View:
    """The view in which a pin is seen from the side, not end-on."""
    outward = pin_path(known.drawn.pose.limb, pin).outward
    return "front" if abs(outward[0]) >= abs(outward[1]) else "side"


def _view(known: Zoomed, finding: Finding, view: View, box: Box) -> list[AnyShape]:
    shown = around(known, view, finding.subjects)
    if shown is None:
        return []
    frame = frame_round(known, view, shown, box)
    shapes = [*zoomed_shapes(known, frame), *view_heading(known.drawn, frame)]
    for name, (_, at) in number_places(known, frame).items():
        if name in finding.subjects:
            shapes += severity_mark(name, finding.severity, (at[0], at[1] - 5.2), 2.4)
    return shapes


def _section(known: Zoomed, pin: Pin) -> list[AnyShape]:
    """The section at a pin; nothing where its level has none."""
    case, limb = known.drawn.case, limb_of_case(known.drawn.case)
    if not level_is_known(limb, limb.group_of(pin.bone), pin.level_mm):
        return []
    cut = cut_of(case, limb, (), pin.id)
    if cut is None:
        return []
    box = Box(EDGE_MM + WIDTH_MM - SECTION_MM, 0.0, SECTION_MM, TITLE_MM + VIEW_MM)
    spot = SectionSpot(0, box, Box(0.0, 1000.0, 50.0, 50.0))
    groups = draw_section(cut, limb, case.side, spot, known.drawn.lengths).groups
    wanted = (shapes for name, shapes in groups.items() if name != "section:notes")
    return list(cut_shapes((shape for group in wanted for shape in group), box))
