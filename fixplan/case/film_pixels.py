"""A picture's file as text within the case, and the case without such text."""

import base64
import binascii

from msgspec.structs import replace

from fixplan.case.film_records import Film
from fixplan.case.records import Case
from fixplan.errors import FilmError


def as_inside(content: bytes) -> str:
    """A picture's file as the text that a case keeps."""
    return base64.b64encode(content).decode("ascii")


def inside_bytes(film: Film) -> bytes:
    """The file of a picture that the case keeps. Raises FilmError when the text is no base64."""
    try:
        return base64.b64decode(film.inside, validate=True)
    except (binascii.Error, ValueError) as problem:
        raise FilmError(
            f"{film.id}: its pixels in the case are not whole; add the picture again."
        ) from problem


def without_pixels(case: Case) -> Case:
    """The case with the digests of its pictures alone, which stand for their pixels."""
    if not any(film.inside for film in case.films):
        return case
    return replace(case, films=tuple(replace(film, inside="") for film in case.films))
