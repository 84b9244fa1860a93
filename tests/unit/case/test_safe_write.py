"""Writing a file as one step: whole, or not at all."""

import errno
import os
import resource
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from fixplan.case.safe_write import backup_of, write_safely
from fixplan.errors import CaseFileError


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def refuse(monkeypatch: pytest.MonkeyPatch, name: str, code: int) -> None:
    def refused(*_: object, **__: object) -> None:
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(os, name, refused)


def test_a_new_file_gets_the_usual_mode(tmp_path: Path) -> None:
    mask = os.umask(0o022)
    try:
        write_safely(tmp_path / "plan.json", b"new")
    finally:
        os.umask(mask)
    assert (tmp_path / "plan.json").read_bytes() == b"new"
    assert stat.S_IMODE((tmp_path / "plan.json").stat().st_mode) == 0o644
    assert names(tmp_path) == ["plan.json"]


def test_the_mode_of_an_existing_file_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    path.write_bytes(b"old")
    path.chmod(0o640)
    write_safely(path, b"new", backup=True)
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert stat.S_IMODE(backup_of(path).stat().st_mode) == 0o640


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "far").mkdir()
    target = tmp_path / "far" / "plan.json"
    target.write_bytes(b"old")
    link = tmp_path / "link.json"
    link.symlink_to(target)
    write_safely(link, b"new", backup=True)
    assert link.is_symlink()
    assert target.read_bytes() == b"new"
    assert backup_of(target).read_bytes() == b"old"
    assert names(tmp_path / "far") == ["plan.json", "plan.json.backup"]


def test_a_link_to_itself_is_told(tmp_path: Path) -> None:
    link = tmp_path / "loop.json"
    link.symlink_to(link)
    with pytest.raises(CaseFileError, match=r"loop\.json"):
        write_safely(link, b"new")


def test_the_backup_is_the_version_before(tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    for content in (b"one", b"two", b"three"):
        write_safely(path, content, backup=True)
    assert path.read_bytes() == b"three"
    assert backup_of(path).read_bytes() == b"two"
    assert names(tmp_path) == ["plan.json", "plan.json.backup"]


def test_where_links_cannot_be_made_the_backup_is_a_copy(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "plan.json"
    path.write_bytes(b"old")
    refuse(monkeypatch, "link", errno.EPERM)
    write_safely(path, b"new", backup=True)
    assert backup_of(path).read_bytes() == b"old"
    assert path.read_bytes() == b"new"


@pytest.mark.parametrize(
    ("step", "code", "words"),
    [
        ("open", errno.EACCES, "may not be written"),
        ("open", errno.EROFS, "may not be written"),
        ("fsync", errno.ENOSPC, "disk is full"),
        ("fsync", errno.EDQUOT, "disk is full"),
        ("fsync", errno.EIO, "Input/output error"),
        ("fchmod", errno.EPERM, "may not be written"),
    ],
)
def test_a_refused_step_leaves_the_original_and_no_litter(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, code: int, words: str
) -> None:
    path = tmp_path / "plan.json"
    path.write_bytes(b"old")
    with monkeypatch.context() as patched:
        refuse(patched, step, code)
        with pytest.raises(CaseFileError, match=words) as caught:
            write_safely(path, b"new", backup=True)
    assert str(path) in str(caught.value)
    assert path.read_bytes() == b"old"
    assert "plan.json" in names(tmp_path)
    assert not [name for name in names(tmp_path) if name.endswith(".tmp")]


def test_a_disk_that_fills_up_half_way_leaves_the_original(tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    path.write_bytes(b"old")
    script = (
        "import resource, sys; from pathlib import Path\n"
        "from fixplan.case.safe_write import write_safely\n"
        "from fixplan.errors import CaseFileError\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (5000, 5000))\n"
        "try: write_safely(Path(sys.argv[1]), b'x' * 100_000, backup=True)\n"
        "except CaseFileError as problem: print(problem)\n"
    )
    told = subprocess.run(
        [sys.executable, "-c", script, str(path)], capture_output=True, text=True, check=True
    )
    assert "disk is full" in told.stdout
    assert path.read_bytes() == b"old"
    assert names(tmp_path) == ["plan.json"]
    assert resource.getrlimit(resource.RLIMIT_FSIZE)[0] != 5000


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may write into any folder")
def test_a_read_only_folder_is_told(tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    path.write_bytes(b"old")
    tmp_path.chmod(0o555)
    try:
        with pytest.raises(CaseFileError, match="may not be written"):
            write_safely(path, b"new")
    finally:
        tmp_path.chmod(0o755)
    assert path.read_bytes() == b"old"


def test_a_folder_that_does_not_exist_is_told(tmp_path: Path) -> None:
    with pytest.raises(CaseFileError, match="does not exist"):
        write_safely(tmp_path / "nowhere" / "plan.json", b"new")


def test_a_folder_is_not_overwritten(tmp_path: Path) -> None:
    with pytest.raises(CaseFileError, match="folder"):
        write_safely(tmp_path, b"new")


def test_a_device_is_not_overwritten() -> None:
    with pytest.raises(CaseFileError, match="not an ordinary file"):
        write_safely(Path("/dev/null"), b"new")


def test_a_name_with_a_zero_byte_is_told(tmp_path: Path) -> None:
    with pytest.raises(CaseFileError):
        write_safely(tmp_path / "a\0b", b"new")


def test_a_very_long_name_still_fits_its_temporary_file(tmp_path: Path) -> None:
    path = tmp_path / ("n" * 250 + ".json")
    write_safely(path, b"new")
    assert path.read_bytes() == b"new"
