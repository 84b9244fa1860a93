"""The plain values that records are made of, with their limits, and the kind of all records."""

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

Id = Annotated[
    str,
    Meta(
        min_length=1,
        max_length=60,
        pattern=r"^[a-z][a-z0-9-]*$",
        description="A name that the case uses inside, such as pin-3 or tibia",
    ),
]
ShortText = Annotated[str, Meta(max_length=200)]
LongText = Annotated[str, Meta(max_length=5000)]
Subject = Annotated[
    str,
    Meta(
        min_length=1,
        max_length=200,
        pattern=r"^[a-z][a-z0-9:/._-]*$",
        description="What a finding is about, such as pin-3 or clamp:bar-1/pin-3",
    ),
]
FileName = Annotated[
    str,
    Meta(
        min_length=1,
        max_length=200,
        pattern=r"^[^/\\\x00-\x1f][^\\\x00-\x1f]*$",
        description="Another case's file, told from the folder of this one, with / between folders",
    ),
]
Coordinate = Annotated[float, Meta(ge=-2000, le=2000, description="mm in a view or along a bar")]
Level = Annotated[
    float, Meta(ge=-1000, le=2000, description="mm along the segment, growing distally")
]
Size = Annotated[float, Meta(gt=0, le=1000, description="mm")]
Point = tuple[Coordinate, Coordinate]
Outline = Annotated[
    tuple[Point, ...],
    Meta(
        max_length=2000,
        description="Points (u, v) in mm: u lateral + (front) or anterior + (side), v distal +",
    ),
]
Band = tuple[Level, Level]
Measured = Annotated[float, Meta(ge=-1e9, le=1e9)]

Side = Literal["right", "left", "both"]
LimbKind = Literal["leg", "arm", "pelvis"]
Sex = Literal["female", "male", "not given"]
View = Literal["front", "side"]
Face = Literal["near", "far"]
OpenGrade = Literal["closed", "I", "II", "IIIA", "IIIB", "IIIC", "not graded"]
InjuryGrade = Literal["open", "bruised"]
Severity = Literal["stop", "caution", "note", "not assessed"]
BoneSide = Literal[
    "lateral",
    "anterolateral",
    "anterior",
    "anteromedial",
    "medial",
    "posteromedial",
    "posterior",
    "posterolateral",
]
WoundKind = Literal[
    "opening",
    "planned extension",
    "skin loss",
    "degloving",
    "blister",
    "fasciotomy line",
    "flap territory",
    "vessel access",
    "perforator",
]
CandidateKind = Literal[
    "plate", "dual plate", "nail", "incision", "free outline", "definitive frame", "undecided"
]
SupportKind = Literal["splint", "foot bar", "heel stand"]
VascularOrder = Literal["no repair", "shunt, frame, repair", "frame, repair"]


JointState = Literal["free", "braced"]
"""How joints count that a frame spans: as free to move, or with unbroken ligaments."""


class Record(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Base of all records: frozen, no unknown fields."""
