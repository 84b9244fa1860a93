"""The patient's own pictures under the drawing, as frozen records.

A picture's points are (x, y) in its pixels, x to the right and y down, from its upper left corner.
On paper they lie at (w, z) mm: w to the right of the paper, z down it, from where (u, v) = (0, 0)
of the segment stands in that view. A picture is never mirrored with the side of the case.
"""

from typing import Annotated, Literal

from msgspec import Meta

from fixplan.case.scalars import FileName, Id, Level, Record, ShortText

FilmView = Literal["front", "side", "section"]
ScaleSource = Literal[
    "two points", "marker ball", "matched landmarks", "matched points", "spacing in the file"
]
Pixel = Annotated[float, Meta(ge=-200000, le=200000, description="pixels of the picture")]
PixelPoint = tuple[Pixel, Pixel]
Factor = Annotated[float, Meta(ge=-1000, le=1000)]
Shift = Annotated[float, Meta(ge=-1e6, le=1e6)]
Placing = tuple[Factor, Factor, Shift, Factor, Factor, Shift]
MOST_INSIDE_LETTERS = 14_000_000
"""Of one picture kept in a case: base64 of some 10 MB."""
Digest = Annotated[str, Meta(pattern=r"^([0-9a-f]{64})?$", max_length=64)]


class FilmScale(Record, frozen=True, kw_only=True):
    """How large a pixel is on the limb, how that was found, and how far it may be out.

    `magnification` is size on the detector over true size, where a ball told it.
    """

    how: ScaleSource
    mm_per_px: Annotated[float, Meta(gt=0, le=100)]
    error_percent: Annotated[float, Meta(ge=0, le=100)] | None = None
    magnification: Annotated[float, Meta(gt=0, le=20)] | None = None
    assumes: ShortText = ""


class Film(Record, frozen=True, kw_only=True):
    """A film, a scan's slice or a photograph under one view.

    Its pixels lie in a file of their own, told from the case's folder, or in `inside`: that file's
    bytes as base64, kept there because the user asked for it. `digest` is the SHA-256 of the file.
    `placing` are (a, b, c, d, e, f): w = a x + b y + c, z = d x + e y + f. Without a scale it can
    be traced, but gives no millimetres. `level_mm` is given for the section only. `is_printed`: it
    is on the printed sheet too. `is_matched`: it was laid on the limb by matched points and not
    moved since; else it tells no places on the limb.
    """

    id: Id
    view: FilmView
    segment: Id
    level_mm: Level | None = None
    file: FileName
    digest: Digest = ""
    width_px: Annotated[int, Meta(ge=1, le=100000)]
    height_px: Annotated[int, Meta(ge=1, le=100000)]
    placing: Placing
    scale: FilmScale | None = None
    opacity: Annotated[float, Meta(ge=0, le=1)] = 0.6
    brightness: Annotated[float, Meta(ge=-1, le=1)] = 0.0
    contrast: Annotated[float, Meta(ge=0.1, le=10)] = 1.0
    is_inverted: bool = False
    is_hidden: bool = False
    is_printed: bool = False
    is_matched: bool = False
    inside: Annotated[
        str, Meta(max_length=MOST_INSIDE_LETTERS, description="the picture's file as base64")
    ] = ""
    note: ShortText = ""


class PinOnFilm(Record, frozen=True, kw_only=True):
    """Where a built pin shows on a film after theatre: its entry and its tip."""

    pin: Id
    film: Id
    entry: PixelPoint
    tip: PixelPoint
