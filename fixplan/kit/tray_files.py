"""Reading and writing files of trays: TOML and CSV, by the ending of the name."""

import json
import stat
from collections.abc import Iterable, Iterator
from pathlib import Path

from fixplan.case.safe_write import write_safely
from fixplan.errors import CaseFileError, LibraryError, TraysError
from fixplan.kit.spreadsheet import MOST_BYTES, csv_of, trays_from_csv
from fixplan.kit.trays import (
    SCHEMA,
    Stock,
    Tray,
    Trays,
    shipped_trays,
    sound,
    tray_from,
    trays_file,
)
from fixplan.limb.tables import parsed_toml

ENDINGS = (".toml", ".csv")


def house_trays() -> Trays:
    """This hospital's trays, else the invented set. Raises TraysError."""
    path = trays_file()
    return shipped_trays() if path is None else read_trays(path)


def read_trays(path: Path) -> Trays:
    """The trays in a TOML or CSV file. Raises TraysError in one sentence."""
    content = _content(path)
    if _ending(path) == ".csv":
        return Trays(trays=trays_from_csv(content, path.name), origin=str(path))
    return Trays(trays=_from_toml(content, path.name), origin=str(path))


def write_trays(trays: Iterable[Tray], path: Path) -> None:
    """Write trays as TOML or CSV, whole or not at all.

    Raises TraysError; what was there before then stays.
    """
    listed = sound(tuple(trays), path.name)
    content = csv_of(listed) if _ending(path) == ".csv" else toml_of(listed)
    if path.is_file() and not path.stat().st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH):
        raise TraysError(f"{path}: may only be read (nothing there was changed); save it elsewhere")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_safely(path, content, backup=path.is_file())
    except OSError as problem:
        words = problem.strerror or "refused"
        raise TraysError(
            f"{path}: its folder cannot be made ({words}); save elsewhere"
        ) from problem
    except CaseFileError as problem:
        raise TraysError(str(problem)) from problem


def write_template(path: Path) -> None:
    """Write the invented set as a pattern to fill in. Raises TraysError."""
    write_trays(shipped_trays().trays, path)


def toml_of(trays: Iterable[Tray]) -> bytes:
    """The trays as TOML, a line for each line of a tray."""
    return "\n".join([f"schema = {SCHEMA}", *_toml_lines(trays), ""]).encode()


def _toml_lines(trays: Iterable[Tray]) -> Iterator[str]:
    for tray in trays:
        yield "\n[[tray]]"
        for field in ("name", "kind", "family", "place", "back_at"):
            yield f"{field} = {_quoted(getattr(tray, field))}"
        yield f"is_single = {_truth(tray.is_single)}"
        yield f"is_out = {_truth(tray.is_out)}"
        yield "stock = ["
        yield from (f"  {{ {', '.join(_stock_cells(line))} }}," for line in tray.stock)
        yield "]"


def _stock_cells(line: Stock) -> Iterator[str]:
    yield f"part = {_quoted(line.part)}"
    if line.name:
        yield f"name = {_quoted(line.name)}"
    for field in ("diameter_mm", "length_mm", "thread_mm"):
        value = getattr(line, field)
        if value:
            yield f"{field} = {float(value)}"
    for field, (low, high) in (("takes_mm", line.takes_mm), ("bar_mm", line.bar_mm)):
        if high:
            yield f"{field} = [{float(low)}, {float(high)}]"
    if line.material:
        yield f"material = {_quoted(line.material)}"
    yield f"count = {line.count}"


def _quoted(text: str) -> str:
    """A TOML basic string: JSON's escapes are TOML's, but for the delete character."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _truth(value: bool) -> str:
    return "true" if value else "false"


def _from_toml(content: bytes, where: str) -> tuple[Tray, ...]:
    try:
        table = parsed_toml(content.removeprefix(b"\xef\xbb\xbf"), where)
    except (LibraryError, RecursionError) as problem:
        raise TraysError(f"{problem or where}") from problem
    listed = table.get("tray")
    if table.get("schema") != SCHEMA or not isinstance(listed, list):
        raise TraysError(f"{where}: needs schema = {SCHEMA} and [[tray]] tables; see the template")
    strange = sorted(set(table) - {"schema", "tray"})
    if strange:
        raise TraysError(f"{where}: {strange[0]} is not known here; take it out")
    found = tuple(tray_from(one, f"{where}, tray {n}") for n, one in enumerate(listed, start=1))
    return sound(found, where)


def _content(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            content = file.read(MOST_BYTES + 1)
    except FileNotFoundError as problem:
        raise TraysError(f"{path}: there is no such file; check the name") from problem
    except (OSError, ValueError) as problem:
        words = problem.strerror if isinstance(problem, OSError) else "not a file's name"
        raise TraysError(f"{path}: cannot be read ({words}); check the file") from problem
    if len(content) > MOST_BYTES:
        raise TraysError(f"{path}: larger than 4 MB; this is not a list of trays")
    return content


def _ending(path: Path) -> str:
    ending = path.suffix.lower()
    if ending not in ENDINGS:
        raise TraysError(f"{path}: a file of trays ends in .toml or .csv; choose one of these")
    return ending
