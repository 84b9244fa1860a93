"""Trays as CSV, a row for each line of a tray; errors name row and column."""

import csv
from collections.abc import Iterable, Iterator, Mapping
from io import StringIO
from typing import NamedTuple

import msgspec

from fixplan.errors import TraysError
from fixplan.kit.parts import KINDS, PartKind
from fixplan.kit.trays import MOST_ROWS, MOST_TRAYS, Stock, Tray, sound, stock_problems

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
MOST_BYTES, MOST_TABLE_ROWS = 4_000_000, 20_000
YES, NO = ("yes", "y", "true", "1"), ("no", "n", "false", "0", "")
LONGEST_MM, MOST_COUNT = 1000.0, 999
_Cells = Mapping[str, str]


class _Place(NamedTuple):
    """Where a value stands, for the error."""

    where: str
    row: int

    def wrong(self, column: str, words: str) -> TraysError:
        """The error that names row and column."""
        return TraysError(f"{self.where}: row {self.row}, column {column}: {words}")


def trays_from_csv(content: bytes, where: str) -> tuple[Tray, ...]:
    """Trays from a CSV file's bytes; commas, semicolons or tabs between cells.

    Raises TraysError naming row and column.
    """
    if len(content) > MOST_BYTES:
        raise TraysError(f"{where}: larger than 4 MB; this is not a list of trays")
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        raise TraysError(f'{where}: not UTF-8; save it as "CSV UTF-8"') from problem
    rows = _rows(text, where)
    columns = _columns(rows[0], where)
    return _trays(_cells(rows[1:], columns, where), where)


def csv_of(trays: Iterable[Tray]) -> bytes:
    """The trays as CSV, with a byte-order mark so that spreadsheets read the letters right."""
    out = StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for tray in trays:
        for line in tray.stock or (None,):
            writer.writerow([*_tray_cells(tray), *_stock_cells(line)])
    return out.getvalue().encode("utf-8-sig")


def stock_from_cells(cells: _Cells, where: str, row: int) -> Stock:
    """A line of a tray from the text in its cells, by column. Raises TraysError naming the cell."""
    place = _Place(where, row)
    line = _stock(place, {column: cells.get(column, "").strip() for column in STOCK_COLUMNS})
    for problem in stock_problems(line):
        raise place.wrong("part", problem)
    return line


def cells_of(line: Stock) -> dict[str, str]:
    """A line of a tray as the text of its cells, by column."""
    return dict(zip(STOCK_COLUMNS, _stock_cells(line), strict=True))


def _rows(text: str, where: str) -> list[list[str]]:
    plain = text.replace("\r\n", "\n").replace("\r", "\n")
    head = plain.partition("\n")[0]
    separator = max(",;\t", key=head.count)
    rows: list[list[str]] = []
    try:
        for row in csv.reader(StringIO(plain), delimiter=separator, strict=True):
            rows.append(row)
            if len(rows) > MOST_TABLE_ROWS:
                raise TraysError(
                    f"{where}: holds more than {MOST_TABLE_ROWS} rows; keep one row for each part"
                )
    except csv.Error as problem:
        raise TraysError(f"{where}: row {len(rows) + 1}: not sound CSV ({problem})") from problem
    if not rows or not any(cell.strip() for cell in rows[0]):
        raise TraysError(f"{where}: has no row of column names; export the template and fill it in")
    return rows


def _columns(head: list[str], where: str) -> list[str]:
    names = [cell.strip().lower() for cell in head]
    place = _Place(where, 1)
    for number, name in enumerate(names, start=1):
        if name and name not in COLUMNS:
            stem = name.rpartition("_")[0]
            fitting = [one for one in COLUMNS if one == f"{stem or name}_mm"]
            advice = (
                f"sizes are in mm, so name it {fitting[0]} and convert its values"
                if fitting
                else "take it out, or name it as in the template"
            )
            raise place.wrong(str(number), f"{name} is no column of this list; {advice}")
        if name and names.index(name) != number - 1:
            raise place.wrong(str(number), f"{name} is there twice; take one out")
    for needed in ("tray", "part", "count"):
        if needed not in names:
            raise TraysError(f"{where}: row 1: the column {needed} is missing; add it")
    return names


def _cells(
    rows: list[list[str]], columns: list[str], where: str
) -> Iterator[tuple[_Place, _Cells]]:
    for number, row in enumerate(rows, start=2):
        place = _Place(where, number)
        if not any(cell.strip() for cell in row):
            continue
        extra = [cell for cell in row[len(columns) :] if cell.strip()]
        if extra:
            raise place.wrong(
                str(len(columns) + 1),
                f"{extra[0][:20]!r} stands outside the table; a decimal comma must be a point",
            )
        cells = dict(zip(columns, (cell.strip() for cell in row), strict=False))
        yield place, {name: cells.get(name, "") for name in COLUMNS}


def _trays(table: Iterable[tuple[_Place, _Cells]], where: str) -> tuple[Tray, ...]:
    heads: dict[str, tuple[_Place, dict[str, object]]] = {}
    lines: dict[str, dict[Stock, int]] = {}
    for place, cells in table:
        name = cells["tray"]
        if not name:
            raise place.wrong("tray", "no tray is named; fill in its name")
        if name not in heads:
            heads[name] = place, _head(place, cells)
            lines[name] = {}
            _refuse_alike(place, name, heads)
        _same_head(place, cells, *heads[name])
        if cells["part"] or cells["count"]:
            _add(place, cells, lines[name], name)
        if len(heads) > MOST_TRAYS or len(lines[name]) > MOST_ROWS:
            raise place.wrong("tray", f"more than {MOST_TRAYS} trays or {MOST_ROWS} lines in one")
    found = tuple(_tray(*heads[name], tuple(lines[name])) for name in heads)
    return sound(found, where)


def _refuse_alike(place: _Place, name: str, heads: Mapping[str, object]) -> None:
    alike = [one for one in heads if one != name and one.casefold() == name.casefold()]
    if alike:
        raise place.wrong("tray", f"{name} and {alike[0]} differ in capitals alone; write one name")


def _head(place: _Place, cells: _Cells) -> dict[str, object]:
    return {
        "name": cells["tray"],
        "kind": cells["kind"] or cells["tray"],
        "family": cells["family"],
        "place": cells["place"],
        "is_single": _truth(place, cells, "single"),
        "is_out": _truth(place, cells, "out"),
        "back_at": cells["back_at"],
    }


def _same_head(place: _Place, cells: _Cells, first: _Place, head: Mapping[str, object]) -> None:
    """A later row of a tray may leave the tray's own cells empty, or must say the same."""
    own = _head(place, cells)
    fields = ("name", "kind", "family", "place", "is_single", "is_out", "back_at")
    for column, field in zip(TRAY_COLUMNS, fields, strict=True):
        if cells[column] and own[field] != head[field]:
            raise place.wrong(
                column,
                f"the tray {cells['tray']} is told otherwise in row {first.row}; "
                "give another tray another name, or make both rows alike",
            )


def _add(place: _Place, cells: _Cells, lines: dict[Stock, int], tray: str) -> None:
    line = _stock(place, cells)
    for problem in stock_problems(line):
        raise place.wrong("part", problem)
    bare = msgspec.structs.replace(line, count=0)
    same = [one for one in lines if msgspec.structs.replace(one, count=0) == bare]
    if same:
        words = f"the same part of {tray} stands in row {lines[same[0]]}; add the counts up"
        raise place.wrong("part", words)
    lines[line] = place.row


def _stock(place: _Place, cells: _Cells) -> Stock:
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


def _tray(place: _Place, head: dict[str, object], lines: tuple[Stock, ...]) -> Tray:
    try:
        return msgspec.convert({**head, "stock": msgspec.to_builtins(lines)}, Tray)
    except msgspec.ValidationError as problem:
        raise place.wrong("tray", f"{problem}; correct that value") from problem


def _text(place: _Place, cells: _Cells, column: str, most: int) -> str:
    if len(cells[column]) > most:
        raise place.wrong(column, f"longer than {most} letters; shorten it")
    return cells[column]


def _truth(place: _Place, cells: _Cells, column: str) -> bool:
    told = cells[column].lower()
    if told not in (*YES, *NO):
        raise place.wrong(column, f"{told[:20]!r} is neither yes nor no")
    return told in YES


def _count(place: _Place, text: str) -> int:
    if text.startswith("-") and text[1:].isdecimal():
        raise place.wrong("count", f"{text} is negative; write how many there are, from 0 up")
    if not (text.isascii() and text.isdecimal()) or int(text[:9]) > MOST_COUNT:
        raise place.wrong(
            "count", f"{text[:20]!r} is no whole number from 0 to {MOST_COUNT}; write how many"
        )
    return int(text)


def _mm(place: _Place, column: str, text: str) -> float:
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


def _range(place: _Place, column: str, text: str) -> tuple[float, float]:
    low, dash, high = text.replace("\u2013", "-").partition("-")
    first = _mm(place, column, low.strip())
    return first, _mm(place, column, high.strip()) if dash else first


def _tray_cells(tray: Tray) -> list[str]:
    single, out = ("yes" if one else "no" for one in (tray.is_single, tray.is_out))
    return [tray.name, tray.kind, tray.family, tray.place, single, out, tray.back_at]


def _stock_cells(line: Stock | None) -> list[str]:
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
