"""The authored anatomy as it stands in resources/anatomy: one file for each segment of a limb."""

import functools
from typing import Annotated, Literal, TypeVar

import msgspec
from msgspec import Meta

from fixplan.errors import LibraryError
from fixplan.limb.library import read_bytes, resources_dir

T = TypeVar("T")
Point = tuple[float, float]
Ring = Annotated[tuple[Point, ...], Meta(min_length=3, max_length=400)]
Fraction = Annotated[float, Meta(ge=-0.1, le=1.1)]
Degrees = Annotated[float, Meta(ge=0, le=360)]
Positive = Annotated[float, Meta(gt=0)]
Confidence = Literal["high", "medium", "low"]
SegmentName = Literal["thigh", "leg", "hindfoot"]

SEGMENTS: dict[str, tuple[SegmentName, ...]] = {"leg": ("thigh", "leg", "hindfoot")}


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
    grade: Literal["critical", "minor", "tether", "variant"]
    confidence: Confidence
    at: Point | None = None
    radius_mm: Positive | None = None
    outline: tuple[Point, ...] = ()
    turn: Literal["", "clockwise", "counter-clockwise"] = ""
    note: str = ""


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
    """A bone's outlines in the segment's frame: front (x, level) or (x, y), side (y, level)."""

    name: str
    title: str
    drawn_only: bool
    length_mm: Positive | None
    front: Ring
    side: Ring


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


class AuthoredSegment(Row, frozen=True):
    """One segment of a limb. `sections_shift` None: sections follow the middle of the outlines."""

    segment: SegmentName
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
    skin_ends: tuple[tuple[Fraction, float, float, float, float], ...]
    girth: GirthPlace
    bones: Annotated[tuple[AuthoredBone, ...], Meta(min_length=1)]
    levels: Annotated[tuple[AuthoredLevel, ...], Meta(min_length=2)]
    origin_in_leg_mm: tuple[float, float, float] = (0.0, 0.0, 0.0)
    skin_front: tuple[Point, ...] = ()
    skin_side: tuple[Point, ...] = ()


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


def _decoded(name: str, kind: type[T]) -> T:
    try:
        return msgspec.json.decode(read_bytes(name), type=kind)
    except msgspec.DecodeError as error:
        where = resources_dir() / name
        raise LibraryError(f"{where}: {error}: correct that value.") from error


@functools.cache
def authored_segments(kind: str) -> dict[str, AuthoredSegment]:
    """The authored segments of a limb kind (`leg`), proximal first.

    Raises:
        LibraryError: if the kind is not known or a file does not hold what it should.
    """
    names = SEGMENTS.get(kind)
    if names is None:
        raise LibraryError(f"No anatomy for a limb of kind {kind!r}: use one of {list(SEGMENTS)}.")
    return {name: _decoded(f"anatomy/{name}.json", AuthoredSegment) for name in names}


@functools.cache
def scaling() -> Scaling:
    """Reference sizes, ratios, allometry and girth model.

    Raises:
        LibraryError: if the file does not hold what it should.
    """
    return _decoded("anatomy/scaling.json", Scaling)
