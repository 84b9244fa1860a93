"""The frame as it was, drawn grey and dashed beneath the frame as it is."""

from collections.abc import Iterator, Mapping

from msgspec.structs import replace

from fixplan.case.records import Case
from fixplan.sheet.box import Box
from fixplan.sheet.picture import draw_picture
from fixplan.sheet.shapes import AnyShape, Disc, Line, Polygon, Stroke, Text
from fixplan.sheet.view_plan import drawn_of, pin_lengths
from fixplan.sheet.views import ViewFrame

WAS = "was:"
GREY = Stroke("#7b8794", 0.35, "dash")
Groups = Mapping[str, tuple[AnyShape, ...]]


def was_drawn(before: Case, after: Case, at: tuple[Box, Box, tuple[ViewFrame, ...]]) -> Groups:
    """Pins and bars of the earlier case that are gone or otherwise now, in the later one's views.

    `at`: the box of the drawing, that of its key, and the views. Empty for another limb or side.
    """
    if (before.limb, before.side) != (after.limb, after.side):
        return {}
    box, key, views = at
    gone = set(_other(before, after))
    drawn = draw_picture(drawn_of(before, (), pin_lengths(before)), (), box, key, views)
    return {
        f"{WAS}{owner}": tuple(_grey(f"{WAS}{owner}", shapes))
        for owner, shapes in drawn.groups.items()
        if owner in gone
    }


def _other(before: Case, after: Case) -> Iterator[str]:
    pins = {pin.id: pin for pin in after.pins}
    bars = {bar.id: bar for bar in after.bars}
    moved = {pin.id for pin in before.pins if pins.get(pin.id) != pin}
    yield from moved
    for bar in before.bars:
        held = {getattr(anchor, "pin", "") for anchor in bar.anchors}
        if bars.get(bar.id) != bar or held & moved:
            yield bar.id


def _grey(owner: str, shapes: tuple[AnyShape, ...]) -> Iterator[AnyShape]:
    for shape in shapes:
        if isinstance(shape, Polygon | Disc):
            yield replace(shape, owner=owner, stroke=GREY, fill=None)
        elif isinstance(shape, Line):
            yield replace(shape, owner=owner, stroke=GREY)
        elif isinstance(shape, Text):
            yield replace(shape, owner=owner, colour=GREY.colour)
