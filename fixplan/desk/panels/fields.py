"""The editable properties of each kind of thing, as data. No Qt."""

from collections.abc import Mapping
from typing import Literal, NamedTuple, get_args

from fixplan.case.records import (
    Bar,
    Candidate,
    Fracture,
    FreeOutline,
    Incision,
    Injury,
    Nail,
    Pin,
    Plate,
    Support,
    Wound,
)
from fixplan.case.scalars import BoneSide, OpenGrade, Record, WoundKind

FieldKind = Literal["number", "optional number", "text", "choice", "flag"]


class Choice(NamedTuple):
    """One value that a field may take, and what it is called."""

    value: object
    words: str


class Field(NamedTuple):
    """One property: its name in the record, its label, and how it is typed.

    `unset` is shown for an optional number that is not given. `low` to `high` is what the file can
    hold; whether a value is wise is for the checks to say.
    """

    name: str
    label: str
    kind: FieldKind = "text"
    unit: str = ""
    low: float = 0.0
    high: float = 0.0
    step: float = 1.0
    unset: str = ""
    choices: tuple[Choice, ...] = ()
    tip: str = ""


def _same(words: tuple[str, ...]) -> tuple[Choice, ...]:
    return tuple(Choice(word, word) for word in words)


def _level(name: str, label: str, tip: str = "Along the bone from its proximal reference") -> Field:
    return Field(name, label, "number", "mm", -1000, 2000, tip=tip)


FACES = (Choice("near", "nearer face"), Choice("far", "further face"))
VIEWS = (Choice("front", "front"), Choice("side", "side"))
NOTE = Field("note", "Note")
HALF_WIDTH = Field("half_width_mm", "Half-width", "number", "mm", 0, 100)
FACE = Field("face", "On the", "choice", choices=FACES, tip="Nearer to or further from the viewer")

FIELDS: Mapping[type[Record], tuple[Field, ...]] = {
    Fracture: (
        _level("from_mm", "From"),
        _level("to_mm", "To"),
        Field("code", "AO/OTA code", tip="Bone and segment, such as 42"),
        Field("open_grade", "Open grade", "choice", choices=_same(get_args(OpenGrade))),
        NOTE,
    ),
    Wound: (
        Field("kind", "Kind", "choice", choices=_same(get_args(WoundKind))),
        FACE,
        HALF_WIDTH,
        NOTE,
    ),
    Injury: (
        Field(
            "grade",
            "Grade",
            "choice",
            choices=(
                Choice("open", "open, crushed or degloved"),
                Choice("bruised", "bruised or blistered"),
            ),
        ),
        Field("margin_mm", "Margin", "optional number", "mm", 0, 200, unset="usual there"),
        NOTE,
    ),
    Candidate: (Field("label", "Label"),),
    Plate: (
        Field("side", "Side", "choice", choices=_same(get_args(BoneSide))),
        _level("from_mm", "From"),
        _level("to_mm", "To"),
        Field("width_mm", "Width", "number", "mm", 1, 200),
        Field("thickness_mm", "Thickness", "number", "mm", 1, 50, 0.5),
    ),
    Nail: (
        Field("entry", "Entry", "choice", choices=_same(("proximal", "distal"))),
        _level("from_mm", "From"),
        _level("to_mm", "To"),
        Field("width_mm", "Width", "number", "mm", 1, 50, 0.5),
    ),
    Incision: (FACE, HALF_WIDTH),
    FreeOutline: (),
    Pin: (
        _level("level_mm", "Level"),
        Field(
            "bearing_deg", "Bearing", "number", "°", -360, 720, 5,
            tip="Side of entry: 0 lateral (radial), 90 anterior (palmar), 180 medial (ulnar), "
            "270 posterior (dorsal); in the forefoot 90 dorsal, 270 plantar",
        ),
        Field(
            "tilt_deg", "Tilt", "number", "°", -60, 60, tip="More: the outer end lies more proximal"
        ),
        Field("offset_mm", "Offset", "number", "mm", -100, 100, tip="Off the bone's middle"),
        Field("diameter_mm", "Diameter", "number", "mm", 1, 12, 0.5),
        Field("length_mm", "Length", "optional number", "mm", 20, 500, 10, "next stocked length"),
        Field("tip_mm", "Past far cortex", "number", "mm", -150, 50),
        Field(
            "kind", "Kind", "choice",
            choices=(Choice("half", "half-pin"), Choice("through", "through-pin")),
        ),
        Field("open_approach", "Open approach", "flag", tip="Nerve and vessel in sight"),
        Field("out_before_reaming", "Out before reaming", "flag"),
        NOTE,
    ),
    Bar: (
        Field(
            "lay", "Lies on", "choice",
            choices=(Choice(1, "one side of its pins"), Choice(-1, "the other side")),
        ),
        Field("overhang_mm", "Overhang", "number", "mm", 0, 300, 5),
        Field("diameter_mm", "Diameter", "number", "mm", 2, 20),
        Field("length_mm", "Length", "optional number", "mm", 20, 1000, 10, "next stocked length"),
        Field("material", "Material", "choice", choices=_same(("carbon", "steel"))),
    ),
    Support: (
        Field("from_mm", "From", "number", "mm", -1000, 2000),
        Field("to_mm", "To", "number", "mm", -1000, 2000),
    ),
}  # fmt: skip
