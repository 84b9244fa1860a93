"""What pictures of the patient can get wrong in a well-formed case."""

from collections import Counter
from collections.abc import Iterator

from fixplan.case.film_records import Film
from fixplan.case.records import Case

LEAST_AREA = 1e-12
MOST_LETTERS_OF_ALL = 42_000_000
"""So that a case file with its pictures inside stays under the largest that is read."""


def film_problems(case: Case) -> Iterator[str]:
    """Every error of meaning about the case's pictures, one clause each."""
    counts = Counter(film.id for film in case.films)
    yield from (f"the id {id_} is used {n} times" for id_, n in counts.items() if n > 1)
    for film in case.films:
        yield from (f"{film.id} {text}" for text in _own_problems(film))
    if sum(len(film.inside) for film in case.films) > MOST_LETTERS_OF_ALL:
        yield "the pictures inside the case are too large together, so keep some beside it"
    plans = [kept.plan for kept in case.kept_plans]
    plans += [] if case.built is None else [case.built.plan]
    if any(film.inside for plan in plans for film in plan.films):
        yield "a kept plan holds the pixels of a picture, which the case alone may hold"
    yield from _built_problems(case, set(counts))


def _own_problems(film: Film) -> Iterator[str]:
    a, b, _, d, e, _ = film.placing
    if abs(a * e - b * d) < LEAST_AREA:
        yield "has a placing that flattens the picture to a line"
    if (film.level_mm is None) == (film.view == "section"):
        yield "needs a level in the section, and none in another view"
    if film.file.startswith("..") or "/../" in film.file:
        yield "names a file outside the case's folder"
    if film.inside and not film.digest:
        yield "is kept inside the case without its digest"
    if not film.inside.isascii():
        yield "is kept inside the case as something that is not base64"


def _built_problems(case: Case, films: set[str]) -> Iterator[str]:
    pins = {pin.id for pin in case.pins}
    pairs = Counter((one.pin, one.film) for one in case.pins_on_films)
    yield from (f"{p} is clicked {n} times on {film}" for (p, film), n in pairs.items() if n > 1)
    for one in case.pins_on_films:
        if one.pin not in pins:
            yield f"{one.pin} is clicked on {one.film}, but is not in the case"
        if one.film not in films:
            yield f"{one.pin} is clicked on {one.film}, which is not in the case"
        if one.entry == one.tip:
            yield f"{one.pin} has its entry and tip at one point of {one.film}"
