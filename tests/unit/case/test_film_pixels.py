"""Pixels within a case: what they may be, what counts for its id, what kept plans hold of them."""

from hashlib import sha256
from pathlib import Path

import pytest
from msgspec.structs import replace

from fixplan.case.file import decode, encode, read_case, snapshot_id
from fixplan.case.film_pixels import as_inside, inside_bytes, without_pixels
from fixplan.case.film_records import Film
from fixplan.case.meaning import case_problems
from fixplan.case.records import Case
from fixplan.case.trip_edits import mark_done
from fixplan.case.trip_records import Moment
from fixplan.errors import CaseFileError, FilmError
from fixplan.notes.built import marked
from fixplan.notes.difference import differences

CONTENT = bytes(range(256)) * 40


@pytest.fixture
def case() -> Case:
    """The open tibial shaft with a picture inside."""
    film = Film(
        id="film-1",
        view="front",
        segment="leg",
        file="film.png",
        digest=sha256(CONTENT).hexdigest(),
        width_px=20,
        height_px=30,
        placing=(1.0, 0.0, 0.0, 0.0, 1.0, 0.0),
        inside=as_inside(CONTENT),
    )
    found = read_case(Path(__file__).parents[3] / "sample_cases" / "open-tibial-shaft.json")
    return replace(found, films=(film,))


def test_the_file_holds_it_on_one_line_and_gives_it_back(case: Case) -> None:
    written = encode(case)
    assert decode(written, "x.json") == case
    assert inside_bytes(decode(written, "x.json").films[0]) == CONTENT
    lines = written.decode().splitlines()
    holding = [line for line in lines if case.films[0].inside in line]
    assert len(holding) == 1
    assert holding[0].strip() == f'"inside": "{case.films[0].inside}",'


def test_where_pixels_lie_does_not_change_the_plan(case: Case) -> None:
    bare = without_pixels(case)
    assert bare.films[0].inside == ""
    assert without_pixels(bare) is bare
    assert snapshot_id(bare) == snapshot_id(case)
    other = replace(case, films=(replace(case.films[0], digest="0" * 64),))
    assert snapshot_id(other) != snapshot_id(case)
    assert differences(bare, case) == ()


def test_a_plan_that_is_kept_keeps_no_pixels(case: Case) -> None:
    """Else pixels blacked out later would stay in it."""
    built = marked(case, (), "", is_as_drawn=True)
    open_trip = next(trip for trip in case.trips if trip.done_at is None)
    at = Moment(utc="2026-03-31T08:10Z", zone="Europe/London")
    done = mark_done(case, open_trip.id, at)
    inside = case.films[0].inside
    for kept in (built, done):
        assert encode(kept).decode().count(inside) == 1
        assert kept.films[0].inside == inside
    assert built.built is not None
    wrong = replace(
        built, built=replace(built.built, plan=replace(built.built.plan, films=case.films))
    )
    assert any("kept plan holds the pixels" in words for words in case_problems(wrong))


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"digest": ""}, "film-1 is kept inside the case without its digest"),
        ({"inside": "\u00e9"}, "film-1 is kept inside the case as something that is not base64"),
    ],
)
def test_what_cannot_be_pixels_is_told(case: Case, fields: dict[str, str], words: str) -> None:
    wrong = replace(case, films=(replace(case.films[0], **fields),))
    assert words in case_problems(wrong)


def test_a_text_that_is_no_base64_is_told_when_it_is_read(case: Case) -> None:
    with pytest.raises(FilmError, match="film-1: its pixels in the case are not whole"):
        inside_bytes(replace(case.films[0], inside="abc"))


def test_more_than_a_case_file_may_hold_is_refused(case: Case) -> None:
    films = tuple(
        replace(case.films[0], id=f"film-{n}", inside="A" * 13_999_999) for n in range(1, 5)
    )
    assert any("too large together" in words for words in case_problems(replace(case, films=films)))
    one = replace(case.films[0], inside="A" * 14_000_001)
    with pytest.raises(CaseFileError, match="length"):
        decode(encode(replace(case, films=(one,))), "x.json")
