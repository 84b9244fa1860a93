"""What a debridement found and did, as recorded after a trip. Millimetres, litres, millilitres."""

from typing import Annotated, Literal

from msgspec import Meta

from fixplan.case.dead_space_records import Answer, Millilitres
from fixplan.case.scalars import Id, OpenGrade, Record, ShortText

MuscleSign = Literal["alive", "doubtful", "dead", "not judged"]
Irrigant = Literal["not given", "saline", "soap", "other"]
Pressure = Literal["not given", "low", "high"]
LookAgain = Literal["not decided", "yes", "no"]


class MuscleSigns(Record, frozen=True, kw_only=True):
    """The four signs of living muscle in one compartment (VI-01); `taken_out`: it was excised."""

    compartment: Id
    colour: MuscleSign = "not judged"
    consistency: MuscleSign = "not judged"
    contraction: MuscleSign = "not judged"
    bleeding: MuscleSign = "not judged"
    taken_out: Answer = "not known"


class Debridement(Record, frozen=True, kw_only=True):
    """One debridement: muscle, bone, irrigation, samples and the verdict on a further look.

    `defect_mm` is the length of `bone` that is lost, `defect_percent` the share of its
    circumference. `injury_further_mm` is by how much the injury `injury` reached further than it
    was drawn, all round; `grade_after` is the open grade of `fracture` afterwards.
    """

    id: Id
    trip: Id | None = None
    muscles: Annotated[tuple[MuscleSigns, ...], Meta(max_length=12)] = ()
    bone_ends: Answer = "not known"
    fragments_out: Answer = "not known"
    bone: Id | None = None
    defect_mm: Annotated[float, Meta(ge=0, le=500)] | None = None
    defect_percent: Annotated[float, Meta(ge=0, le=100)] | None = None
    space_ml: Millilitres | None = None
    irrigation_l: Annotated[float, Meta(ge=0, le=50)] | None = None
    irrigant: Irrigant = "not given"
    pressure: Pressure = "not given"
    samples: Annotated[int, Meta(ge=0, le=50)] | None = None
    samples_from: ShortText = ""
    fracture: Id | None = None
    grade_after: OpenGrade | None = None
    injury: Id | None = None
    injury_further_mm: Annotated[float, Meta(ge=0, le=200)] | None = None
    look_again: LookAgain = "not decided"
    note: ShortText = ""
