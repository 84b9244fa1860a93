"""Beads, strands and blocks: how many, their volume and their surface."""

from math import floor, pi, sqrt

from fixplan.errors import EditError

MM3_PER_ML = 1000.0
_WHOLE = 1e-9


def bead_volume_ml(diameter_mm: float) -> float:
    """Volume of one round bead."""
    _needs(diameter_mm, "A bead's diameter")
    return pi * diameter_mm**3 / 6 / MM3_PER_ML


def bead_surface_mm2(diameter_mm: float) -> float:
    """Surface of one round bead."""
    _needs(diameter_mm, "A bead's diameter")
    return pi * diameter_mm**2


def block_surface_mm2(volume_ml: float, length_mm: float | None = None) -> float:
    """Surface of a round block of this volume, both ends counted.

    Without a length it is as long as it is wide, the cylinder with the least surface.
    """
    _needs(volume_ml, "A volume")
    volume_mm3 = volume_ml * MM3_PER_ML
    if length_mm is None:
        length_mm = (4 * volume_mm3 / pi) ** (1 / 3)
    _needs(length_mm, "A block's length")
    radius_mm = sqrt(volume_mm3 / (pi * length_mm))
    return 2 * pi * radius_mm**2 + 2 * pi * radius_mm * length_mm


def beads_in_volume(volume_ml: float, diameter_mm: float, packing_percent: float) -> int:
    """Whole beads that lie in a space of which they fill this share."""
    _needs(volume_ml, "A volume")
    _needs(packing_percent, "The share that beads fill")
    filled_ml = volume_ml * packing_percent / 100
    return floor(filled_ml / bead_volume_ml(diameter_mm) + _WHOLE)


def beads_on_strand(length_mm: float, diameter_mm: float, gap_mm: float) -> int:
    """Whole beads on a strand of this length, with a gap between each two."""
    _needs(length_mm, "A strand's length")
    _needs(diameter_mm, "A bead's diameter")
    return floor((length_mm + gap_mm) / (diameter_mm + gap_mm) + _WHOLE)


def _needs(value: float, name: str) -> None:
    if value <= 0:
        raise EditError(f"{name} is {value:g}; type more than 0")
