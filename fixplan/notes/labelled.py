"""What was typed for an export, in the sheet's field for the patient's label."""

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from fixplan.notes.identity import Identity
from fixplan.sheet.fonts import shortened
from fixplan.sheet.ink import INK, TABLE_LAYER
from fixplan.sheet.paper import Page
from fixplan.sheet.shapes import AnyShape, Polygon, Text

FIELD = "patient-field"
SIZE_MM, STEP_MM, FIRST_MM, PAD_MM = 3.2, 4.4, 9.0, 1.6


def labelled(pages: Sequence[Page], identity: Identity) -> tuple[Page, ...]:
    """The pages with the identity printed; as they are where nothing was typed."""
    if identity.is_empty:
        return tuple(pages)
    return tuple(_labelled(page, identity.lines()) for page in pages)


def _labelled(page: Page, lines: Sequence[str]) -> Page:
    groups = {
        owner: (*shapes, *_printed(shapes, lines)) if owner == FIELD else shapes
        for owner, shapes in page.groups.items()
    }
    return replace(page, groups=groups)


def _printed(shapes: Sequence[AnyShape], lines: Sequence[str]) -> Iterator[Text]:
    """The lines within the field's outline, shortened to its width."""
    for outline in [shape for shape in shapes if isinstance(shape, Polygon)][:1]:
        left = min(x for x, _ in outline.points)
        right = max(x for x, _ in outline.points)
        top = min(y for _, y in outline.points)
        room = right - left - 2 * PAD_MM
        for number, line in enumerate(lines):
            at = (left + PAD_MM, top + FIRST_MM + number * STEP_MM)
            yield Text(
                owner=FIELD,
                layer=TABLE_LAYER,
                at=at,
                text=shortened(line, SIZE_MM, room),
                size_mm=SIZE_MM,
                colour=INK,
            )
