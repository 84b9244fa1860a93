"""Dead space and local antibiotic as recorded, what is asked of the patient, and planned cover.

Millimetres, millilitres, grams. None: not given; then the figure of resources/antibiotics.toml or
what is worked out counts. Nothing derived is stored.
"""

from typing import Annotated, Literal

from msgspec import Meta

from fixplan.case.scalars import Id, Record, ShortText

Answer = Literal["yes", "no", "not known"]
Device = Literal["not decided", "beads", "spacer"]
Carrier = Literal["not asked", "bone cement", "absorbable"]
DrugForm = Literal["powder", "solution", "not known"]
CoverKind = Literal[
    "not decided",
    "primary closure",
    "bead pouch",
    "simple dressing",
    "vacuum",
    "skin graft",
    "flap",
]
VacuumOver = Literal["not asked", "closed layer", "straight over beads", "no beads"]

Millilitres = Annotated[float, Meta(gt=0, le=2000)]
Count = Annotated[int, Meta(ge=0, le=2000)]


class PatientAnswers(Record, frozen=True, kw_only=True):
    """What is asked of the patient before a drug goes into cement."""

    kidney_disease: Answer = "not known"
    aminoglycoside_allergy: Answer = "not known"
    glycopeptide_allergy: Answer = "not known"
    acrylate_allergy: Answer = "not known"
    other_allergy: Answer = "not known"
    pregnant: Answer = "not known"
    weak_muscles: Answer = "not known"
    light: Answer = "not known"
    aminoglycoside_by_vein: Answer = "not known"
    vancomycin_by_vein: Answer = "not known"


class DrugInCement(Record, frozen=True, kw_only=True):
    """A drug in one packet of cement; `preloaded`: it is in the cement as bought.

    `unit` is g or mg; any other is told and refused.
    """

    drug: Id
    amount: Annotated[float, Meta(gt=0, le=20000)]
    unit: Annotated[str, Meta(max_length=20)] = "g"
    preloaded: bool = False
    form: DrugForm = "not known"


class DeadSpace(Record, frozen=True, kw_only=True):
    """A space to be filled with beads or a spacer, from one trip to a later one.

    Its volume is typed, or is the area of the drawn wound or injury `drawn` times `depth_mm`; or
    beads are told by the length of their strands. `packing_percent` is the share of the space that
    beads fill. `packets` is how many are mixed (None: as many as needed).
    """

    id: Id
    trip: Id | None = None
    out_trip: Id | None = None
    device: Device = "not decided"
    carrier: Carrier = "not asked"
    bears_load: Answer = "not known"
    volume_ml: Millilitres | None = None
    drawn: Id | None = None
    depth_mm: Annotated[float, Meta(gt=0, le=300)] | None = None
    strand_mm: Annotated[float, Meta(gt=0, le=3000)] | None = None
    strands: Annotated[int, Meta(ge=1, le=40)] | None = None
    bead_mm: Annotated[float, Meta(ge=2, le=30)] | None = None
    bead_gap_mm: Annotated[float, Meta(ge=0, le=30)] | None = None
    packing_percent: Annotated[float, Meta(ge=20, le=74)] | None = None
    block_length_mm: Annotated[float, Meta(gt=0, le=500)] | None = None
    packet_powder_g: Annotated[float, Meta(ge=5, le=100)] | None = None
    packet_usable_ml: Annotated[float, Meta(ge=2, le=120)] | None = None
    packets: Count | None = None
    drugs: Annotated[tuple[DrugInCement, ...], Meta(max_length=8)] = ()
    beads_in: Count | None = None
    beads_out: Count | None = None
    note: ShortText = ""


class Cover(Record, frozen=True, kw_only=True):
    """How a wound is covered from one trip on; the answers are those of that trip.

    `bulk_mm` is how far the flap will stand above the skin, `border_mm` the width of whole skin
    that the film needs round the wound. None: as resources/cover.toml says.
    """

    id: Id
    kind: CoverKind = "not decided"
    trip: Id | None = None
    vacuum_over: VacuumOver = "not asked"
    tension: Answer = "not known"
    degloving: Answer = "not known"
    skin_loss: Answer = "not known"
    bare_bone: Answer = "not known"
    bulk_mm: Annotated[float, Meta(ge=0, le=100)] | None = None
    border_mm: Annotated[float, Meta(ge=0, le=150)] | None = None
    note: ShortText = ""
