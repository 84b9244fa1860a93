"""The ward page tells what is late and what is due next."""

from pathlib import Path

import pytest

from fixplan.checks.run import open_case
from fixplan.trips.moments import moment_typed, utc_of
from fixplan.trips.ward import ward_sections

CASE = open_case(Path(__file__).parents[3] / "sample_cases" / "open-tibial-shaft.json").case


@pytest.mark.parametrize(
    ("when", "words"),
    [
        ("2026-03-30 22:40", "When printed: Definitive cover: due Tue 31 Mar 2026 22:40 BST, 24 h"),
        ("2026-03-31 23:40", "When printed: Definitive cover: late by 1 h"),
    ],
)
def test_time_left_and_late_by_stand_under_the_next_trip(when, words):
    sections = ward_sections(CASE, utc_of(moment_typed(when, "Europe/London")))
    lines = next(one.lines for one in sections if one.id == "next")
    assert lines[1].startswith(words)
