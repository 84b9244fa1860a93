"""Trays that a hospital owns: what is in each, whether it is in the house, and where they stand.

`$FIXPLAN_TRAYS`, else trays.toml or trays.csv in the user's config folder, else the invented set
that is shipped in resources/trays/.
"""

import os
from collections import Counter
from collections.abc import Iterator
from functools import cache, lru_cache
from pathlib import Path
from typing import Annotated

import msgspec
from msgspec import Meta, inspect

from fixplan.case.records import Bar, Pin
from fixplan.errors import TraysError
from fixplan.kit.parts import CLAMPS, PINS, Part, PartKind
from fixplan.limb.library import house_dir, read_toml, resources_dir

SCHEMA = 1
SAME_MM = 0.05
MOST_TRAYS, MOST_ROWS = 500, 500
Name = Annotated[str, Meta(min_length=1, max_length=60)]
Mm = Annotated[float, Meta(ge=0, le=1000)]
Range = tuple[Mm, Mm]


class Stock(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One line of a tray; mm, 0 where the part has no such size.

    `diameter_mm`: of a pin, bar or drill; the jaw of a spanner. `takes_mm`: the pins (or bars) that
    a clamp, drill, sleeve or cap is for, from the thinnest to the thickest; `bar_mm`: the bars that
    a clamp sits on. `thread_mm` 0: not told.
    """

    part: PartKind
    count: Annotated[int, Meta(ge=0, le=999)]
    diameter_mm: Mm = 0.0
    length_mm: Mm = 0.0
    thread_mm: Mm = 0.0
    takes_mm: Range = (0.0, 0.0)
    bar_mm: Range = (0.0, 0.0)
    material: Annotated[str, Meta(max_length=30)] = ""
    name: Annotated[str, Meta(max_length=80)] = ""

    @property
    def words(self) -> str:
        """In words: "half-pin 5 mm, 150 mm"; an own name goes before."""
        return f"{self.name} ({self._sized})" if self.name and self._sized else self.own_words

    @property
    def own_words(self) -> str:
        """The name alone, else the kind with its sizes."""
        return self.name or self._sized

    @property
    def _sized(self) -> str:
        if self.part in (*PINS, "bar"):
            made = f"{self.material} " if self.material else ""
            return f"{made}{self.part} {self.diameter_mm:g} mm, {self.length_mm:g} mm"
        if self.part in CLAMPS:
            joined = "bars" if self.part == "bar-to-bar clamp" else "pins"
            return (
                f"{self.part} for {joined} of {_range(self.takes_mm)} mm "
                f"on bars of {_range(self.bar_mm)} mm"
            )
        if self.part == "drill":
            return f"drill {self.diameter_mm:g} mm for {_range(self.takes_mm)} mm pins"
        if self.part in ("sleeve", "pin cap", "bar cap"):
            what = "bars" if self.part == "bar cap" else "pins"
            return f"{self.part} for {_range(self.takes_mm)} mm {what}"
        return f"{self.part} {self.diameter_mm:g} mm" if self.part == "spanner" else ""

    def serves(self, part: Part) -> bool:
        """Whether this line holds the part that is asked for."""
        if self.part != part.kind:
            return False
        if part.kind in (*PINS, "bar"):
            return self._serves_length(part)
        if part.kind in CLAMPS:
            return self.takes(part.diameter_mm, part.bar_mm)
        if part.kind == "spanner":
            return _same(self.diameter_mm, part.diameter_mm)
        return _within(part.diameter_mm, self.takes_mm)

    def takes(self, first_mm: float, bar_mm: float) -> bool:
        """Whether a clamp joins a pin or bar of `first_mm` to a bar of `bar_mm`."""
        if _within(first_mm, self.takes_mm) and _within(bar_mm, self.bar_mm):
            return True
        turned = _within(bar_mm, self.takes_mm) and _within(first_mm, self.bar_mm)
        return self.part == "bar-to-bar clamp" and turned

    def _serves_length(self, part: Part) -> bool:
        long_enough = self.length_mm >= part.length_mm - SAME_MM
        fits = long_enough if part.at_least else _same(self.length_mm, part.length_mm)
        threaded = not self.thread_mm or self.thread_mm >= part.thread_mm - SAME_MM
        made = not (self.material and part.material) or self.material == part.material
        return fits and threaded and made and _same(self.diameter_mm, part.diameter_mm)


class Tray(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A tray, or a shelf of single packs (`is_single`): what it holds and where it is.

    `kind`: trays of one kind stand in for each other. `family`: the letter of its clamps. `is_out`:
    not in the house now; `back_at` says when it comes back, as typed.
    """

    name: Name
    kind: Name
    family: Annotated[str, Meta(max_length=8)] = ""
    place: Annotated[str, Meta(max_length=80)] = ""
    is_single: bool = False
    is_out: bool = False
    back_at: Annotated[str, Meta(max_length=40)] = ""
    stock: Annotated[tuple[Stock, ...], Meta(max_length=MOST_ROWS)] = ()


class Trays(msgspec.Struct, frozen=True, kw_only=True):
    """All trays of a house, and where they were read: `origin` is empty for the shipped set."""

    trays: tuple[Tray, ...]
    origin: str = ""

    @property
    def words(self) -> str:
        """Whose trays these are, for screen and paper."""
        return f"trays of {Path(self.origin).name}" if self.origin else INVENTED


INVENTED = "invented trays, not this hospital's"


def shipped_trays() -> Trays:
    """The invented set of resources/trays/. Raises LibraryError."""
    return _shipped()


@lru_cache(maxsize=1)
def _shipped() -> Trays:
    names = sorted(path.name for path in (resources_dir() / "trays").glob("*.toml"))
    found = []
    for name in names:
        table = dict(read_toml(f"trays/{name}"))
        table.pop("schema", None)
        found.append(tray_from(table, f"trays/{name}"))
    return Trays(trays=sound(tuple(found), "resources/trays"))


def tray_from(table: object, where: str) -> Tray:
    """A tray from plain values. Raises TraysError naming the place."""
    try:
        return msgspec.convert(table, Tray)
    except msgspec.ValidationError as problem:
        raise TraysError(f"{where}: {problem}; correct that value") from problem


def sound(trays: tuple[Tray, ...], where: str) -> tuple[Tray, ...]:
    """The trays, if each name is there once and every line makes sense. Raises TraysError."""
    if len(trays) > MOST_TRAYS:
        raise TraysError(f"{where}: holds more than {MOST_TRAYS} trays; take some out")
    twice = [x for x, n in Counter(tray.name.casefold() for tray in trays).items() if n > 1]
    if twice:
        name = next(tray.name for tray in trays if tray.name.casefold() == twice[0])
        raise TraysError(f"{where}: the tray {name} is there twice; give it another name")
    for tray in trays:
        for number, line in enumerate(tray.stock, start=1):
            for problem in stock_problems(line):
                raise TraysError(f"{where}: tray {tray.name}, line {number}: {problem}")
    return trays


def stock_problems(line: Stock) -> Iterator[str]:
    """What is wrong with one line, each with what to do."""
    if line.part in (*PINS, "bar"):
        yield from _length_problems(line)
    elif line.length_mm or line.thread_mm:
        yield f"a {line.part} has no length here; leave length_mm and thread_mm empty"
    if line.part in CLAMPS and not (line.takes_mm[1] and line.bar_mm[1]):
        yield "a clamp needs what it joins; fill in takes_mm and bar_mm"
    if line.part in ("drill", "sleeve", "pin cap", "bar cap") and not line.takes_mm[1]:
        yield f"a {line.part} needs the size that it is for; fill in takes_mm"
    if line.part == "other" and not line.name:
        yield "a line of the part other needs a name; fill in name"
    for words, (low, high) in (("takes_mm", line.takes_mm), ("bar_mm", line.bar_mm)):
        if low > high:
            yield f"{words} runs from {low:g} down to {high:g}; write the smaller first"


def _length_problems(line: Stock) -> Iterator[str]:
    """What is wrong with the sizes of a pin or bar."""
    if not line.diameter_mm:
        yield "a pin or bar needs a diameter; fill in diameter_mm"
    if not line.length_mm:
        yield "a pin or bar needs a length; fill in length_mm"
    for field, size in (("diameter_mm", line.diameter_mm), ("length_mm", line.length_mm)):
        low, high = drawable_mm(line.part)[field]
        if size and not low <= size <= high:
            yield (
                f"a {line.part} has a {field} of {low:g} to {high:g}, not {size:g}; "
                "correct it, or convert it to mm"
            )
    if line.thread_mm > line.length_mm:
        yield "the thread is longer than the pin; correct thread_mm"
    if line.takes_mm[1] or line.bar_mm[1]:
        yield "a pin or bar takes nothing; leave takes_mm and bar_mm empty"


@cache
def drawable_mm(part: str) -> dict[str, tuple[float, float]]:
    """The least and greatest sizes that a case can hold of a pin or bar, by field."""
    record = inspect.type_info(Bar if part == "bar" else Pin)
    found: dict[str, tuple[float, float]] = {}
    for field in record.fields if isinstance(record, inspect.StructType) else ():
        kinds = field.type.types if isinstance(field.type, inspect.UnionType) else (field.type,)
        for kind in kinds:
            if isinstance(kind, inspect.FloatType) and kind.ge is not None and kind.le is not None:
                found[field.name] = kind.ge, kind.le
    return found


def trays_file() -> Path | None:
    """The file with this hospital's trays; None when there is none."""
    named = os.environ.get("FIXPLAN_TRAYS")
    if named is not None:
        return Path(named) if named else None
    for name in ("trays.toml", "trays.csv"):
        if (house_dir() / name).is_file():
            return house_dir() / name
    return None


def own_trays_path() -> Path:
    """Where the desk keeps this hospital's trays."""
    return trays_file() or house_dir() / "trays.toml"


def _same(one: float, other: float) -> bool:
    return abs(one - other) < SAME_MM


def _within(value: float, limits: Range) -> bool:
    return bool(limits[1]) and limits[0] - SAME_MM < value < limits[1] + SAME_MM


def _range(limits: Range) -> str:
    low, high = limits
    return f"{low:g}" if _same(low, high) else f"{low:g} to {high:g}"
