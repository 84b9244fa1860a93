"""`fixplan kit`: numbers it ends with, linked cases, JSON, and what cannot be read."""

import json
from pathlib import Path

import pytest
from msgspec.structs import replace

from fixplan.case.file import encode, read_case
from fixplan.cli import main
from fixplan.kit.night import night_of

SAMPLES = Path(__file__).parents[3] / "sample_cases"
TIBIA, FAULTS = (str(SAMPLES / f"{x}.json") for x in ("open-tibial-shaft", "teaching-faults"))


def test_it_ends_with_0_1_or_2(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["kit", TIBIA]) == 0
    assert main(["kit", FAULTS]) == 1
    assert main(["kit", TIBIA, "none.json"]) == 2
    told = capsys.readouterr()
    assert "Open Leg A" in told.out
    assert told.err.splitlines() == ["none.json: there is no such file; check the name"]


def test_json_tells_what_to_open_and_what_is_missing(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["kit", FAULTS, "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert told["cases"] == [{"case": FAULTS, "patient": 1, "family": "K"}]
    assert told["open"][0]["tray"] == "Leg A"
    assert told["missing"][0]["for"] == ["pin-6"]
    assert told["proven"] is True


def test_trays_that_cannot_be_read_end_with_2(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "trays.csv"
    path.write_text("tray,part,count\nLeg A,bar,-1\n")
    assert main(["kit", TIBIA, "--trays", str(path)]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.splitlines() == [
        "trays.csv: row 2, column count: -1 is negative; write how many there are, from 0 up"
    ]


def test_a_pin_that_no_tray_serves_is_missing_and_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "trays.csv"
    path.write_text("tray,part,count,diameter_mm,length_mm\nLeg A,bar,1,11,600\n")
    assert main(["kit", TIBIA, "--trays", str(path)]) == 1
    assert "4 \u00d7 half-pin 5 mm, 100 mm missing" in capsys.readouterr().out


def test_linked_cases_come_along_and_are_one_patient(tmp_path: Path) -> None:
    case = read_case(Path(TIBIA))
    (tmp_path / "left.json").write_bytes(encode(replace(case, side="left")))
    right = tmp_path / "right.json"
    right.write_bytes(encode(replace(case, linked=("left.json",))))
    night = night_of([str(right), TIBIA])
    assert [Path(path).name for path in night.paths] == [
        "right.json",
        "left.json",
        "open-tibial-shaft.json",
    ]
    assert night.patients == (0, 0, 1)


def test_cases_that_name_each_other_are_read_once(tmp_path: Path) -> None:
    case = read_case(Path(TIBIA))
    for name, other in (("a.json", "b.json"), ("b.json", "a.json")):
        (tmp_path / name).write_bytes(encode(replace(case, linked=(other,))))
    assert len(night_of([str(tmp_path / "a.json"), str(tmp_path / "b.json")]).paths) == 2


def test_a_template_is_written_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "trays.csv"
    assert main(["kit", "--template", str(out)]) == 0
    assert main(["kit", "--template", str(out)]) == 2
    assert "is there already" in capsys.readouterr().err
    assert main(["kit", TIBIA, "--trays", str(out)]) == 0


def test_without_a_case_it_says_what_it_wants(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["kit"])
    assert ended.value.code == 2
    assert "give at least one case" in capsys.readouterr().err


def test_changes_that_mend_what_is_short_are_offered_case_by_case(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["kit", TIBIA, FAULTS]) == 1
    told = [line.strip() for line in capsys.readouterr().out.splitlines()]
    offered = [line for line in told if "Possible" in line]
    assert offered[0].startswith("Case 2: Possible: half-pin 6 mm, 150 mm in place of")
    assert offered[0].endswith("nothing is missing then.")
    assert main(["kit", FAULTS, "--json"]) == 1
    first, *_ = json.loads(capsys.readouterr().out)["offered"]
    assert (first["case"], first["missing_after"]) == (1, 0)
    assert first["effect"] in offered[0].replace("Pin 6 stands", "pin 6 stands")


def test_where_nothing_mends_it_that_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "trays.csv"
    path.write_text("tray,part,count,diameter_mm,length_mm\nLeg A,half-pin,1,2,20\n")
    assert main(["kit", TIBIA, "--trays", str(path)]) == 1
    assert "No other part that was tried" in capsys.readouterr().out
