"""The authored anatomy as it stands in resources/anatomy: one file for each segment of a limb."""

from typing import Annotated, Literal, get_args

import msgspec
from msgspec import Meta

Point = tuple[float, float]
Ring = Annotated[tuple[Point, ...], Meta(min_length=3, max_length=400)]
Fraction = Annotated[float, Meta(ge=-1, le=4)]
SkinFraction = Annotated[float, Meta(ge=-1, le=4)]
Degrees = Annotated[float, Meta(ge=0, le=360)]
Positive = Annotated[float, Meta(gt=0)]
Grade = Literal["critical", "minor", "tether", "variant"]
GRADES: tuple[Grade, ...] = get_args(Grade)
Confidence = Literal["high", "medium", "low"]
Name = Annotated[str, Meta(pattern=r"^[a-z][a-z0-9-]*$")]
Sides = tuple[str, str, str, str]
Pair = tuple[str, str]
SkinEnd = tuple[SkinFraction, float, float, float, float]


class Row(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Base of all rows: frozen, no unknown fields."""


class Canal(Row, frozen=True):
    """The space within the cortex: an outline, or half-axes about a centre, or neither."""

    kind: Literal["medullary", "cancellous"]
    outline: tuple[Point, ...] = ()
    centre: Point = (0.0, 0.0)
    half_ml_mm: float = 0.0
    half_ap_mm: float = 0.0


class BoneSection(Row, frozen=True):
    """One bone cut at one level, in section coordinates; `target` is where a pin aims."""

    bone: str
    target: Point
    cortex_mm: Positive
    outline: Ring
    canal: Canal


class Hazard(Row, frozen=True):
    """A nerve, vessel, tendon or joint space at one level: a disc or an outline.

    `track` joins one structure across levels. `turn`: which way round the bone it goes to the next
    level; the short way if it is not stated.
    """

    name: str
    track: Annotated[str, Meta(pattern=r"^[a-z0-9-]+$")]
    kind: Literal["artery", "vein", "bundle", "nerve", "tendon", "joint"]
    grade: Grade
    confidence: Confidence
    at: Point | None = None
    radius_mm: Positive | None = None
    outline: tuple[Point, ...] = ()
    turn: Literal["", "clockwise", "counter-clockwise"] = ""
    note: str = ""


class SpreadStrip(Row, frozen=True):
    """Where a spread that is told medially from a point lies: beside this landmark.

    Drawn and judged over these levels about the landmark, and so much deeper and nearer the skin
    than the structure as it is drawn, mm.
    """

    landmark: str
    levels_mm: tuple[float, float]
    deep_mm: Positive


class Spread(Row, frozen=True):
    """A published spread of where a structure lies or crosses.

    `measure` tells what varies: the level of a crossing, told from a landmark (mm, or a share of
    the bone's length); the bearing about the bone (deg); the distance from the bone or, in
    `measured_from`, from a point (mm), with its `strip` where that is medial to a landmark. Levels
    count upwards from the landmark, or down if `below`. `bearings_deg` (from, to, counter-
    clockwise) limit it to some sides of the bone. Mean and SD, or the range that was seen, or both.
    """

    track: Annotated[str, Meta(pattern=r"^[a-z0-9-]+$")]
    what: str
    measure: Literal["level", "share", "bearing", "distance"]
    evidence: tuple[str, ...]
    source: str
    status: str
    landmark: str = ""
    below: bool = False
    measured_from: str = ""
    mean: float | None = None
    sd: Positive | None = None
    least: float | None = None
    most: float | None = None
    bearings_deg: tuple[Degrees, Degrees] | None = None
    strip: SpreadStrip | None = None


class MuscleSector(Row, frozen=True):
    """Bearings, counter-clockwise, over which a pin would pass through these muscles."""

    name: str
    from_deg: Degrees
    to_deg: Degrees


class AuthoredLevel(Row, frozen=True):
    """Everything known at one level; `z` is the fraction of the segment's span."""

    id: str
    z: Fraction
    place: str
    confidence: Confidence
    status: str
    girth_mm: Positive
    skin: Ring
    bones: Annotated[tuple[BoneSection, ...], Meta(min_length=1)]
    hazards: tuple[Hazard, ...]
    muscle_sectors: tuple[MuscleSector, ...]


class AuthoredBone(Row, frozen=True):
    """A bone's outlines in the segment's frame: front (x, level) or (x, y), side (y, level).

    `shape`: in a plate a pin runs between two tables, and no share of a width tells how it holds.
    """

    name: str
    title: str
    drawn_only: bool
    length_mm: Positive | None
    front: Ring
    side: Ring
    shape: Literal["tube", "plate"] = "tube"


class Hinge(Row, frozen=True):
    """A joint's axis in the frame of the segment above it; `gap_mm` is the cartilage between."""

    name: str
    centre_yz_mm: Point
    gap_mm: float
    source: str
    status: str


class GirthPlace(Row, frozen=True):
    """Where a girth is taken, and what the reference limb measures there."""

    place: str
    reference_mm: Positive


class LevelWays(Row, frozen=True):
    """Words for the two ways along a segment's levels: towards its start, and onward.

    `places` compare two levels ("12 mm further distal"), `slides` tell a move ("slide it 12 mm
    distally"), `from_landmark` stand before a landmark's name ("12 mm below the ..."). Sections are
    `seen_from` onward. `front_seen` says how a front view shows a segment that does not face
    whoever faces the patient, such as a foot.
    """

    places: Pair = ("proximal", "distal")
    slides: Pair = ("proximally", "distally")
    from_landmark: Pair = ("above", "below")
    seen_from: str = "below"
    front_seen: str = ""


class Aims(Row, frozen=True):
    """Words for the way a pin runs in, where a segment's pins are told so.

    `across`: which way pins from bearings 0, 90, 180 and 270 degrees run; `along`: those whose
    outer end is tilted towards the segment's start, and onward.
    """

    across: tuple[str, str, str, str]
    along: Pair


class SectionGroup(Row, frozen=True):
    """Sections of one bone beside its segment's own: a finger's phalanx, a bone of the midfoot.

    Named after its `primary` bone. `z` of its levels is the fraction of the segment's span, and may
    lie beyond it. Sections blend within their group alone (D9). They follow the primary bone's
    outlines, unless `sections_shift` says where they lie. `skin_ends` as in a segment; without them
    the nearest skin holds as far as the bone is drawn.
    """

    primary: str
    source: str
    status: str
    notes: tuple[str, ...]
    levels: Annotated[tuple[AuthoredLevel, ...], Meta(min_length=2)]
    sections_shift: Point | None = None
    skin_ends: tuple[SkinEnd, ...] = ()
    spreads: tuple[Spread, ...] = ()


class AuthoredSegment(Row, frozen=True):
    """One segment of a limb. `sections_shift` None: sections follow the middle of the outlines.

    `guess_beyond` False: beyond the authored levels the outlines do not tell a bone's shape.
    `sides` name bearings 0, 90, 180 and 270 degrees, `ways` its levels, `aims` the way its
    pins run. `spreads`: how far structures were found from where they are drawn. `groups`: sections
    of bones beside these levels. `grows_as` names the bone in scaling.json whose size it follows,
    and `girth_as` the girth, where that is not its primary bone or itself.
    """

    segment: Name
    title: str
    primary: str
    span_mm: Positive
    axis: str
    front_shows: Literal["level", "forward"]
    sections_shift: Point | None
    status: str
    source: str
    notes: tuple[str, ...]
    hinge: Hinge | None
    skin_ends: tuple[SkinEnd, ...]
    girth: GirthPlace
    bones: Annotated[tuple[AuthoredBone, ...], Meta(min_length=1)]
    levels: Annotated[tuple[AuthoredLevel, ...], Meta(min_length=2)]
    guess_beyond: bool = True
    ways: LevelWays = LevelWays()
    aims: Aims | None = None
    sides: Sides = ("lateral", "anterior", "medial", "posterior")
    spreads: tuple[Spread, ...] = ()
    grows_as: str = ""
    girth_as: str = ""
    skin_front: tuple[Point, ...] = ()
    skin_side: tuple[Point, ...] = ()
    groups: tuple[SectionGroup, ...] = ()

    def of_group(self, group: SectionGroup) -> "AuthoredSegment":
        """The segment with the sections of one group in the place of its own."""
        return msgspec.structs.replace(
            self,
            primary=group.primary,
            source=group.source,
            status=group.status,
            notes=group.notes,
            levels=group.levels,
            sections_shift=group.sections_shift,
            skin_ends=group.skin_ends,
            spreads=group.spreads,
            skin_front=(),
            skin_side=(),
            groups=(),
        )

    @property
    def each_group(self) -> "tuple[AuthoredSegment, ...]":
        """The segment by its own sections, then by those of each further group."""
        return (self, *(self.of_group(group) for group in self.groups))


class BoneGrowth(Row, frozen=True):
    """How a bone's size follows from the patient; see the group's source in the file."""

    length_mm: Positive
    male_ratio: Positive
    female_ratio: Positive
    sd_fraction: Positive
    width_exponent: Positive
    female_width_factor: Positive
    unknown_sex_width_factor: Positive
    source: str
    status: str


class GirthModel(Row, frozen=True):
    """girth = intercept + per_mm_stature * stature + per_kg * mass (mm, kg), by sex."""

    measure: str
    male: tuple[float, float, float]
    female: tuple[float, float, float]
    see_mm: Positive
    reference_mm: Positive


class Scaling(Row, frozen=True):
    """The reference adult and the rules by which the limb takes the patient's size."""

    reference_stature_mm: Positive
    reference_mass_kg: Positive
    reference_source: str
    reference_status: str
    stature_sd_mm: Positive
    stature_sd_source: str
    least_skin_depth_mm: Positive
    least_skin_depth_source: str
    bones: dict[str, BoneGrowth]
    girth_source: str
    girth_status: str
    girths: dict[str, GirthModel]
