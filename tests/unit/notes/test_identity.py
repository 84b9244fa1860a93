"""What may be typed about a patient for one export."""

import pytest

from fixplan.errors import NotesError
from fixplan.notes.identity import NOBODY, Identity, identity_of


def typed(**more: str) -> Identity:
    fields = {"family_name": "", "given_name": "", "number": "", "born": ""}
    return identity_of(**{**fields, **more})


def test_nothing_typed_is_nobody() -> None:
    assert typed(family_name="  ") == NOBODY
    assert NOBODY.is_empty
    assert NOBODY.lines() == ()


def test_what_is_typed_is_told_in_lines() -> None:
    found = typed(family_name=" Doe ", given_name="Jo", number="12", born="1980-01-31")
    assert found.lines() == ("Doe, Jo", "no. 12", "born 1980-01-31")


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"born": "31.1.1980"}, "The birth date '31.1.1980' is no date"),
        ({"born": "1980-02-30"}, "is no date"),
        ({"born": "19800131"}, "is no date"),
        ({"family_name": "A^B"}, "The family name holds a character"),
        ({"number": "1\\2"}, "The number holds a character"),
        ({"given_name": "x" * 65}, "The given name is longer than 64 letters"),
    ],
)
def test_what_no_record_takes_is_refused(fields: dict[str, str], words: str) -> None:
    with pytest.raises(NotesError, match=words.replace("(", r"\(")):
        typed(**fields)
