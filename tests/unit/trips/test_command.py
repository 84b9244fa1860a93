"""`fixplan trips` on the shipped cases."""

import json
from pathlib import Path

import pytest

from fixplan.cli import main

ROOT = Path(__file__).parents[3]
TIBIA = str(ROOT / "sample_cases" / "open-tibial-shaft.json")
PILON = str(ROOT / "sample_cases" / "pilon-delta.json")


def test_lines_are_the_same_for_the_same_time(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["trips", TIBIA, "--now", "2026-03-29 20:00"]) == 0
    told = capsys.readouterr()
    assert "Definitive cover: due Tue 31 Mar 2026 22:40 BST; 50 h 40 min left" in told.out
    assert "from plan" in told.out
    assert told.err == ""


def test_json_holds_the_clocks(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["trips", TIBIA, "--json", "--now", "2026-04-01 08:00"]) == 1
    told = json.loads(capsys.readouterr().out)
    cover = next(one for one in told["clocks"] if one["clock"] == "cover-british")
    assert (cover["due"], cover["state"]) == ("2026-03-31T21:40Z", "late")
    assert cover["late_by_h"] == pytest.approx(9.33)
    assert cover["sources"][:2] == ["OF-14", "OF-15"]
    assert [trip["trip"] for trip in told["trips"]] == ["trip-1", "trip-2"]


def test_what_cannot_be_right_ends_with_2(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["trips", PILON, "--now", "2026-01-01 08:00"]) == 2
    told = capsys.readouterr()
    assert "The injury lies in the future" in told.err
    assert "Trip 3" in told.out


@pytest.mark.parametrize("text", ["soon", "2026-10-25 01:30"])
def test_a_time_that_is_none_is_refused(text: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["trips", PILON, "--now", text]) == 2
    assert len(capsys.readouterr().err.splitlines()) == 1
