"""The cells of a table of trays: what is read from one, what is written in one."""

from collections.abc import Mapping
from typing import NamedTuple

from fixplan.errors import TraysError
from fixplan.kit.parts import KINDS, PartKind
from fixplan.kit.trays import Stock, Tray, stock_problems

TRAY_COLUMNS = ("tray", "kind", "family", "place", "single", "out", "back_at")
STOCK_COLUMNS = (
    "part",
    "name",
    "count",
    "diameter_mm",
    "length_mm",
    "thread_mm",
    "takes_mm",
    "bar_mm",
    "material",
)
COLUMNS = (*TRAY_COLUMNS, *STOCK_COLUMNS)
YES, NO = ("yes", "y", "true", "1"), ("no", "n", "false", "0", "")
LONGEST_MM, MOST_COUNT = 1000.0, 999
Cells = Mapping[str, str]


class Place(NamedTuple):
    """Where a value stands, for the error."""

    where: str
    row: int

    def wrong(self, column: str, words: str) -> TraysError:
        """The error that names row and column."""
        return TraysError(f"{self.where}: row {self.row}, column {column}: {words}")


def stock_from_cells(cells: Cells, where: str, row: int) -> Stock:
    """A line of a tray from the text in its cells, by column. Raises TraysError naming the cell."""
    place = Place(where, row)
    line = stock_of(place, {column: cells.get(column, "").strip() for column in STOCK_COLUMNS})
    for problem in stock_problems(line):
        raise place.wrong("part", problem)
    return line


def cells_of(line: Stock) -> dict[str, str]:
    """A line of a tray as the text of its cells, by column."""
    return dict(zip(STOCK_COLUMNS, stock_cells(line), strict=True))


def stock_of(place: Place, cells: Cells) -> Stock:
    """A line of a tray from its cells. Raises TraysError naming the cell."""
    kinds: dict[str, PartKind] = {kind: kind for kind in KINDS}
    if cells["part"].lower() not in kinds:
        told = cells["part"][:30] or "nothing"
        raise place.wrong("part", f"{told!r} is no part; write one of {', '.join(KINDS)}")
    kind = kinds[cells["part"].lower()]
    return Stock(
        part=kind,
        name=_text(place, cells, "name", 80),
        count=_count(place, cells["count"]),
        diameter_mm=_mm(place, "diameter_mm", cells["diameter_mm"]),
        length_mm=_mm(place, "length_mm", cells["length_mm"]),
        thread_mm=_mm(place, "thread_mm", cells["thread_mm"]),
        takes_mm=_range(place, "takes_mm", cells["takes_mm"]),
        bar_mm=_range(place, "bar_mm", cells["bar_mm"]),
        material=_text(place, cells, "material", 30).lower(),
    )


def _text(place: Place, cells: Cells, column: str, most: int) -> str:
    if len(cells[column]) > most:
        raise place.wrong(column, f"longer than {most} letters; shorten it")
    return cells[column]


def truth_of(place: Place, cells: Cells, column: str) -> bool:
    """Whether a cell says yes. Raises TraysError naming the cell."""
    told = cells[column].lower()
    if told not in (*YES, *NO):
        raise place.wrong(column, f"{told[:20]!r} is neither yes nor no")
    return told in YES


def _count(place: Place, text: str) -> int:
    if text.startswith("-") and text[1:].isdecimal():
        raise place.wrong("count", f"{text} is negative; write how many there are, from 0 up")
    if not (text.isascii() and text.isdecimal()) or int(text[:9]) > MOST_COUNT:
        raise place.wrong(
            "count", f"{text[:20]!r} is no whole number from 0 to {MOST_COUNT}; write how many"
        )
    return int(text)


def _mm(place: Place, column: str, text: str) -> float:
    if not text:
        return 0.0
    if "," in text:
        raise place.wrong(column, f"{text[:20]!r} has a decimal comma; write a point")
    number = text[:-2].strip() if text.lower().endswith("mm") else text
    if not set(number) <= set("0123456789."):
        unit = text.lstrip("0123456789. ")
        if unit in ("cm", "in", "inch", '"', "m") or unit.startswith(("cm", "in")):
            raise place.wrong(
                column, f"{text[:20]!r} is not in mm; convert it and write the number"
            )
        raise place.wrong(column, f"{text[:20]!r} is no size in mm; write a number such as 5")
    try:
        value = float(number)
    except ValueError:
        value = -1.0
    if not 0 <= value <= LONGEST_MM:
        raise place.wrong(column, f"{text[:20]!r} is no size from 0 to {LONGEST_MM:g} mm")
    return value


def _range(place: Place, column: str, text: str) -> tuple[float, float]:
    low, dash, high = text.replace("\u2013", "-").partition("-")
    first = _mm(place, column, low.strip())
    return first, _mm(place, column, high.strip()) if dash else first


def tray_cells(tray: Tray) -> list[str]:
    """The cells of a tray itself, in the order of TRAY_COLUMNS."""
    single, out = ("yes" if one else "no" for one in (tray.is_single, tray.is_out))
    return [tray.name, tray.kind, tray.family, tray.place, single, out, tray.back_at]


def stock_cells(line: Stock | None) -> list[str]:
    """The cells of one of its lines, in the order of STOCK_COLUMNS."""
    if line is None:
        return [""] * len(STOCK_COLUMNS)
    sizes = (line.diameter_mm, line.length_mm, line.thread_mm)
    ranges = (line.takes_mm, line.bar_mm)
    return [
        line.part,
        line.name,
        str(line.count),
        *(f"{size:g}" if size else "" for size in sizes),
        *(_range_cell(one) for one in ranges),
        line.material,
    ]


def _range_cell(limits: tuple[float, float]) -> str:
    low, high = limits
    if not high:
        return ""
    return f"{low:g}" if low == high else f"{low:g}-{high:g}"
