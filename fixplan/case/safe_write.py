"""Writing a file so that a power cut, a full disk or a refused folder never costs the old one."""

import errno
import os
import stat
from pathlib import Path

from fixplan.errors import CaseFileError

_FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
_REFUSED = {errno.EACCES, errno.EPERM, errno.EROFS}


def backup_of(path: Path) -> Path:
    """Where the previous version of a file is kept."""
    return path.with_name(path.name + ".backup")


def write_safely(path: Path, content: bytes, *, backup: bool = False) -> None:
    """Write `content` to `path` as one step: whole, or not at all (D21).

    Links are followed, the file's mode is kept, file and folder are flushed to disk; with `backup`
    the previous version stays beside it. Raises CaseFileError in one sentence; the original is then
    untouched.
    """
    try:
        target = path.resolve()
        mode = _mode_of(target)
        _replace(target, content, mode, backup=backup and mode is not None)
    except (OSError, RuntimeError, ValueError) as problem:
        raise CaseFileError(_sentence(path, problem)) from problem


def _mode_of(target: Path) -> int | None:
    """The permission bits of an existing file; None when there is none yet."""
    try:
        found = target.stat()
    except FileNotFoundError:
        return None
    if stat.S_ISDIR(found.st_mode):
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
    if not stat.S_ISREG(found.st_mode):
        raise OSError(errno.EINVAL, "it is not an ordinary file")
    return stat.S_IMODE(found.st_mode)


def _replace(target: Path, content: bytes, mode: int | None, *, backup: bool) -> None:
    written = _beside(target)
    try:
        _write_through(written, content, mode)
        if backup:
            _keep_previous(target)
        written.replace(target)
    finally:
        written.unlink(missing_ok=True)
    _flush_folder(target.parent)


def _beside(target: Path) -> Path:
    """A new temporary name in the same folder, short whatever the target's name."""
    return target.parent / f".fixplan-{os.urandom(8).hex()}.tmp"


def _write_through(path: Path, content: bytes, mode: int | None) -> None:
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC, 0o666)
    with os.fdopen(descriptor, "wb") as file:
        file.write(content)
        file.flush()
        if mode is not None:
            os.fchmod(descriptor, mode)
        os.fsync(descriptor)


def _keep_previous(target: Path) -> None:
    """Keep the present file as backup, by a second name where links work, else by a copy."""
    kept = _beside(target)
    try:
        try:
            os.link(target, kept)
        except OSError:
            _write_through(kept, target.read_bytes(), _mode_of(target))
        kept.replace(backup_of(target))
    finally:
        kept.unlink(missing_ok=True)


def _flush_folder(folder: Path) -> None:
    """Flush the folder's entry; some file systems cannot, and the file itself is already safe."""
    descriptor = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
    try:
        os.fsync(descriptor)
    except OSError as problem:
        if problem.errno not in (errno.EINVAL, errno.ENOTSUP):
            raise
    finally:
        os.close(descriptor)


def _sentence(path: Path, problem: Exception) -> str:
    code = problem.errno if isinstance(problem, OSError) else None
    kept = "nothing there was changed"
    if code in _FULL:
        return f"{path}: cannot be written, the disk is full ({kept}); make room or save elsewhere"
    if code in _REFUSED:
        return f"{path}: its folder may not be written to ({kept}); save it in another folder"
    if code in (errno.ENOENT, errno.ENOTDIR):
        return f"{path}: its folder does not exist; create it or save elsewhere"
    if code == errno.EISDIR:
        return f"{path}: this is a folder; give the name of a file"
    words = problem.strerror if isinstance(problem, OSError) else str(problem)
    return f"{path}: cannot be written ({words}; {kept}); save it elsewhere"
