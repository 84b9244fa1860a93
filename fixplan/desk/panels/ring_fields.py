"""What is torn of the pelvic ring, as properties on the card of the limb."""

from collections.abc import Mapping
from typing import get_args

from msgspec.structs import replace

from fixplan.case.ring_records import BackOfRing, RingInjury, Symphysis
from fixplan.desk.panels.fields import Choice, Field

SYMPHYSIS = Field(
    "ring symphysis",
    "Symphysis",
    "choice",
    choices=tuple(Choice(one, one) for one in get_args(Symphysis)),
)
GAP = Field(
    "ring symphysis_mm", "Symphysis open", "optional number", "mm", 0, 150, 1, "not told",
    tip="As measured on the X-ray; the drawing stays closed",
)  # fmt: skip
BACKS = tuple(
    Field(
        f"ring back_{half}",
        f"Back of the ring, {half}",
        "choice",
        choices=tuple(Choice(one, one) for one in get_args(BackOfRing)),
        tip="The joint between sacrum and hip bone, or the bone beside it",
    )
    for half in ("right", "left")
)
RING_FIELDS = (SYMPHYSIS, GAP, *BACKS)
RING_NAMES = frozenset(field.name for field in RING_FIELDS)
PREFIX = "ring "


def ring_values(ring: RingInjury) -> Mapping[str, object]:
    """The values of the properties."""
    return {field.name: getattr(ring, field.name.removeprefix(PREFIX)) for field in RING_FIELDS}


def ring_with(ring: RingInjury, name: str, value: object) -> RingInjury:
    """The ring with one property changed; a gap that a closed symphysis cannot have goes."""
    changed = replace(ring, **{name.removeprefix(PREFIX): value})
    if name == SYMPHYSIS.name and value == "intact":
        return replace(changed, symphysis_mm=None)
    return changed
