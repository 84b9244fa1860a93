"""Recovery copies: what is on disk between two saves, one file a window (D20).

This half is pure; the desk holds the lock beside each copy (`lock_of`) and asks the questions.
"""

import os
import uuid
from pathlib import Path

import msgspec

from fixplan.case.file import decode, encode, parsed
from fixplan.case.layout import laid_out
from fixplan.case.records import Case
from fixplan.case.safe_write import write_safely
from fixplan.errors import CaseFileError

FORMAT_NAME = "fixplan recovery"
FORMAT_VERSION = 1


class RecoveryCopy(msgspec.Struct, frozen=True, kw_only=True):
    """An unsaved case as it was last seen.

    `origin` is the file it was opened from or last saved to ("": never saved), `origin_hash` that
    file's hash then, `written_at` a time for people to read. `sitting` is the document of an
    exercise's sitting, whose file or shipped exercise lay in `sitting_folder`.
    """

    case: Case
    origin: str = ""
    origin_hash: str = ""
    written_at: str = ""
    sitting: dict[str, object] | None = None
    sitting_folder: str = ""


class _Wrapped(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """The file round the case file."""

    format: str
    version: int
    origin: str
    origin_hash: str
    written_at: str
    document: dict[str, object]
    sitting: dict[str, object] | None = None
    sitting_folder: str = ""


def recovery_folder() -> Path:
    """Where this user's recovery copies lie."""
    state = os.environ.get("XDG_STATE_HOME") or str(Path.home() / ".local" / "state")
    return Path(state) / "fixplan" / "recovery"


def new_copy_path(folder: Path) -> Path:
    """A new name for one window's copy; makes the folder. Raises CaseFileError if it cannot."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        words = f"{folder}: recovery copies cannot be kept ({problem.strerror}); save often"
        raise CaseFileError(words) from problem
    return folder / f"{uuid.uuid4()}.json"


def lock_of(copy: Path) -> Path:
    """The lock file that a window holds while its copy is alive."""
    return copy.with_suffix(".lock")


def copies(folder: Path) -> tuple[Path, ...]:
    """Every copy in the folder, newest first, whether a window still holds it or not."""
    found = [(path.stat().st_mtime, path) for path in folder.glob("*.json") if path.is_file()]
    return tuple(path for _, path in sorted(found, reverse=True))


def write_copy(copy: RecoveryCopy, path: Path) -> None:
    """Write a copy as one step. Raises CaseFileError when it cannot be written."""
    wrapped = {
        "format": FORMAT_NAME,
        "version": FORMAT_VERSION,
        "origin": copy.origin,
        "origin_hash": copy.origin_hash,
        "written_at": copy.written_at,
        "document": parsed(encode(copy.case), str(path)),
    }
    if copy.sitting is not None:
        wrapped |= {"sitting": copy.sitting, "sitting_folder": copy.sitting_folder}
    write_safely(path, laid_out(wrapped).encode())


def read_copy(path: Path) -> RecoveryCopy:
    """Read a copy. Raises CaseFileError when it is not whole."""
    try:
        content = path.read_bytes()
        wrapped = msgspec.convert(parsed(content, str(path)), _Wrapped)
    except (OSError, msgspec.ValidationError) as problem:
        words = f"{path}: this recovery copy cannot be read ({problem}); discard it"
        raise CaseFileError(words) from problem
    if (wrapped.format, wrapped.version) != (FORMAT_NAME, FORMAT_VERSION):
        raise CaseFileError(f"{path}: not a recovery copy of this program's version; discard it")
    case = decode(laid_out(wrapped.document).encode(), str(path))
    return RecoveryCopy(
        case=case,
        origin=wrapped.origin,
        origin_hash=wrapped.origin_hash,
        written_at=wrapped.written_at,
        sitting=wrapped.sitting,
        sitting_folder=wrapped.sitting_folder,
    )


def discard_copy(path: Path) -> None:
    """Take a copy away; one that is gone already is no matter."""
    path.unlink(missing_ok=True)
