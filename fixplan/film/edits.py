"""Changes of a case's pictures: each takes a case and gives another. Raises EditError."""

from collections.abc import Sequence

from msgspec.structs import replace

from fixplan.case.film_records import Film, FilmScale, PinOnFilm
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import BoneSize, Case
from fixplan.case.resizing import set_size
from fixplan.case.sound import sound, sound_case
from fixplan.errors import EditError


def film_of(case: Case, film_id: str) -> Film:
    """The picture with this id. Raises EditError when there is none."""
    for film in case.films:
        if film.id == film_id:
            return film
    raise EditError(f"{film_id} is not in the case; choose another picture.")


def next_film_id(case: Case) -> str:
    """An id that no picture of the case has."""
    used = [int(film.id.rsplit("-", 1)[1]) for film in case.films if film.id[-1].isdigit()]
    return f"film-{max(used, default=0) + 1}"


def add_film(case: Case, film: Film) -> Case:
    """The case with one more picture."""
    return _sound(replace(case, films=(*case.films, film)))


def change_film(case: Case, film_id: str, **fields: object) -> Case:
    """The case with fields of a picture changed."""
    film = film_of(case, film_id)
    made = sound(replace(film, **fields), film_id)
    return _sound(replace(case, films=tuple(made if f is film else f for f in case.films)))


def scale_film(
    case: Case,
    film_id: str,
    placing: Sequence[float],
    scale: FilmScale | None,
    *,
    is_matched: bool = False,
) -> Case:
    """The case with a picture placed anew, and its scale; `is_matched` to points of the limb."""
    fields = {"placing": tuple(placing), "scale": scale, "is_matched": is_matched}
    return change_film(case, film_id, **fields)


def place_film(case: Case, film_id: str, placing: Sequence[float]) -> Case:
    """The case with a picture moved by hand: no longer matched."""
    return change_film(case, film_id, placing=tuple(placing), is_matched=False)


def remove_film(case: Case, film_id: str) -> Case:
    """The case without a picture and what was clicked on it; the picture's file stays."""
    film_of(case, film_id)
    left = tuple(one for one in case.pins_on_films if one.film != film_id)
    films = tuple(film for film in case.films if film.id != film_id)
    return _sound(replace(case, films=films, pins_on_films=left))


def click_pin(case: Case, clicked: PinOnFilm) -> Case:
    """The case with a built pin's entry and tip on a film; an earlier pair there is replaced."""
    pair = (clicked.pin, clicked.film)
    others = tuple(one for one in case.pins_on_films if (one.pin, one.film) != pair)
    return _sound(replace(case, pins_on_films=(*others, sound(clicked, clicked.pin))))


def measure_bone(
    case: Case,
    bone: str,
    *,
    length_mm: float | None = None,
    width_mm: float | None = None,
    canal_mm: float | None = None,
) -> Case:
    """The case with a bone as measured on a film, which wins; what is drawn follows it.

    Raises:
        EditError: a canal as wide as the bone, or a size out of its bounds.
    """
    sizes = {size.bone: size for size in case.size.bones}
    old = sizes.get(bone, BoneSize(bone=bone))
    sizes[bone] = sound(
        replace(
            old,
            length_mm=old.length_mm if length_mm is None else length_mm,
            width_mm=old.width_mm if width_mm is None else width_mm,
            canal_mm=old.canal_mm if canal_mm is None else canal_mm,
        ),
        bone,
    )
    made = set_size(case, replace(case.size, bones=tuple(sizes.values())))
    notes = [note for note in limb_of_case(made).notes if f"{bone} not used" in note]
    if notes:
        raise EditError(f"The {notes[0]}; measure it again.")
    return made


def _sound(case: Case) -> Case:
    return sound_case(sound(case, "The case"))
