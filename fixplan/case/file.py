"""The case file: JSON to Case and back, the snapshot's id, and the schema of the format."""

import json
from collections.abc import Iterable
from pathlib import Path
from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from fixplan import __version__
from fixplan.case.meaning import case_problems
from fixplan.case.migrations import FORMAT_NAME, FORMAT_VERSION, Document, migrated
from fixplan.case.records import Case
from fixplan.case.scalars import Record, ShortText
from fixplan.errors import CaseChangedError, CaseFileError

__all__ = [
    "CaseDocument",
    "case_problems",
    "content_hash",
    "decode",
    "encode",
    "file_hash",
    "parsed",
    "read_bytes",
    "read_case",
    "schema",
    "snapshot_id",
    "write_case",
]

LARGEST_FILE_BYTES = 50_000_000
PROBLEMS_TOLD = 12


class CaseDocument(Record, frozen=True, kw_only=True):
    """The file round the case: which format it is and what wrote it."""

    format: Literal["fixplan case"]
    version: Annotated[int, Meta(ge=FORMAT_VERSION, le=FORMAT_VERSION)]
    program: Annotated[ShortText, Meta(description="Version of the program that wrote it")] = ""
    rules: Annotated[ShortText, Meta(description="Version of the rule set then")] = ""
    case: Case


def read_case(path: Path) -> Case:
    """The case in a file. Raises CaseFileError: the first error of structure, or all of meaning."""
    return decode(read_bytes(path), str(path))


def read_bytes(path: Path) -> bytes:
    """A case file's bytes. Raises CaseFileError when it cannot be opened or is far too large."""
    try:
        if path.is_dir():
            raise CaseFileError(f"{path}: this is a folder; give the name of a case file")
        with path.open("rb") as file:
            content = file.read(LARGEST_FILE_BYTES + 1)
    except FileNotFoundError as problem:
        raise CaseFileError(f"{path}: there is no such file; check the name") from problem
    except (OSError, ValueError) as problem:
        words = problem.strerror if isinstance(problem, OSError) else "not a file's name"
        raise CaseFileError(f"{path}: cannot be read ({words}); check the file") from problem
    if len(content) > LARGEST_FILE_BYTES:
        raise CaseFileError(f"{path}: larger than 50 MB; this is not a case file")
    return content


def decode(content: bytes, where: str) -> Case:
    """The case in a file's bytes; `where` names the file in the error.

    Raises CaseFileError: the first error of structure with its path, or all errors of meaning.
    """
    document = _checked_version(parsed(content, where), where)
    try:
        case = msgspec.convert(document, CaseDocument).case
    except (msgspec.ValidationError, OverflowError, RecursionError) as problem:
        raise CaseFileError(f"{where}: {problem}; correct this place in the file") from problem
    _refuse(case_problems(case), where)
    return case


def encode(case: Case, *, rules: str = "") -> bytes:
    """The case as a file's bytes: JSON with sorted keys, one item a line.

    `rules` is the version of the rule set. Raises CaseFileError for a case that could not be read
    back.
    """
    from fixplan.case.layout import laid_out

    body = _body(case)
    document = {
        "format": FORMAT_NAME,
        "version": FORMAT_VERSION,
        "program": __version__,
        "rules": rules,
        "case": body,
    }
    return laid_out(document).encode()


def write_case(case: Case, path: Path, *, expected_hash: str | None = None, rules: str = "") -> str:
    """Write the case to a file, the previous version kept as backup; returns the new file's hash.

    With `expected_hash` a file that has changed meanwhile is left alone: raises CaseChangedError.
    Raises CaseFileError when it cannot be written; the old file is then untouched.
    """
    from fixplan.case.safe_write import write_safely

    _refuse(case_problems(case), str(path))
    content = encode(case, rules=rules)
    if expected_hash is not None and path.exists() and file_hash(path) != expected_hash:
        raise CaseChangedError(
            f"{path}: changed by another window or program since it was opened; "
            "save under another name, or save again to replace it"
        )
    write_safely(path, content, backup=True)
    return content_hash(content)


def snapshot_id(case: Case) -> str:
    """Six characters that name this state of the case (D19); what is accepted counts."""
    import base64
    import hashlib

    text = f"{FORMAT_NAME} {FORMAT_VERSION}\n{_judged_text(case)}"
    return base64.b32encode(hashlib.sha256(text.encode()).digest()).decode()[:6]


def file_hash(path: Path) -> str:
    """SHA-256 of a file's bytes, as hexadecimal text."""
    return content_hash(read_bytes(path))


def content_hash(content: bytes) -> str:
    """SHA-256 of bytes, as hexadecimal text."""
    import hashlib

    return hashlib.sha256(content).hexdigest()


def schema() -> dict[str, object]:
    """The JSON Schema of the case file, with every limit and a description of every record."""
    definitions = msgspec.json.schema(CaseDocument)
    for record in definitions["$defs"].values():
        record["description"] = " ".join(record["description"].split())
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"{FORMAT_NAME}, version {FORMAT_VERSION}",
        **definitions,
    }


def _body(case: Case) -> object:
    """The case as plain values, judged as if it had just been read."""
    from fixplan.case.layout import plain_numbers

    _judged_text(case)
    return plain_numbers(msgspec.to_builtins(case))


def _judged_text(case: Case) -> str:
    """The case as packed text, judged as if it had just been read; without pictures' pixels."""
    from fixplan.case.film_pixels import without_pixels
    from fixplan.case.layout import packed_record

    case = without_pixels(case)
    try:
        msgspec.convert(msgspec.to_builtins(case), Case)
        text = packed_record(case)
        text.encode()
    except (msgspec.ValidationError, ValueError, OverflowError) as problem:
        raise CaseFileError(f"the case holds a value that no file can: {problem}") from problem
    return text


def parsed(content: bytes, where: str) -> object:
    """JSON as plain values. Raises CaseFileError for anything that is not strict JSON."""
    if not content.strip():
        raise CaseFileError(f"{where}: the file is empty; open its backup or another file")
    try:
        text = content.decode("utf-8-sig")
        value = json.loads(
            text,
            object_pairs_hook=_without_duplicates,
            parse_constant=_refused_constant,
            parse_float=_finite,
        )
        if "\\u" in text:
            json.dumps(value, ensure_ascii=False).encode()
    except RecursionError as problem:
        raise CaseFileError(f"{where}: nested too deeply; this is not a case file") from problem
    except UnicodeError as problem:
        raise CaseFileError(f"{where}: holds text that is not UTF-8; save it as UTF-8") from problem
    except ValueError as problem:
        words = f"{where}: not sound JSON ({problem}); correct it or open its backup"
        raise CaseFileError(words) from problem
    return value


def _without_duplicates(pairs: list[tuple[str, object]]) -> dict[str, object]:
    found = dict(pairs)
    if len(found) < len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for key in keys if keys.count(key) > 1)
        raise ValueError(f"the key {twice!r} stands twice in one object")
    return found


def _refused_constant(name: str) -> object:
    raise ValueError(f"{name} is not a number")


def _finite(text: str) -> float:
    value = float(text)
    if value in (float("inf"), float("-inf")):
        raise ValueError(f"{text} is too large a number")
    return value


def _checked_version(value: object, where: str) -> Document:
    """The document at the newest version. Raises CaseFileError for a wrong format or version."""
    if not isinstance(value, dict) or value.get("format") != FORMAT_NAME:
        words = f'the field "format" does not say "{FORMAT_NAME}"'
        raise CaseFileError(f"{where}: not a case file, {words}; open a case file")
    version = value.get("version")
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        raise CaseFileError(f'{where}: the field "version" must be a whole number from 1 up')
    if version > FORMAT_VERSION:
        raise CaseFileError(
            f"{where}: written in format version {version}, and this program reads up to "
            f"{FORMAT_VERSION}; open it with a newer program"
        )
    return migrated(value)


def _refuse(problems: Iterable[str], where: str) -> None:
    """Raise CaseFileError with all errors of meaning in one line, the first dozen told in words."""
    found = tuple(problems)
    if not found:
        return
    told = "; ".join(found[:PROBLEMS_TOLD])
    more = f"; and {len(found) - PROBLEMS_TOLD} more" if len(found) > PROBLEMS_TOLD else ""
    raise CaseFileError(f"{where}: {told}{more}; correct the file")
