"""Recovery copies."""

import os
from pathlib import Path

import pytest

from fixplan.case.file import encode
from fixplan.case.records import Case
from fixplan.case.recovery import (
    RecoveryCopy,
    copies,
    discard_copy,
    lock_of,
    new_copy_path,
    read_copy,
    recovery_folder,
    write_copy,
)
from fixplan.errors import CaseFileError

COPY = RecoveryCopy(
    case=Case(side="left", label="bed 4"),
    origin="/plans/übung.json",
    origin_hash="ab12",
    written_at="2024-02-03 04:05",
)


def test_a_copy_reads_back_whole(tmp_path: Path) -> None:
    path = new_copy_path(tmp_path / "recovery")
    write_copy(COPY, path)
    assert read_copy(path) == COPY


def test_a_copy_of_a_case_never_saved(tmp_path: Path) -> None:
    path = new_copy_path(tmp_path)
    write_copy(RecoveryCopy(case=Case(side="right")), path)
    assert read_copy(path).origin == ""


def test_each_window_has_its_own_copy_and_lock(tmp_path: Path) -> None:
    first, second = new_copy_path(tmp_path), new_copy_path(tmp_path)
    assert first != second
    assert lock_of(first).name == first.stem + ".lock"


def test_copies_are_listed_newest_first_without_locks(tmp_path: Path) -> None:
    old, new = new_copy_path(tmp_path), new_copy_path(tmp_path)
    for path, seconds in ((old, 1000), (new, 2000)):
        write_copy(COPY, path)
        os.utime(path, (seconds, seconds))
    lock_of(old).write_text("held")
    assert copies(tmp_path) == (new, old)
    assert copies(tmp_path / "nowhere") == ()


def test_a_discarded_copy_is_gone_and_may_be_discarded_again(tmp_path: Path) -> None:
    path = new_copy_path(tmp_path)
    write_copy(COPY, path)
    discard_copy(path)
    discard_copy(path)
    assert copies(tmp_path) == ()


@pytest.mark.parametrize("content", [b"", b"{", b"[]", encode(COPY.case)])
def test_a_broken_copy_is_told(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "copy.json"
    path.write_bytes(content)
    with pytest.raises(CaseFileError, match=r"copy\.json"):
        read_copy(path)


def test_a_copy_of_another_format_is_told(tmp_path: Path) -> None:
    path = new_copy_path(tmp_path)
    write_copy(COPY, path)
    path.write_bytes(path.read_bytes().replace(b'"version": 1', b'"version": 2'))
    with pytest.raises(CaseFileError):
        read_copy(path)


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(CaseFileError, match="cannot be kept"):
        new_copy_path(tmp_path / "file")


def test_the_folder_follows_the_users_state_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", "/somewhere")
    assert recovery_folder() == Path("/somewhere/fixplan/recovery")
