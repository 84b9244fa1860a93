"""House rules: every file in resources/ reads, every id is unique and leads somewhere."""

import json
import re
import subprocess
import sys
import tomllib
import zipfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
RESOURCES = ROOT / "resources"
TOML_FILES = sorted(RESOURCES.rglob("*.toml"))
JSON_FILES = sorted(RESOURCES.rglob("*.json"))
UNITS = {
    "",
    "mm",
    "mm2",
    "cm",
    "deg",
    "%",
    "N",
    "N/mm",
    "MPa",
    "kg",
    "h",
    "day",
    "days",
    "pins",
} | {"share"}
OPINION = "source.common-practice"


def read(path: Path) -> dict[str, object]:
    text = path.read_text(encoding="utf-8")
    value: dict[str, object] = tomllib.loads(text) if path.suffix == ".toml" else json.loads(text)
    return value


def entries(name: str, key: str) -> list[dict[str, object]]:
    listed = read(RESOURCES / name)[key]
    assert isinstance(listed, list)
    return listed


def named(value: object, key: str) -> Iterator[str]:
    """Every text that stands under `key` anywhere in a file, alone or in a list."""
    if isinstance(value, dict):
        for name, item in value.items():
            if name == key:
                yield from (one for one in (item if isinstance(item, list) else [item]))
            yield from named(item, key)
    elif isinstance(value, list):
        for item in value:
            yield from named(item, key)


def ids(name: str, key: str) -> list[str]:
    return [str(entry["id"]) for entry in entries(name, key)]


@pytest.mark.parametrize("path", TOML_FILES, ids=lambda path: path.name)
def test_every_toml_file_states_its_schema(path: Path) -> None:
    assert read(path)["schema"] == 1


@pytest.mark.parametrize("path", JSON_FILES, ids=lambda path: path.name)
def test_every_json_file_reads(path: Path) -> None:
    assert read(path)


@pytest.mark.parametrize(
    ("name", "key"),
    [("rules.toml", "rule"), ("evidence.toml", "evidence"), ("sources.toml", "source")],
)
def test_ids_are_unique(name: str, key: str) -> None:
    assert [id_ for id_, count in Counter(ids(name, key)).items() if count > 1] == []


@pytest.mark.parametrize("path", TOML_FILES, ids=lambda path: path.name)
def test_every_evidence_id_named_is_listed(path: Path) -> None:
    if path.name == "evidence.toml":
        return
    known = set(ids("evidence.toml", "evidence"))
    assert [id_ for id_ in named(read(path), "evidence") if id_ not in known] == []


def test_every_source_that_evidence_names_is_listed() -> None:
    known = set(ids("sources.toml", "source"))
    assert [
        id_ for id_ in named(read(RESOURCES / "evidence.toml"), "sources") if id_ not in known
    ] == []


def test_every_source_is_used() -> None:
    used = set(named(read(RESOURCES / "evidence.toml"), "sources"))
    assert set(ids("sources.toml", "source")) - used == set()


def test_every_rule_and_every_evidence_has_a_source() -> None:
    assert [rule["id"] for rule in entries("rules.toml", "rule") if not rule["evidence"]] == []
    bare = [one["id"] for one in entries("evidence.toml", "evidence") if not one["sources"]]
    assert bare == []


def test_every_source_states_its_level() -> None:
    assert [one["id"] for one in entries("sources.toml", "source") if not one.get("level")] == []


def test_every_unit_is_known() -> None:
    assert {unit for path in TOML_FILES for unit in named(read(path), "unit")} <= UNITS


@pytest.mark.parametrize("rule", entries("rules.toml", "rule"), ids=lambda rule: str(rule["id"]))
def test_every_rule_has_a_passing_and_a_failing_example(rule: dict[str, object]) -> None:
    path = ROOT / "tests" / "validation" / "rules" / f"{rule['id']}.json"
    examples = json.loads(path.read_text(encoding="utf-8"))
    found = [example["expect"] is not None for example in examples["examples"]]
    assert examples["rule"] == rule["id"]
    assert set(found) == {True, False}


def test_no_rule_says_that_a_thing_is_safe() -> None:
    told = [
        str(value)
        for path in TOML_FILES
        for key in ("text", "texts", "why", "says")
        for value in named(read(path), key)
    ]
    assert told
    assert [text for text in told if re.search(r"\bsafe(ly)?\b", text, re.IGNORECASE)] == []


def test_fonts_come_with_their_licence() -> None:
    assert list((RESOURCES / "fonts").glob("*.ttf"))
    assert (RESOURCES / "fonts" / "licence.txt").stat().st_size > 500


def test_the_wheel_carries_every_resource(tmp_path: Path) -> None:
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(tmp_path)],
        cwd=ROOT,
        check=True,
        capture_output=True,
    )
    with zipfile.ZipFile(next(tmp_path.glob("*.whl"))) as wheel:
        packed = set(wheel.namelist())
    shipped = {
        f"fixplan/resources/{path.relative_to(RESOURCES)}"
        for path in RESOURCES.rglob("*")
        if path.is_file()
    }
    assert shipped <= packed
    assert any(
        name.endswith("licences/resources/licence.txt") or "licence" in name for name in packed
    )
