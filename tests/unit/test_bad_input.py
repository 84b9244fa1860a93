"""Files that hold no sound case: `check` tells each in one sentence and ends with 2.

The list is the same for every way of opening a file: `checks.run.open_case` is the one door.
"""

import json

import msgspec
import pytest

from fixplan import cli
from fixplan.case.file import encode
from fixplan.case.records import Bar, Case, Injury, Pin, PinAnchor

BOW_TIE = ((0.0, 0.0), (40.0, 40.0), (40.0, 0.0), (0.0, 40.0))


def _pin(number: int, bone: str = "tibia") -> Pin:
    level = 60.0 + 40 * number
    return Pin(
        id=f"pin-{number}",
        number=number,
        bone=bone,
        level_mm=level,
        bearing_deg=110.0,
        diameter_mm=5.0,
    )


_ANCHORS = PinAnchor(pin="pin-1", out_mm=30.0), PinAnchor(pin="pin-2", out_mm=30.0)
CASE = Case(
    side="right",
    pins=(_pin(1), _pin(2)),
    bars=(Bar(id="bar-1", number=1, anchors=_ANCHORS),),
    last_number=2,
)
SOUND = encode(CASE)


def _document(**changes: object) -> bytes:
    """The sound file with fields of its case replaced."""
    document = json.loads(SOUND)
    document["case"].update(changes)
    return json.dumps(document).encode()


def _with_version(version: int) -> bytes:
    return json.dumps(json.loads(SOUND) | {"version": version}).encode()


def _one_anchor() -> bytes:
    bar = json.loads(SOUND)["case"]["bars"][0]
    return _document(bars=[bar | {"anchors": bar["anchors"][:1]}])


PIN = msgspec.to_builtins(_pin(1))
CROSSED = msgspec.to_builtins(Injury(id="injury-1", segment="leg", front=BOW_TIE))
BAD = {
    "empty": b"",
    "truncated": SOUND[: len(SOUND) // 2],
    "no JSON": b"a letter, not a case",
    "20,000 deep": b"[" * 20_000 + b"]" * 20_000,
    "wrong type": _document(pins=[PIN | {"level_mm": "high"}]),
    "unknown field": _document(colour="blue"),
    "duplicate key": SOUND.replace(b'"side"', b'"side": "left", "side"', 1),
    "newer version": _with_version(99),
    "not a number": SOUND.replace(b"110", b"NaN", 1),
    "outline that crosses itself": _document(injuries=[CROSSED]),
    "bar with one anchor": _one_anchor(),
    "10,000 pins": _document(pins=[PIN] * 10_000),
}


@pytest.mark.parametrize("what", BAD)
def test_a_file_that_holds_no_sound_case_is_told_in_one_sentence(what, tmp_path, capsys):
    path = tmp_path / "case.json"
    path.write_bytes(BAD[what])
    assert cli.main(["check", str(path)]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    (line,) = told.err.splitlines()
    assert line.startswith(f"{path}: ")
    assert "Traceback" not in line
    assert len(line) > len(f"{path}: ") + 10
    assert path.read_bytes() == BAD[what]


def test_a_bone_that_the_limb_has_not_is_told_beside_the_findings_for_the_rest(tmp_path, capsys):
    path = tmp_path / "case.json"
    path.write_bytes(encode(msgspec.structs.replace(CASE, pins=(_pin(1), _pin(2, "ulna")))))
    assert cli.main(["check", str(path)]) == 2
    told = capsys.readouterr()
    assert "pin-2 is on the bone ulna" in told.err
    assert "rule.unknown-id" in told.out


def test_the_sound_file_itself_is_read(tmp_path, capsys):
    path = tmp_path / "case.json"
    path.write_bytes(SOUND)
    assert cli.main(["check", str(path)]) in (0, 1)
    assert capsys.readouterr().err == ""


def test_a_file_that_is_not_there_is_told(tmp_path, capsys):
    path = tmp_path / "none.json"
    assert cli.main(["check", str(path)]) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith(f"{path}")
