"""The numbers that pictures are treated by, from resources/films.toml."""

import functools

import msgspec

from fixplan.limb.library import load_toml


class FilmLimits(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Sizes that are refused, and how sure clicks and spacings are."""

    most_pixels: int
    most_file_bytes: int
    most_inside_bytes: int
    click_error_px: float
    spacing_agrees_within: float
    ball_mm: float
    least_ball_px: float


class FirstShown(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """How a picture is shown at first."""

    opacity: float
    first_width_share: float
    section_within_mm: float
    printed_dpi: float


class FilmsFile(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The file as a whole; `magnification` names the formula and its source."""

    schema: int
    limits: FilmLimits
    shown: FirstShown
    magnification: dict[str, str]


@functools.cache
def film_limits() -> FilmLimits:
    """Limits for pictures. Raises LibraryError when the file does not hold them."""
    return load_toml("films.toml", FilmsFile).limits


@functools.cache
def first_shown() -> FirstShown:
    """How a picture is shown at first. Raises LibraryError when the file does not hold it."""
    return load_toml("films.toml", FilmsFile).shown
