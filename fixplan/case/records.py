"""What was drawn: the case and everything in it, as frozen records.

Millimetres and degrees. Points are (u, v): in a front view u is x (lateral +), in a side
view u is y (anterior +); v is the level along the segment, growing distally. Records are the same
for left and right. Nothing here is rounded, and nothing derived is stored.
"""

from typing import Annotated, Literal

from msgspec import Meta

from fixplan.case.built_records import PartUsed, Talk
from fixplan.case.dead_space_records import Cover, DeadSpace, PatientAnswers
from fixplan.case.debridement_records import Debridement
from fixplan.case.film_records import Film, PinOnFilm
from fixplan.case.ring_records import RingInjury
from fixplan.case.scalars import (
    Band,
    BoneSide,
    CandidateKind,
    Coordinate,
    Face,
    FileName,
    Id,
    InjuryGrade,
    JointState,
    Level,
    LimbKind,
    LongText,
    Measured,
    OpenGrade,
    Outline,
    Record,
    Severity,
    Sex,
    ShortText,
    Side,
    Size,
    Subject,
    SupportKind,
    VascularOrder,
    View,
    WoundKind,
)
from fixplan.case.trip_records import Course, Trip


class BoneSize(Record, frozen=True, kw_only=True):
    """What was measured of a bone on the patient; it wins over the guess from stature.

    Width and canal are told from side to side at the middle of the segment.
    """

    bone: Id
    length_mm: Annotated[float, Meta(ge=10, le=800)] | None = None
    width_mm: Annotated[float, Meta(ge=3, le=150)] | None = None
    canal_mm: Annotated[float, Meta(ge=1, le=100)] | None = None


class Girth(Record, frozen=True, kw_only=True):
    """A girth measured round a segment at its usual place (thigh, calf, heel)."""

    segment: Id
    girth_mm: Annotated[float, Meta(ge=50, le=1500)]


class LimbSize(Record, frozen=True, kw_only=True):
    """How large the patient's limb is, as far as it is known."""

    sex: Sex = "not given"
    stature_mm: Annotated[float, Meta(ge=500, le=2500)] | None = None
    mass_kg: Annotated[float, Meta(ge=10, le=400)] | None = None
    bones: Annotated[tuple[BoneSize, ...], Meta(max_length=20)] = ()
    girths: Annotated[tuple[Girth, ...], Meta(max_length=10)] = ()


class LengthPlan(Record, frozen=True, kw_only=True):
    """Length and turn of the limb; None: not given.

    `correction_mm` is the length wanted at the fracture, below 0 for shortening on purpose;
    `rotation_deg` the turn wanted of the distal part, outward +. `other_limb_mm` is measured on the
    other limb, `traction_n` the pull that the frame is to hold.
    """

    shortening_mm: Annotated[float, Meta(ge=-300, le=300)] | None = None
    correction_mm: Annotated[float, Meta(ge=-300, le=300)] | None = None
    rotation_deg: Annotated[float, Meta(ge=-180, le=180)] | None = None
    other_limb_mm: Annotated[float, Meta(ge=50, le=1500)] | None = None
    traction_n: Annotated[float, Meta(ge=0, le=1000)] | None = None


class Fracture(Record, frozen=True, kw_only=True):
    """A level range of a bone that is broken; `code` is the AO/OTA bone-segment code."""

    id: Id
    bone: Id
    from_mm: Level
    to_mm: Level
    code: Annotated[str, Meta(max_length=20)] = ""
    open_grade: OpenGrade = "not graded"
    note: ShortText = ""


class Wound(Record, frozen=True, kw_only=True):
    """A mark on one face of the skin: a closed outline, or a line with a half-width (D7).

    In the front view `near` is the anterior face, in the side view the lateral face.
    """

    id: Id
    kind: WoundKind
    segment: Id
    view: View
    face: Face = "near"
    outline: Outline = ()
    line: Outline = ()
    half_width_mm: Annotated[float, Meta(ge=0, le=100)] = 0.0
    note: ShortText = ""


class Injury(Record, frozen=True, kw_only=True):
    """The zone of injury (D6): at most one outline a view, a grade and a margin (None: default)."""

    id: Id
    segment: Id
    grade: InjuryGrade = "open"
    margin_mm: Annotated[float, Meta(ge=0, le=200)] | None = None
    front: Outline = ()
    side: Outline = ()
    note: ShortText = ""


class Plate(Record, frozen=True, kw_only=True, tag="plate"):
    """Footprint of a later plate: a strip of the bone's surface on one side (D8)."""

    bone: Id
    side: BoneSide
    from_mm: Level
    to_mm: Level
    width_mm: Size
    thickness_mm: Size


class Nail(Record, frozen=True, kw_only=True, tag="nail"):
    """A later nail: canal from entry to tip, with entry and locking zones as level ranges (D8)."""

    bone: Id
    entry: Literal["proximal", "distal"]
    from_mm: Level
    to_mm: Level
    width_mm: Size
    entry_zone: Band
    locking_zones: Annotated[tuple[Band, ...], Meta(max_length=6)] = ()


class Incision(Record, frozen=True, kw_only=True, tag="incision"):
    """A later incision: a line on one face of the skin with a half-width."""

    segment: Id
    view: View
    face: Face = "near"
    line: Outline
    half_width_mm: Annotated[float, Meta(ge=0, le=100)]


class FreeOutline(Record, frozen=True, kw_only=True, tag="outline"):
    """Any other space to be kept free, drawn in one or two views; as an injury without margin."""

    segment: Id
    front: Outline = ()
    side: Outline = ()


CorridorPart = Plate | Nail | Incision | FreeOutline


class Candidate(Record, frozen=True, kw_only=True):
    """One candidate for later fixation; several may stand side by side while it is undecided."""

    id: Id
    kind: CandidateKind
    label: ShortText = ""
    preset: ShortText = ""
    parts: Annotated[tuple[CorridorPart, ...], Meta(max_length=12)] = ()


class Pin(Record, frozen=True, kw_only=True):
    """A half-pin or through-pin (D3). `length_mm` None: the next stocked length is chosen.

    `bearing_deg` is the side of entry: 0 lateral, 90 anterior, 180 medial, 270 posterior.
    `tilt_deg` + has the outer end proximal. `offset_mm` moves the aim by offset (-sin B, cos B).
    """

    id: Id
    number: Annotated[int, Meta(ge=1, le=9999)]
    bone: Id
    level_mm: Level
    bearing_deg: Annotated[float, Meta(ge=-360, le=720)]
    tilt_deg: Annotated[float, Meta(ge=-60, le=60)] = 0.0
    offset_mm: Annotated[float, Meta(ge=-100, le=100)] = 0.0
    diameter_mm: Annotated[float, Meta(ge=1, le=12)]
    length_mm: Annotated[float, Meta(ge=20, le=500)] | None = None
    tip_mm: Annotated[float, Meta(ge=-150, le=50)] = 2.0
    kind: Literal["half", "through"] = "half"
    open_approach: bool = False
    out_before_reaming: bool = False
    note: ShortText = ""


class PinAnchor(Record, frozen=True, kw_only=True, tag="pin"):
    """A bar's hold on a pin: at its outer end or (through-pin) far end, `out_mm` from the skin."""

    pin: Id
    end: Literal["outer", "far"] = "outer"
    out_mm: Annotated[float, Meta(ge=-100, le=300)]


class BarAnchor(Record, frozen=True, kw_only=True, tag="bar"):
    """A bar's hold on another bar, `at_mm` along it from its first anchor."""

    bar: Id
    at_mm: Coordinate


Anchor = PinAnchor | BarAnchor


class Bar(Record, frozen=True, kw_only=True):
    """A straight bar (D15), held at two anchors; `also` names further pins that it is to carry.

    `length_mm` None: the next stocked length is chosen. `lay`: which side of the pins.
    """

    id: Id
    number: Annotated[int, Meta(ge=1, le=9999)]
    anchors: tuple[Anchor, Anchor]
    also: Annotated[tuple[Id, ...], Meta(max_length=40)] = ()
    lay: Literal[1, -1] = 1
    overhang_mm: Annotated[float, Meta(ge=0, le=300)] = 20.0
    diameter_mm: Annotated[float, Meta(ge=2, le=20)] = 11.0
    length_mm: Annotated[float, Meta(ge=20, le=1000)] | None = None
    material: Id = "carbon"


class Support(Record, frozen=True, kw_only=True):
    """What holds foot or heel beside the frame: a splint, a foot bar or a heel stand.

    A splint runs from `from_mm` to `to_mm` of its segment; a foot bar or heel stand hangs on `bar`.
    """

    id: Id
    kind: SupportKind
    segment: Id = "leg"
    from_mm: Level = 0.0
    to_mm: Level = 0.0
    bar: Id | None = None


class Acceptance(Record, frozen=True, kw_only=True):
    """A finding kept on purpose (D18), with what was measured when it was accepted."""

    rule: Annotated[str, Meta(min_length=1, max_length=120)]
    subjects: Annotated[tuple[Subject, ...], Meta(min_length=1, max_length=500)]
    reason: Annotated[str, Meta(min_length=1, max_length=500)]
    severity: Severity
    measured: Measured | None = None
    limit: Measured | None = None
    rule_set: ShortText = ""


class Case(Record, frozen=True, kw_only=True):
    """One limb's plan. Holds no name, number or date of birth unless typed into the label.

    Only a pelvis has the side `both`. Joint angles that are None are drawn as the limb's data say.
    `spanned_joints` braced: the ligaments of spanned joints that are not broken hold too.
    `open_growth_plates`: a child, whose bones still grow; `closed_growth_plates`: looked for, and
    none is open.
    `last_number` is the highest number that a pin ever had (D17). `retired` holds, for each other
    kind of thing, the highest id that was removed, so that no id is ever given twice.
    `answers` is what was asked before drugs go into cement.
    `vascular_order`: how a vessel's repair and the frame follow each other, where one is repaired.
    `talks` tells with whom the plan was discussed; `built` keeps the plan once theatre is done.
    `ring` tells what of a pelvis' ring is torn.
    `linked` names the files of the same patient's other cases, from this file's folder.
    """

    label: ShortText = ""
    limb: LimbKind = "leg"
    side: Side
    size: LimbSize = LimbSize()
    open_growth_plates: bool = False
    closed_growth_plates: bool = False
    knee_flexion_deg: Annotated[float, Meta(ge=0, le=30)] | None = None
    elbow_flexion_deg: Annotated[float, Meta(ge=0, le=145)] | None = None
    wrist_extension_deg: Annotated[float, Meta(ge=-70, le=70)] | None = None
    spanned_joints: JointState = "free"
    length: LengthPlan = LengthPlan()
    fractures: Annotated[tuple[Fracture, ...], Meta(max_length=20)] = ()
    wounds: Annotated[tuple[Wound, ...], Meta(max_length=40)] = ()
    injuries: Annotated[tuple[Injury, ...], Meta(max_length=20)] = ()
    ring: RingInjury = RingInjury()
    candidates: Annotated[tuple[Candidate, ...], Meta(max_length=20)] = ()
    pins: Annotated[tuple[Pin, ...], Meta(max_length=200)] = ()
    bars: Annotated[tuple[Bar, ...], Meta(max_length=200)] = ()
    supports: Annotated[tuple[Support, ...], Meta(max_length=20)] = ()
    acceptances: Annotated[tuple[Acceptance, ...], Meta(max_length=500)] = ()
    debridements: Annotated[tuple[Debridement, ...], Meta(max_length=40)] = ()
    dead_spaces: Annotated[tuple[DeadSpace, ...], Meta(max_length=20)] = ()
    cover: Annotated[tuple[Cover, ...], Meta(max_length=20)] = ()
    answers: PatientAnswers = PatientAnswers()
    last_number: Annotated[int, Meta(ge=0, le=99999)] = 0
    retired: Annotated[tuple[Id, ...], Meta(max_length=20)] = ()
    linked: Annotated[tuple[FileName, ...], Meta(max_length=8)] = ()
    films: Annotated[tuple[Film, ...], Meta(max_length=20)] = ()
    pins_on_films: Annotated[tuple[PinOnFilm, ...], Meta(max_length=400)] = ()
    course: Course = Course()
    trips: Annotated[tuple[Trip, ...], Meta(max_length=60)] = ()
    kept_plans: Annotated[tuple["KeptPlan", ...], Meta(max_length=60)] = ()
    vascular_order: VascularOrder = "no repair"
    talks: Annotated[tuple[Talk, ...], Meta(max_length=20)] = ()
    built: "AsBuilt | None" = None
    notes: LongText = ""


class KeptPlan(Record, frozen=True, kw_only=True):
    """The plan that a trip was done from, as it then was; `snapshot` is its id on paper (D19).

    It holds no kept plans of its own.
    """

    trip: Id
    snapshot: Annotated[str, Meta(pattern=r"^[A-Z2-7]{6}$")]
    plan: Case


class AsBuilt(Record, frozen=True, kw_only=True):
    """The frame after theatre: the plan as it then was, with its id on paper (D19), and the parts.

    `is_as_drawn`: it was built as planned; else the drawing is changed to what was built. The plan
    holds no kept plans and is itself not built.
    """

    snapshot: Annotated[str, Meta(pattern=r"^[A-Z2-7]{6}$")]
    is_as_drawn: bool
    told_at: ShortText = ""
    plan: Case
    parts: Annotated[tuple[PartUsed, ...], Meta(max_length=400)] = ()
