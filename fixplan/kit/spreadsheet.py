"""Trays as CSV, a row for each line of a tray; errors name row and column."""

import csv
from collections.abc import Iterable, Iterator, Mapping
from io import StringIO

import msgspec

from fixplan.errors import TraysError
from fixplan.kit.cells import (
    COLUMNS,
    TRAY_COLUMNS,
    Cells,
    Place,
    stock_cells,
    stock_of,
    tray_cells,
    truth_of,
)
from fixplan.kit.trays import MOST_ROWS, MOST_TRAYS, Stock, Tray, sound, stock_problems

MOST_BYTES, MOST_TABLE_ROWS = 4_000_000, 20_000


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
            writer.writerow([*tray_cells(tray), *stock_cells(line)])
    return out.getvalue().encode("utf-8-sig")


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
    place = Place(where, 1)
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


def _cells(rows: list[list[str]], columns: list[str], where: str) -> Iterator[tuple[Place, Cells]]:
    for number, row in enumerate(rows, start=2):
        place = Place(where, number)
        if not any(cell.strip() for cell in row):
            continue
        if len(row) > len(columns):
            raise place.wrong(
                str(len(columns) + 1),
                f"the row has {len(row)} cells, the table {len(columns)} columns; take a comma too "
                "many out (a decimal comma must be a point)",
            )
        cells = dict(zip(columns, (cell.strip() for cell in row), strict=False))
        yield place, {name: cells.get(name, "") for name in COLUMNS}


def _trays(table: Iterable[tuple[Place, Cells]], where: str) -> tuple[Tray, ...]:
    heads: dict[str, tuple[Place, dict[str, object]]] = {}
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


def _refuse_alike(place: Place, name: str, heads: Mapping[str, object]) -> None:
    alike = [one for one in heads if one != name and one.casefold() == name.casefold()]
    if alike:
        raise place.wrong("tray", f"{name} and {alike[0]} differ in capitals alone; write one name")


def _head(place: Place, cells: Cells) -> dict[str, object]:
    return {
        "name": cells["tray"],
        "kind": cells["kind"] or cells["tray"],
        "family": cells["family"],
        "place": cells["place"],
        "is_single": truth_of(place, cells, "single"),
        "is_out": truth_of(place, cells, "out"),
        "back_at": cells["back_at"],
    }


def _same_head(place: Place, cells: Cells, first: Place, head: Mapping[str, object]) -> None:
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


def _add(place: Place, cells: Cells, lines: dict[Stock, int], tray: str) -> None:
    line = stock_of(place, cells)
    for problem in stock_problems(line):
        raise place.wrong("part", problem)
    bare = msgspec.structs.replace(line, count=0)
    same = [one for one in lines if msgspec.structs.replace(one, count=0) == bare]
    if same:
        words = f"the same part of {tray} stands in row {lines[same[0]]}; add the counts up"
        raise place.wrong("part", words)
    lines[line] = place.row


def _tray(place: Place, head: dict[str, object], lines: tuple[Stock, ...]) -> Tray:
    try:
        return msgspec.convert({**head, "stock": msgspec.to_builtins(lines)}, Tray)
    except msgspec.ValidationError as problem:
        raise place.wrong("tray", f"{problem}; correct that value") from problem
