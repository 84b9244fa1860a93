"""Parsed copies of TOML files: the same values, and never a word when they cannot be kept."""

import pytest

from fixplan.errors import LibraryError
from fixplan.limb import tables

CONTENT = b'name = "tibia"\nlimits = [1, 2.5, -0.1]\n[part]\nis_known = true\n'
TABLE = {"name": "tibia", "limits": [1, 2.5, -0.1], "part": {"is_known": True}}


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    return tmp_path / "fixplan"


def test_a_copy_gives_the_same_table_without_parsing(folder, monkeypatch):
    assert tables.kept_toml(CONTENT, "rules.toml") == TABLE
    assert len(list(folder.iterdir())) == 1
    monkeypatch.setattr(tables, "parsed_toml", None)
    assert tables.kept_toml(CONTENT, "rules.toml") == TABLE


def test_a_changed_file_gets_a_new_copy_and_the_old_one_goes(folder):
    tables.kept_toml(CONTENT, "rules.toml")
    tables.kept_toml(CONTENT, "evidence.toml")
    changed = CONTENT.replace(b"2.5", b"3.5")
    assert tables.kept_toml(changed, "rules.toml")["limits"] == [1, 3.5, -0.1]
    assert len(list(folder.iterdir())) == 2


def test_a_broken_copy_is_parsed_anew(folder):
    tables.kept_toml(CONTENT, "rules.toml")
    (copy,) = folder.iterdir()
    copy.write_bytes(b'{"name": ')
    assert tables.kept_toml(CONTENT, "rules.toml") == TABLE
    assert copy.read_bytes() != b'{"name": '


def test_what_json_cannot_hold_is_never_kept(folder):
    assert tables.kept_toml(CONTENT + b"\nlast = inf", "rules.toml")["name"] == "tibia"
    assert not folder.exists()


def test_a_folder_that_cannot_be_written_is_passed_over(tmp_path, monkeypatch):
    in_the_way = tmp_path / "file"
    in_the_way.write_bytes(b"")
    for base in (str(in_the_way), "not/absolute"):
        monkeypatch.setenv("XDG_CACHE_HOME", base)
        assert tables.kept_toml(CONTENT, "rules.toml") == TABLE


def test_what_is_not_toml_is_refused(folder):
    with pytest.raises(LibraryError, match=r"rules\.toml is not valid TOML"):
        tables.kept_toml(b"a = \n" + CONTENT, "rules.toml")
    assert not folder.exists()
