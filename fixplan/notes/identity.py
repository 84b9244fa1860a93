"""Whose plan it is: typed for one export, printed there, and kept nowhere."""

import re
from datetime import date
from typing import Literal

import msgspec

from fixplan.errors import NotesError

PatientSex = Literal["", "F", "M", "O"]
LONGEST = 64
_UNFIT = re.compile(r"[\x00-\x1f\x7f\\^=]")
"""Control characters, and what parts the fields of a DICOM name."""


class Identity(msgspec.Struct, frozen=True, kw_only=True):
    """What was typed; every field may be empty. `born` is YYYY-MM-DD."""

    family_name: str = ""
    given_name: str = ""
    number: str = ""
    born: str = ""
    sex: PatientSex = ""

    @property
    def is_empty(self) -> bool:
        """Whether nothing was typed."""
        return self == NOBODY

    @property
    def name(self) -> str:
        """The name in one line: "Family, Given"."""
        return ", ".join(part for part in (self.family_name, self.given_name) if part)

    def lines(self) -> tuple[str, ...]:
        """What was typed, as lines to print."""
        told = (
            self.name,
            f"no. {self.number}" if self.number else "",
            f"born {self.born}" if self.born else "",
        )
        return tuple(line for line in told if line)


NOBODY = Identity()


def identity_of(
    *, family_name: str, given_name: str, number: str, born: str, sex: PatientSex = ""
) -> Identity:
    """The identity as typed, spaces at the ends taken off. Raises NotesError naming the field."""
    typed = {
        "family name": family_name.strip(),
        "given name": given_name.strip(),
        "number": number.strip(),
    }
    for field, text in typed.items():
        if len(text) > LONGEST:
            raise NotesError(f"The {field} is longer than {LONGEST} letters; shorten it.")
        if _UNFIT.search(text):
            raise NotesError(f"The {field} holds a character such as ^, = or \\; take it out.")
    return Identity(
        family_name=typed["family name"],
        given_name=typed["given name"],
        number=typed["number"],
        born=_born(born.strip()),
        sex=sex,
    )


def _born(text: str) -> str:
    if not text:
        return ""
    try:
        day = date.fromisoformat(text) if len(text) == len("2000-01-31") else None
    except ValueError:
        day = None
    if day is None:
        raise NotesError(f"The birth date {text[:20]!r} is no date; write it as 1980-01-31.")
    return day.isoformat()
