"""Which blocks a sheet shows beside what stands on every one.

Side, drawing, pins in large figures, open and accepted findings, what was not assessed, cautions
and title block are on every sheet; all else may be left out.
"""

from collections.abc import Iterable
from typing import Literal, get_args

import msgspec

from fixplan.errors import FixplanError

BlockName = Literal[
    "section",
    "order",
    "pins",
    "bars",
    "kit",
    "other-kit",
    "firmness",
    "rule-notes",
    "due",
    "care",
    "trip",
    "pauses",
    "counts",
    "signatures",
    "case-notes",
]
NAMES: tuple[BlockName, ...] = get_args(BlockName)
TITLES: dict[BlockName, str] = {
    "section": "Section at the chosen level",
    "order": "Build order of the frame",
    "pins": "Pin table",
    "bars": "Bar table",
    "kit": "Parts, trays and drills",
    "other-kit": "Other kit of the trip",
    "firmness": "How firmly it holds",
    "rule-notes": "Notes of the checks",
    "due": "Trips and what is due",
    "care": "Dead space, debridement and cover",
    "trip": "Order of the whole trip",
    "pauses": "Three safety pauses",
    "counts": "Counts of pins and beads",
    "signatures": "Contact and signatures",
    "case-notes": "Your own notes on the case",
}
"""What each is called in the desk."""


class SheetBlocks(msgspec.Struct, frozen=True):
    """The blocks that were chosen."""

    chosen: frozenset[BlockName] = frozenset(NAMES)

    def has(self, name: BlockName) -> bool:
        """Whether a block is to be shown."""
        return name in self.chosen

    @property
    def names(self) -> tuple[BlockName, ...]:
        """The chosen ones in the order of the sheet."""
        return tuple(name for name in NAMES if name in self.chosen)


ALL = SheetBlocks()


def blocks_named(names: Iterable[str]) -> SheetBlocks:
    """The blocks with these names. Raises FixplanError for one that does not exist."""
    wanted = [name.strip() for name in names if name.strip()]
    for name in wanted:
        if name not in NAMES:
            raise FixplanError(
                f"{name}: is no block of the sheet; the blocks are {', '.join(NAMES)}"
            )
    return SheetBlocks(frozenset(name for name in NAMES if name in wanted))
