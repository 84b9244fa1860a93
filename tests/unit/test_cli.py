"""The command line: what is printed where, and with which number it ends."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from fixplan import __version__, cli
from fixplan.case.file import encode
from fixplan.case.records import Bar, Case, Fracture, Pin, PinAnchor
from fixplan.desk import display
from fixplan.errors import EditError

FIELDS = (
    "rule",
    "severity",
    "subject",
    "message",
    "measured",
    "limit",
    "unit",
    "sources",
    "accepted",
)
FRACTURE = Fracture(id="fracture-1", bone="tibia", from_mm=170.0, to_mm=200.0)


def pin(number: int, level_mm: float, bone: str = "tibia") -> Pin:
    return Pin(
        id=f"pin-{number}",
        number=number,
        bone=bone,
        level_mm=level_mm,
        bearing_deg=120.0,
        diameter_mm=5.0,
    )


CLEAR = Case(side="right")
STOPPED = Case(side="right", fractures=(FRACTURE,), pins=(pin(1, 180.0),), last_number=1)
OFF_LIMB = Case(side="right", pins=(pin(1, 180.0, "ulna"),), last_number=1)


@pytest.fixture
def write(tmp_path: Path):
    """Writes a case (or bytes) beside the others; returns its path as typed."""

    def written(name: str, case: Case | bytes) -> str:
        path = tmp_path / name
        path.write_bytes(case if isinstance(case, bytes) else encode(case))
        return str(path)

    return written


def run(*arguments: str, **options: object) -> subprocess.CompletedProcess[str]:
    """The program in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "fixplan", *arguments],
        **({"capture_output": True, "text": True, "check": False} | options),  # type: ignore[call-overload]
    )


def test_a_case_without_open_stop_ends_with_0(write, capsys) -> None:
    path = write("a.json", CLEAR)
    assert cli.main(["check", path]) == 0
    told = capsys.readouterr()
    assert told.out.startswith(f"{path}: ")
    assert told.err == ""


def test_an_open_stop_ends_with_1_and_is_told_first(write, capsys) -> None:
    assert cli.main(["check", write("a.json", STOPPED)]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert " stop" in lines[0]
    assert lines[1].startswith("  stop: Pin 1 ")
    assert lines[1].endswith("[rule.pin.fracture]")


def test_an_unreadable_case_ends_with_2_in_one_line(write, capsys) -> None:
    path = write("a.json", b"{")
    assert cli.main(["check", path]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith(f"{path}: not sound JSON")
    assert len(told.err.splitlines()) == 1


def test_of_several_cases_the_readable_ones_are_checked(write, capsys) -> None:
    bad, stopped = write("a.json", b""), write("b.json", STOPPED)
    assert cli.main(["check", bad, stopped, write("c.json", CLEAR)]) == 2
    told = capsys.readouterr()
    assert "rule.pin.fracture" in told.out
    assert told.err.splitlines() == [f"{bad}: the file is empty; open its backup or another file"]
    assert cli.main(["check", write("c.json", CLEAR), stopped]) == 1


def test_json_of_one_case_is_an_object_with_the_fixed_fields(write, capsys) -> None:
    path = write("a.json", STOPPED)
    assert cli.main(["check", path, "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert set(told) == {"case", "findings"}
    assert told["case"] == path
    assert {tuple(one) for one in told["findings"]} == {FIELDS}
    stop = next(one for one in told["findings"] if one["rule"] == "rule.pin.fracture")
    assert (stop["severity"], stop["limit"], stop["unit"]) == ("stop", 20.0, "mm")
    assert stop["sources"][0] == "PP-01"
    assert stop["sources"][1].startswith("source.")


def test_json_of_several_cases_is_a_list_with_errors_in_their_place(write, capsys) -> None:
    bad, good = write("a.json", b"[]"), write("b.json", CLEAR)
    assert cli.main(["check", "--json", bad, good]) == 2
    told = capsys.readouterr()
    first, second = json.loads(told.out)
    assert set(first) == {"case", "error"}
    assert first["case"] == bad
    assert set(second) == {"case", "findings"}
    assert len(told.err.splitlines()) == 1


def test_a_pin_on_a_bone_that_is_not_there_ends_with_2_beside_the_findings(write, capsys) -> None:
    path = write("a.json", OFF_LIMB)
    assert cli.main(["check", path]) == 2
    told = capsys.readouterr()
    assert told.err == (
        f"{path}: pin-1 is on the bone ulna, which the leg does not have; "
        "correct the name in the file\n"
    )
    assert told.out.startswith(f"{path}: ")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["check"], "required: CASE"),
        (["check", "--colour", "x.json"], "--colour"),
        (["check", "--js", "x.json"], "--js"),
        (["sheet", "x.json"], "-o"),
        (["sheet", "x.json", "-o", "x.pdf", "--paper", "A5"], "A5"),
        (["sheet", "x.json", "-o", "x.png", "--dpi", "5"], "20 to 1200"),
        (["sheet", "x.json", "-o", "x.png", "--dpi", "many"], "20 to 1200"),
        (["schema", "x"], "invalid choice"),
        (["a.json", "b.json"], "unrecognized"),
    ],
)
def test_a_mistyped_command_is_told_in_one_line(arguments, words, capsys) -> None:
    with pytest.raises(SystemExit) as ended:
        cli.main(arguments)
    told = capsys.readouterr()
    assert ended.value.code == 2
    assert words in told.err
    assert len(told.err.splitlines()) == 1


@pytest.mark.parametrize("out", ["x", "x.doc", "x.pdf.gz"])
def test_a_sheet_of_another_kind_is_refused_before_anything_is_read(out, capsys) -> None:
    assert cli.main(["sheet", "missing.json", "-o", out]) == 2
    assert ".pdf, .svg or .png" in capsys.readouterr().err


def test_a_sheet_of_an_unreadable_case_is_refused(write, tmp_path: Path, capsys) -> None:
    out = tmp_path / "out.pdf"
    assert cli.main(["sheet", write("a.json", b"{"), "-o", str(out)]) == 2
    assert cli.main(["sheet", write("b.json", OFF_LIMB), "-o", str(out)]) == 2
    assert len(capsys.readouterr().err.splitlines()) == 2
    assert not out.exists()


def test_only_the_blocks_named_are_written(write, tmp_path: Path, capsys) -> None:
    few, many = tmp_path / "few.png", tmp_path / "many.png"
    case = write("a.json", CLEAR)
    assert cli.main(["sheet", case, "-o", str(few), "--blocks", "order, kit"]) == 0
    assert cli.main(["sheet", case, "-o", str(many)]) == 0
    assert few.exists()
    assert (tmp_path / "many-2.png").exists()
    capsys.readouterr()
    assert cli.main(["sheet", case, "-o", str(few), "--blocks", "kitt"]) == 2
    assert capsys.readouterr().err.startswith("kitt: is no block of the sheet; the blocks are ")


def test_version_and_help(capsys) -> None:
    with pytest.raises(SystemExit) as ended:
        cli.main(["--version"])
    assert ended.value.code == 0
    assert capsys.readouterr().out == f"fixplan {__version__}\n"
    with pytest.raises(SystemExit):
        cli.main(["--help"])
    told = capsys.readouterr().out
    assert all(f"fixplan {command}" in told for command in cli.COMMANDS)
    assert "not a medical device" in told


def test_schema_is_json(capsys) -> None:
    assert cli.main(["schema"]) == 0
    assert "Pin" in json.loads(capsys.readouterr().out)["$defs"]
    assert cli.main(["schema", "sitting"]) == 0
    assert json.loads(capsys.readouterr().out)["title"] == "fixplan sitting, version 1"


def test_a_first_word_that_is_a_command_is_a_command(tmp_path: Path, monkeypatch, capsys) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "schema").write_bytes(encode(CLEAR))
    assert cli.main(["schema"]) == 0
    assert "$defs" in capsys.readouterr().out


def test_without_case_and_display_one_sentence(monkeypatch, capsys) -> None:
    monkeypatch.setattr(display, "display_problem", lambda: "There is no display.")
    assert cli.main([]) == 2
    assert capsys.readouterr().err == "There is no display.\n"


def test_without_display_an_unreadable_case_is_told(write, monkeypatch, capsys) -> None:
    monkeypatch.setattr(display, "display_problem", lambda: "There is no display.")
    path = write("a.json", b"{")
    assert cli.main([path]) == 2
    told = capsys.readouterr().err.splitlines()
    assert told[0] == "There is no display."
    assert told[1].startswith(path)
    assert len(told) == 2


def test_without_display_findings_are_printed_and_the_sheet_is_written(
    write, tmp_path: Path, monkeypatch, capsys
) -> None:
    monkeypatch.setattr(display, "display_problem", lambda: "There is no display.")
    monkeypatch.chdir(tmp_path)
    path = write("plan.json", STOPPED)
    assert cli.main([path]) == 1
    told = capsys.readouterr()
    assert told.err == "There is no display.\n"
    assert "rule.pin.fracture" in told.out
    assert told.out.endswith("The sheet was written to plan-sheet.pdf.\n")
    first = (tmp_path / "plan-sheet.pdf").read_bytes()
    assert first.startswith(b"%PDF")
    for name in ("plan-sheet-2.pdf", "plan-sheet-3.pdf"):
        assert cli.main([path]) == 1
        assert name in capsys.readouterr().out
        assert (tmp_path / name).exists()
    assert (tmp_path / "plan-sheet.pdf").read_bytes() == first


def test_a_missing_drawing_library_is_told_and_findings_still_printed(
    write, tmp_path: Path, monkeypatch, capsys
) -> None:
    monkeypatch.setattr(display, "display_problem", lambda: "There is no display.")
    monkeypatch.setattr(display, "drawing_problem", lambda: "Install libegl1.")
    monkeypatch.chdir(tmp_path)
    assert cli.main([write("plan.json", STOPPED)]) == 2
    told = capsys.readouterr()
    assert told.err.splitlines()[-1] == "Install libegl1."
    assert "rule.pin.fracture" in told.out
    assert not list(tmp_path.glob("*.pdf"))


@pytest.mark.parametrize("ending", ["pdf", "svg", "png"])
def test_sheets_are_written(write, tmp_path: Path, capsys, ending: str) -> None:
    out = tmp_path / f"out.{ending}"
    assert cli.main(["sheet", write("a.json", CLEAR), "-o", str(out)]) == 0
    told = [Path(line) for line in capsys.readouterr().out.splitlines()]
    assert told
    start = {"pdf": b"%PDF", "svg": b"<?xml", "png": b"\x89PNG"}[ending]
    assert all(path.read_bytes().startswith(start) for path in told)


@pytest.mark.parametrize("ending", ["txt", "md"])
def test_the_plan_in_words_is_written(write, tmp_path: Path, capsys, ending: str) -> None:
    out = tmp_path / f"notes.{ending}"
    assert cli.main(["sheet", write("a.json", CLEAR), "-o", str(out)]) == 0
    assert capsys.readouterr().out == f"{out}\n"
    assert "not a medical device" in out.read_text(encoding="utf-8").replace("\n  ", " ")


def test_a_sheet_into_a_folder_that_is_not_there_is_told(write, tmp_path: Path, capsys) -> None:
    out = tmp_path / "nowhere" / "out.pdf"
    assert cli.main(["sheet", write("a.json", CLEAR), "-o", str(out)]) == 2
    assert "does not exist" in capsys.readouterr().err


def test_a_fault_of_the_program_is_told_in_one_line(monkeypatch, capsys) -> None:
    def broken(_: list[str]) -> int:
        raise ZeroDivisionError("by\nzero")

    monkeypatch.setattr("fixplan.cli.check.check", broken)
    assert cli.main(["check", "x"]) == 2
    told = capsys.readouterr().err
    assert "fault of its own (ZeroDivisionError: by zero; test_cli.py:" in told
    assert len(told.splitlines()) == 1


def test_any_error_of_the_program_ends_with_2(monkeypatch, capsys) -> None:
    def refused(_: list[str]) -> int:
        raise EditError("no")

    monkeypatch.setattr("fixplan.cli.check.check", refused)
    assert cli.main(["check", "x"]) == 2
    assert capsys.readouterr().err == "no\n"


def test_an_interrupt_ends_without_a_word(monkeypatch, capsys) -> None:
    def interrupted(_: list[str]) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr("fixplan.cli.check.check", interrupted)
    assert cli.main(["check", "x"]) == 130
    assert capsys.readouterr().err == ""


def test_a_reader_that_stops_reading_gets_no_traceback() -> None:
    program = subprocess.Popen(
        [sys.executable, "-m", "fixplan", "schema"], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    assert program.stdout is not None
    assert program.stderr is not None
    program.stdout.close()
    told = program.stderr.read()
    program.stderr.close()
    assert program.wait() == 141
    assert told == b""


def test_a_full_disk_behind_the_output_is_told() -> None:
    with Path("/dev/full").open("w") as full:
        told = run("schema", stdout=full, stderr=subprocess.PIPE, capture_output=False)
    assert told.returncode == 2
    assert told.stderr == (
        "The answer cannot be written (No space left on device); send it elsewhere\n"
    )


def test_output_that_the_terminal_cannot_show_is_escaped(write) -> None:
    bars = Bar(
        id="bar-1",
        number=1,
        anchors=(PinAnchor(pin="pin-1", out_mm=9.0), PinAnchor(pin="pin-2", out_mm=9.0)),
    )
    case = Case(side="left", pins=(pin(1, 60.0), pin(2, 90.0)), bars=(bars,), last_number=2)
    told = run("check", write("übung.json", case), env={**os.environ, "PYTHONIOENCODING": "ascii"})
    assert told.returncode in (0, 1)
    assert "\\xfcbung.json" in told.stdout
    assert "Traceback" not in told.stderr


def framed(*bars: Bar) -> Case:
    pins = tuple(pin(n, level) for n, level in enumerate((70.0, 120.0, 240.0, 310.0), 1))
    return Case(side="right", fractures=(FRACTURE,), pins=pins, bars=bars, last_number=4)


def bar(number: int, first: int, second: int, *also: int) -> Bar:
    anchors = tuple(PinAnchor(pin=f"pin-{one}", out_mm=35.0) for one in (first, second))
    carried = tuple(f"pin-{one}" for one in also)
    return Bar(id=f"bar-{number}", number=number, anchors=anchors, also=carried)


def test_hold_prints_stiffness_and_the_caution(write, capsys):
    assert cli.main(["hold", write("case.json", framed(bar(1, 1, 4, 2, 3)))]) == 0
    printed = capsys.readouterr().out
    assert "Tibia fracture:" in printed
    assert "N·m/°" in printed
    assert "Comparison aid." in printed


def test_hold_as_json_names_its_units(write, capsys):
    assert cli.main(["hold", write("case.json", framed(bar(1, 1, 4, 2, 3))), "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    (gap,) = told["gaps"]
    assert gap["axial_n_per_mm"]["low"] < gap["axial_n_per_mm"]["middle"]
    assert {"torsion_nm_per_deg", "front_back_nm_per_deg", "side_nm_per_deg"} <= gap.keys()


def test_hold_of_a_loose_frame_ends_with_one_and_names_what_is_loose(write, capsys):
    assert cli.main(["hold", write("case.json", framed(bar(1, 1, 2), bar(2, 3, 4)))]) == 1
    assert "free to move" in capsys.readouterr().out


def test_hold_without_a_frame_says_so(write, capsys):
    assert cli.main(["hold", write("case.json", CLEAR)]) == 0
    assert "No frame is drawn" in capsys.readouterr().out


def test_hold_of_an_unreadable_case_ends_with_two(write, capsys):
    assert cli.main(["hold", write("case.json", b"{")]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert len(captured.err.splitlines()) == 1
