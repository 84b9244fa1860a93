"""The course of a case: trips to theatre, times, grade, what the flags ask, the pin-site log.

Times are stored in UTC to the minute, each with the time zone in which it was typed.
"""

from typing import Annotated, Literal

from msgspec import Meta

from fixplan.case.scalars import Id, Record, ShortText

UtcMinute = Annotated[
    str,
    Meta(
        pattern=r"^20[0-9]{2}-[01][0-9]-[0-3][0-9]T[0-2][0-9]:[0-5][0-9]Z$",
        description="UTC to the minute, such as 2026-03-29T01:30Z",
    ),
]
ZoneName = Annotated[
    str,
    Meta(
        min_length=1,
        max_length=60,
        pattern=r"^[A-Za-z][A-Za-z0-9_+/-]*$",
        description="A time zone of the system's zone data, such as Europe/London",
    ),
]
Day = Annotated[
    str,
    Meta(pattern=r"^20[0-9]{2}-[01][0-9]-[0-3][0-9]$", description="A day, such as 2026-03-29"),
]
SchemeGrade = Annotated[int, Meta(ge=1, le=3)]

TripTask = Literal[
    "debridement",
    "frame",
    "second look",
    "vessel repair",
    "fasciotomy",
    "fasciotomy closure",
    "beads in",
    "beads out",
    "spacer in",
    "spacer out",
    "vacuum dressing",
    "cover",
    "final fixation",
    "pin removal",
]
Specialty = Literal[
    "orthopaedic",
    "plastic",
    "vascular",
    "general surgery",
    "anaesthesia",
    "radiology",
    "microbiology",
]
YesNo = Literal["yes", "no", "not known"]
Contamination = Literal["none or little", "some", "heavy", "not known"]
Energy = Literal["low", "high", "not known"]
DiastolicFrom = Literal["before anaesthesia", "under anaesthesia", "not known"]
PinSiteState = Literal["dry", "wet", "infected"]
VascularSign = Literal[
    "pulsatile bleeding",
    "growing haematoma",
    "cold or pale limb",
    "no pulse",
    "thrill or bruit",
]


class Moment(Record, frozen=True, kw_only=True):
    """A point in time: UTC, and the zone in which it is told."""

    utc: UtcMinute
    zone: ZoneName


class Trip(Record, frozen=True, kw_only=True):
    """One planned visit to theatre: when, what, who; `done_at` once it has been done.

    Edits keep trips in the order of their times; one without a planned time comes last.
    """

    id: Id
    planned: Moment | None = None
    what: Annotated[tuple[TripTask, ...], Meta(max_length=14)] = ()
    who: Annotated[tuple[Specialty, ...], Meta(max_length=7)] = ()
    done_at: Moment | None = None
    note: ShortText = ""


class SecondScheme(Record, frozen=True, kw_only=True):
    """The open fracture by the OTA-OFC scheme, 1 to 3 for each part; None: not judged yet."""

    skin: SchemeGrade | None = None
    muscle: SchemeGrade | None = None
    artery: SchemeGrade | None = None
    contamination: SchemeGrade | None = None
    bone_loss: SchemeGrade | None = None


class Compartment(Record, frozen=True, kw_only=True):
    """Compartment syndrome: what was seen and measured, pressures in mmHg.

    `decided_at` is when release was decided on.
    """

    pain_out_of_proportion: YesNo = "not known"
    pain_on_stretch: YesNo = "not known"
    name: ShortText = ""
    pressure_mmhg: Annotated[float, Meta(ge=0, le=200)] | None = None
    diastolic_mmhg: Annotated[float, Meta(ge=0, le=200)] | None = None
    diastolic_from: DiastolicFrom = "not known"
    after_length: bool = False
    decided_at: Moment | None = None


class Vascular(Record, frozen=True, kw_only=True):
    """Signs of a torn or blocked artery; the index is ankle (or wrist) over arm pressure."""

    signs: Annotated[tuple[VascularSign, ...], Meta(max_length=5)] = ()
    soft_signs: YesNo = "not known"
    index: Annotated[float, Meta(ge=0, le=3)] | None = None


class Resuscitation(Record, frozen=True, kw_only=True):
    """Blood and injury load: lactate and base excess in mmol/L, platelets in 10^9/L."""

    lactate_mmol_per_l: Annotated[float, Meta(ge=0, le=40)] | None = None
    ph: Annotated[float, Meta(ge=6, le=8)] | None = None
    base_excess_mmol_per_l: Annotated[float, Meta(ge=-40, le=40)] | None = None
    platelets_e9_per_l: Annotated[float, Meta(ge=0, le=2000)] | None = None
    temperature_c: Annotated[float, Meta(ge=15, le=45)] | None = None
    injury_score: Annotated[int, Meta(ge=0, le=75)] | None = None
    chest_score: Annotated[int, Meta(ge=0, le=6)] | None = None
    systolic_mmhg: Annotated[float, Meta(ge=0, le=300)] | None = None
    pelvis_or_abdomen: YesNo = "not known"
    both_lungs_bruised: YesNo = "not known"


class PinSite(Record, frozen=True, kw_only=True):
    """How one pin's site looked on one day. The pin may since have been taken out."""

    pin: Id
    day: Day
    state: PinSiteState
    note: ShortText = ""


class Course(Record, frozen=True, kw_only=True):
    """What the clocks count from, the guideline in force (empty: the first that is listed), flags.

    `grade_settled_at` is the debridement after which the open grade was settled; until then it is
    provisional. `fixation` is the candidate that the final fixation is planned as.
    """

    injured_at: Moment | None = None
    arrived_at: Moment | None = None
    antibiotic_at: Moment | None = None
    antibiotic_stopped_at: Moment | None = None
    guideline: Annotated[str, Meta(max_length=60, pattern=r"^[a-z0-9-]*$")] = ""
    contamination: Contamination = "not known"
    energy: Energy = "not known"
    grade_settled_at: Id | None = None
    second_scheme: SecondScheme = SecondScheme()
    fixation: Id | None = None
    tissue_doubtful: YesNo = "not known"
    compartment: Compartment = Compartment()
    vascular: Vascular = Vascular()
    resuscitation: Resuscitation = Resuscitation()
    last_tetanus: Day | None = None
    tetanus_course_complete: YesNo = "not known"
    pin_sites: Annotated[tuple[PinSite, ...], Meta(max_length=2000)] = ()
