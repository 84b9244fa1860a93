"""Files of trays: read, written, refused; what was there before is never lost."""

from pathlib import Path

import pytest

from fixplan.errors import TraysError
from fixplan.kit.tray_files import house_trays, read_trays, write_template, write_trays
from fixplan.kit.trays import INVENTED, Stock, Tray, own_trays_path, shipped_trays


@pytest.mark.parametrize("name", ["trays.toml", "trays.csv"])
def test_what_is_written_reads_back_alike(tmp_path: Path, name: str) -> None:
    write_template(tmp_path / name)
    found = read_trays(tmp_path / name)
    assert found.trays == shipped_trays().trays
    assert found.words == f"trays of {name}"


def test_odd_letters_survive_both_forms(tmp_path: Path) -> None:
    odd = Tray(
        name='Leg "Ä" \\ , ;',
        kind="a\tb",
        place="line\u2028end",
        stock=(Stock(part="other", name="x\x7fy", count=1),),
    )
    for name in ("odd.toml", "odd.csv"):
        write_trays([odd], tmp_path / name)
        assert read_trays(tmp_path / name).trays == (odd,)


def test_without_a_file_the_invented_set_is_used_and_said() -> None:
    assert house_trays().words == INVENTED


def test_the_own_file_lies_beside_the_house_file() -> None:
    write_trays(shipped_trays().trays[:1], own_trays_path())
    found = house_trays()
    assert len(found.trays) == 1
    assert found.origin.endswith("/fixplan/trays.toml")


def test_a_read_only_file_is_told_and_kept(tmp_path: Path) -> None:
    path = tmp_path / "trays.csv"
    path.write_text("as it was")
    path.chmod(0o444)
    with pytest.raises(TraysError, match="may only be read"):
        write_template(path)
    assert path.read_text() == "as it was"


def test_the_previous_version_is_kept_as_backup(tmp_path: Path) -> None:
    path = tmp_path / "trays.toml"
    write_trays(shipped_trays().trays[:1], path)
    before = path.read_bytes()
    write_trays(shipped_trays().trays[:2], path)
    assert (tmp_path / "trays.toml.backup").read_bytes() == before


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("schema = 2\n", "needs schema = 1"),
        ("schema = 1\n", "needs schema = 1 and"),
        ("schema = 1\ncolour = 2\n[[tray]]\nname='A'\nkind='a'\n", "colour is not known"),
        ("schema = 1\n[[tray]]\nname = 'A'\n", "tray 1"),
        ("schema = 1\n[[tray]]\nname='A'\nkind='a'\n[[tray]]\nname='a'\nkind='a'\n", "twice"),
        (
            "schema = 1\n[[tray]]\nname='A'\nkind='a'\nstock=[{part='bar',count=-1}]\n",
            "tray 1",
        ),
        ("schema = 1\n[[tray]]\nname='A'\nkind='a'\nstock=[{part='bar',count=1}]\n", "line 1"),
        ("schema = \n", "not valid TOML"),
    ],
)
def test_a_wrong_toml_is_told_in_one_sentence(tmp_path: Path, text: str, words: str) -> None:
    path = tmp_path / "trays.toml"
    path.write_text(text)
    with pytest.raises(TraysError, match=words) as problem:
        read_trays(path)
    assert len(str(problem.value).splitlines()) == 1


def test_a_file_that_is_not_there_or_ends_otherwise_is_told(tmp_path: Path) -> None:
    with pytest.raises(TraysError, match="there is no such file"):
        read_trays(tmp_path / "none.csv")
    (tmp_path / "trays.xlsx").write_bytes(b"PK")
    with pytest.raises(TraysError, match=r"ends in \.toml or \.csv"):
        read_trays(tmp_path / "trays.xlsx")
