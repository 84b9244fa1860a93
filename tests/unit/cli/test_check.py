"""`fixplan check` tells the cautions of the trips that the window and the sheet count."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from fixplan.case.dead_space_records import DeadSpace
from fixplan.case.file import encode, read_case
from fixplan.case.records import Case
from fixplan.case.trip_records import Course
from fixplan.checks.run import check as findings_of
from fixplan.cli.check import answered, check, trip_lines_of
from fixplan.trips.open_prompts import trip_cautions

SAMPLE = Path(__file__).parents[3] / "sample_cases" / "open-tibial-shaft.json"
LOST = DeadSpace(id="dead-space-1", device="beads", beads_in=60, beads_out=58)


def bare() -> Case:
    return replace(read_case(SAMPLE), trips=(), kept_plans=(), course=Course())


@pytest.mark.parametrize(
    "case",
    [
        bare(),
        replace(bare(), dead_spaces=(LOST,)),
        replace(bare(), course=read_case(SAMPLE).course),
        read_case(SAMPLE),
    ],
    ids=["none", "dead space", "course", "trips"],
)
def test_every_caution_of_the_trips_is_told(case: Case, tmp_path: Path) -> None:
    path = tmp_path / "case.json"
    path.write_bytes(encode(case))
    told = trip_lines_of(answered(str(path)))
    assert told == trip_cautions(case, findings_of(case))
    assert bool(told) or not case.dead_spaces


def test_lost_beads_are_printed_beneath_the_findings(tmp_path: Path, capsys) -> None:
    path = tmp_path / "case.json"
    path.write_bytes(encode(replace(bare(), dead_spaces=(LOST,))))
    assert check([str(path)]) == 0
    assert "of the trips: Caution" in capsys.readouterr().out
