"""Right and left changed over where a limb has bones of both sides: the pelvis (D13)."""

import msgspec

from fixplan.case.records import Case

OTHER = {"-right": "-left", "-left": "-right"}
NAMED = ("bone", "segment")
"""Fields that name a bone or a segment."""


def swapped(case: Case) -> Case:
    """The same plan with every bone and segment of one side replaced by that of the other."""
    return msgspec.convert(_swapped(msgspec.to_builtins(case)), Case)


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
