"""Right and left changed over where a limb has bones of both sides: the pelvis (D13)."""

from typing import Literal

import msgspec
from msgspec.structs import replace

from fixplan.case.records import Bar, BarAnchor, Case

OTHER = {"-right": "-left", "-left": "-right"}
OTHER_LAY: dict[Literal[1, -1], Literal[1, -1]] = {1: -1, -1: 1}
NAMED = ("bone", "segment")
"""Fields that name a bone or a segment."""


def swapped(case: Case) -> Case:
    """The same plan with every bone and segment of one side replaced by that of the other.

    The side of its pins on which a bar lies is told by a turn, which a mirror turns round: so that
    changes too. What lies over other bars stays over them.
    """
    changed = msgspec.convert(_swapped(msgspec.to_builtins(case)), Case)
    ring = replace(
        changed.ring, back_right=changed.ring.back_left, back_left=changed.ring.back_right
    )
    return replace(changed, bars=tuple(_laid_over(bar) for bar in changed.bars), ring=ring)


def _laid_over(bar: Bar) -> Bar:
    on_bars = any(isinstance(anchor, BarAnchor) for anchor in bar.anchors)
    return bar if on_bars else replace(bar, lay=OTHER_LAY[bar.lay])


def _swapped(value: object) -> object:
    if isinstance(value, dict):
        return {
            key: _other(item) if key in NAMED and isinstance(item, str) else _swapped(item)
            for key, item in value.items()
        }
    if isinstance(value, list | tuple):
        return [_swapped(item) for item in value]
    return value


def _other(name: str) -> str:
    """The bone or segment of the other side; itself where it has none."""
    for side, other in OTHER.items():
        if name.endswith(side):
            return name.removesuffix(side) + other
    return name
