"""The files in resources/ and the house file that may override them."""

import functools
import json
import os
import stat
from collections.abc import Mapping
from pathlib import Path
from typing import TypeVar, cast

import msgspec

from fixplan.errors import LibraryError
from fixplan.limb.tables import Table, kept_toml, parsed_toml

T = TypeVar("T")


@functools.cache
def resources_dir() -> Path:
    """The folder with the shipped data: inside the installed package, else beside it.

    Raises:
        LibraryError: if it is in neither place.
    """
    package = Path(__file__).resolve().parent.parent
    for folder in (package / "resources", package.parent / "resources"):
        if folder.is_dir():
            return folder
    raise LibraryError(f"No folder resources/ in or beside {package}: install fixplan again.")


def read_bytes(name: str) -> bytes:
    """The bytes of a file in resources/, by its path below that folder.

    Raises:
        LibraryError: if it cannot be read.
    """
    path = resources_dir() / name
    try:
        return path.read_bytes()
    except OSError as error:
        reason = error.strerror or str(error)
        raise LibraryError(f"{path} cannot be read ({reason}): install fixplan again.") from error


@functools.cache
def read_toml(name: str) -> Table:
    """A TOML file in resources/ as it is shipped, without house values. Do not change the answer.

    Raises:
        LibraryError: if it cannot be read or is not TOML.
    """
    return kept_toml(read_bytes(name), str(resources_dir() / name))


@functools.cache
def read_json(name: str) -> Table:
    """A JSON file in resources/. Do not change the answer.

    Raises:
        LibraryError: if it cannot be read or is not a JSON object.
    """
    where = resources_dir() / name
    try:
        content = json.loads(read_bytes(name))
    except ValueError as error:
        raise LibraryError(f"{where} is not valid JSON ({error}): install it again.") from error
    if not isinstance(content, dict):
        raise LibraryError(f"{where} does not hold a JSON object: install fixplan again.")
    return content


def house_dir() -> Path:
    """The user's own configuration folder of this program; it need not exist."""
    return Path(_usual_house()).parent


def _usual_house() -> str:
    """Where the house file usually lies; asked for with every value, so it is remembered."""
    return _house_below(os.environ.get("XDG_CONFIG_HOME", ""), os.environ.get("HOME", ""))


@functools.lru_cache(maxsize=8)
def _house_below(base: str, home: str) -> str:
    del home  # what Path.home() looks at
    return str((Path(base) if base else Path.home() / ".config") / "fixplan" / "house.toml")


def _house_state() -> tuple[str, int]:
    """The path of this hospital's own values and their time of change: one state of that file.

    The path is $FIXPLAN_HOUSE, else house.toml in `house_dir`; empty if there is none, or if
    $FIXPLAN_HOUSE is set but empty. Asked with every value, so it looks at the file alone.
    """
    named = os.environ.get("FIXPLAN_HOUSE")
    path = _usual_house() if named is None else named
    if not path:
        return "", 0
    try:
        found = os.stat(path)  # noqa: PTH116 (making a Path takes longer than the question)
    except OSError as error:
        if named is None and isinstance(error, FileNotFoundError | NotADirectoryError):
            return "", 0
        raise LibraryError(f"House file {path} cannot be read: correct FIXPLAN_HOUSE.") from error
    return (path, found.st_mtime_ns) if named or stat.S_ISREG(found.st_mode) else ("", 0)


@functools.lru_cache(maxsize=4)
def _house_content(state: tuple[str, int]) -> bytes:
    try:
        return Path(state[0]).read_bytes() if state[0] else b""
    except OSError as error:
        raise LibraryError(f"House file {state[0]} cannot be read: check its rights.") from error


@functools.lru_cache(maxsize=4)
def _house_tables(state: tuple[str, int]) -> Table:
    """The house file's tables, one for each resource file that it overrides."""
    if not state[0]:
        return {}
    tables = parsed_toml(_house_content(state), f"House file {state[0]}")
    for name, table in tables.items():
        if not isinstance(table, dict) or not (resources_dir() / f"{name}.toml").is_file():
            raise LibraryError(
                f"House file {state[0]}: [{name}] is not the name of a file in resources/: "
                "name the table after the file whose values it changes."
            )
    return tables


def house_hash() -> str:
    """The first eight hexadecimal figures of the house file's SHA-256; empty without one."""
    import hashlib

    content = _house_content(_house_state())
    return hashlib.sha256(content).hexdigest()[:8] if content.strip() else ""


def house_overrides(name: str) -> bool:
    """Whether the house file changes values of this resource file (`diameters.toml`)."""
    return Path(name).stem in _house_tables(_house_state())


def _rows_by_id(rows: list[object]) -> dict[object, Table] | None:
    """A list of tables by their `id`; None if it is not such a list."""
    found = {row["id"]: row for row in rows if isinstance(row, dict) and "id" in row}
    return found if len(found) == len(rows) else None


def _merged_lists(shipped: list[object], house: list[object]) -> list[object]:
    """Tables with an `id` replace or extend those shipped; any other list replaces it."""
    own, theirs = _rows_by_id(shipped), _rows_by_id(house)
    if own is None or theirs is None:
        return house
    kept: list[object] = [_merged(row, theirs.get(key, {})) for key, row in own.items()]
    return kept + [row for key, row in theirs.items() if key not in own]


def _merged(shipped: Mapping[str, object], house: Mapping[str, object]) -> Table:
    """The shipped table with the house values put over it, key by key."""
    result: Table = dict(shipped)
    for key, value in house.items():
        own = shipped.get(key)
        if isinstance(own, dict) and isinstance(value, dict):
            result[key] = _merged(own, value)
        elif isinstance(own, list) and isinstance(value, list):
            result[key] = _merged_lists(own, value)
        else:
            result[key] = value
    return result


_LOADED: dict[tuple[str, object, tuple[str, int]], object] = {}


def _converted(name: str, kind: type[T], state: tuple[str, int]) -> T:
    house = _house_tables(state).get(Path(name).stem) if state[0] else None
    shipped = read_toml(name)
    table = _merged(shipped, house) if isinstance(house, dict) else shipped
    where = f"{resources_dir() / name}" + (f" with house file {state[0]}" if house else "")
    try:
        return msgspec.convert(table, kind)
    except msgspec.ValidationError as error:
        raise LibraryError(f"{where}: {error}: correct that value.") from error


def load_toml(name: str, kind: type[T]) -> T:
    """A TOML file in resources/ as a typed value, with the house values over it.

    Raises:
        LibraryError: if a file cannot be read, or a value is not of the kind asked for.
    """
    key = name, kind, _house_state()
    if key not in _LOADED:
        _LOADED[key] = _converted(name, kind, key[2])
    return cast(T, _LOADED[key])
