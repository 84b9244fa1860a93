"""The one door to a limb: from what is known of the patient to a `Limb` at that size."""

import functools

from fixplan.limb.anatomy import Limb
from fixplan.limb.growth import Patient, growth_of

Bones = tuple[tuple[str, float | None, float | None], ...]
Girths = tuple[tuple[str, float], ...]


@functools.lru_cache(maxsize=16)
def limb_of(
    kind: str,
    sex: str = "not given",
    stature_mm: float | None = None,
    mass_kg: float | None = None,
    bones: Bones = (),
    girths: Girths = (),
    canals: Girths = (),
) -> Limb:
    """The limb of a kind (`leg`) at a patient's size.

    Args:
        kind: limb kind.
        sex: `female`, `male` or `not given`.
        stature_mm: body height in mm.
        mass_kg: body mass in kg; with a stature it gives the girths.
        bones: (bone, length in mm or None, mid-shaft width in mm or None); they win over stature.
        girths: (segment, girth in mm), measured where the segment's data say.
        canals: (bone, width of its canal in mm) at mid-shaft; the cortex follows from it.

    Raises:
        LibraryError: if the kind or sex is not known or the anatomy files cannot be read.
    """
    patient = Patient(
        sex=sex,
        stature_mm=stature_mm,
        mass_kg=mass_kg,
        lengths_mm={bone: length for bone, length, _ in bones if length is not None},
        widths_mm={bone: width for bone, _, width in bones if width is not None},
        girths_mm=dict(girths),
        canals_mm=dict(canals),
    )
    parts = (kind, sex, stature_mm, mass_kg, *bones, *girths, *canals)
    return Limb(growth_of(kind, patient, "/".join(map(str, parts))))
