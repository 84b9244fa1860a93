"""Documents on disk: whole or not at all, and never over a file that may only be read."""

import stat
from collections.abc import Mapping
from pathlib import Path

from fixplan.case.safe_write import write_safely
from fixplan.errors import NotesError

WRITABLE = stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH


def write_documents(contents: Mapping[Path, bytes]) -> tuple[Path, ...]:
    """Write every file; returns them.

    Raises NotesError before any is written where one may only be read, CaseFileError when the disk
    refuses; what was there before then stays.
    """
    for path in contents:
        if path.is_file() and not path.stat().st_mode & WRITABLE:
            raise NotesError(f"{path}: may only be read; write it under another name.")
    for path, content in contents.items():
        write_safely(path, content)
    return tuple(contents)
