"""Resource files and the house file over them."""

from pathlib import Path

import msgspec
import pytest

from fixplan.errors import LibraryError
from fixplan.limb import library


class Row(msgspec.Struct, frozen=True):
    id: str
    name: str


class Marks(msgspec.Struct, frozen=True):
    source: str
    bones: dict[str, list[Row]]


def house(monkeypatch: pytest.MonkeyPatch, path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8")
    monkeypatch.setenv("FIXPLAN_HOUSE", str(path))


def test_without_a_house_file_the_shipped_values_hold() -> None:
    marks = library.load_toml("landmarks.toml", Marks)
    assert {row.id for row in marks.bones["patella"]} == {"patella_top", "patella_tip"}
    assert library.house_hash() == ""
    assert not library.house_overrides("landmarks.toml")


def test_a_house_value_replaces_one_key_and_leaves_the_rest(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    text = '[landmarks]\nbones.patella = [{id = "patella_top", name = "upper pole"}]\n'
    house(monkeypatch, tmp_path / "house.toml", text)
    marks = library.load_toml("landmarks.toml", Marks)
    names = {row.id: row.name for row in marks.bones["patella"]}
    assert names == {"patella_top": "upper pole", "patella_tip": "tip of the patella"}
    assert len(marks.bones["femur"]) == 7
    assert len(library.house_hash()) == 8
    assert library.house_overrides("landmarks.toml")


def test_a_changed_house_file_is_read_again(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    path = tmp_path / "house.toml"
    house(monkeypatch, path, '[landmarks]\nsource = "first"\n')
    assert library.load_toml("landmarks.toml", Marks).source == "first"
    path.write_text('[landmarks]\nsource = "the second"\n', encoding="utf-8")
    stat = path.stat()
    import os

    os.utime(path, ns=(stat.st_atime_ns, stat.st_mtime_ns + 1_000_000))
    assert library.load_toml("landmarks.toml", Marks).source == "the second"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[landmark]\nsource = 'x'\n", r"\[landmark\] is not the name of a file"),
        ("[landmarks\n", "not valid TOML"),
        ("[landmarks]\nsource = 3\n", r"Expected `str`, got `int` - at `\$.source`"),
    ],
)
def test_a_wrong_house_file_is_told_with_its_place(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, text: str, told: str
) -> None:
    house(monkeypatch, tmp_path / "house.toml", text)
    with pytest.raises(LibraryError, match=told) as error:
        library.load_toml("landmarks.toml", Marks)
    assert "house.toml" in str(error.value)
    assert "\n" not in str(error.value)


def test_a_missing_house_file_is_told(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("FIXPLAN_HOUSE", str(tmp_path / "nowhere.toml"))
    with pytest.raises(LibraryError, match=r"nowhere\.toml"):
        library.load_toml("landmarks.toml", Marks)


def test_the_usual_place_of_the_house_file(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.delenv("FIXPLAN_HOUSE")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    assert library.house_hash() == ""
    place = tmp_path / "fixplan" / "house.toml"
    place.parent.mkdir()
    place.write_text("[landmarks]\nschema = 1\n", encoding="utf-8")
    assert library.house_hash() != ""
    assert library.house_overrides("landmarks.toml")
    assert place.parent == library.house_dir()


def test_a_missing_resource_is_told() -> None:
    with pytest.raises(LibraryError, match=r"nothing\.json cannot be read"):
        library.read_json("nothing.json")
