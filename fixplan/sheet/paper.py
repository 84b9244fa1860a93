"""Paper sizes, and the page: shapes grouped by what they belong to."""

from collections.abc import Mapping
from typing import Literal

import msgspec

from fixplan.sheet.section_frame import SectionFrame
from fixplan.sheet.shapes import AnyShape, Printed
from fixplan.sheet.views import ViewFrame

Paper = Literal["A4", "A3"]
PAPERS: dict[Paper, tuple[float, float]] = {"A4": (210.0, 297.0), "A3": (420.0, 297.0)}
MARGIN_MM = 8.0


class Page(msgspec.Struct, frozen=True, eq=False):
    """One page: `groups` maps an owner id to its shapes, in the order in which they are painted.

    `views` are front and side view, `section` the third one, where they stand on this page.
    `laid` are the patient's pictures that were chosen for printing, each above the group it names.
    """

    width_mm: float
    height_mm: float
    groups: Mapping[str, tuple[AnyShape, ...]]
    views: tuple[ViewFrame, ...] = ()
    section: SectionFrame | None = None
    laid: Mapping[str, tuple[Printed, ...]] = {}

    def shapes(self) -> list[AnyShape]:
        """Every shape of the page, lowest first."""
        return [shape for group in self.groups.values() for shape in group]

    def printed(self) -> list[Printed]:
        """Every shape and picture of the page, lowest first."""
        return [
            one
            for owner, group in self.groups.items()
            for one in (*group, *self.laid.get(owner, ()))
        ]
