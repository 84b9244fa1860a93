"""Typed times against the C library's own reading of the system's zone data (`date`).

Every quarter of an hour round the changes of the clocks in zones of both hemispheres, with shifts
of half an hour, and round midnight.
"""

import shutil
import subprocess
from datetime import UTC, datetime, timedelta

import pytest

from fixplan.errors import TripsError
from fixplan.trips.moments import moment_typed, utc_of, zone_named

CHANGES = [
    ("Europe/London", "2026-03-29 00:00"),
    ("Europe/London", "2026-10-25 00:00"),
    ("America/New_York", "2026-03-08 01:00"),
    ("America/New_York", "2026-11-01 00:00"),
    ("Australia/Lord_Howe", "2026-04-05 01:00"),
    ("Australia/Lord_Howe", "2026-10-04 01:00"),
    ("Asia/Kathmandu", "2026-06-01 23:00"),
    ("Pacific/Chatham", "2026-09-27 02:00"),
    ("UTC", "2026-12-31 23:00"),
]
DATE = shutil.which("date")


def told_by_the_system(seconds: list[int], zone: str) -> list[str]:
    """Times since 1970 as the C library writes them in a zone."""
    assert DATE is not None
    given = "\n".join(f"@{second}" for second in seconds)
    ran = subprocess.run(
        [DATE, "-f", "-", "+%Y-%m-%d %H:%M %:z"],
        input=given,
        env={"TZ": zone, "LC_ALL": "C"},
        capture_output=True,
        text=True,
        check=True,
    )
    return ran.stdout.splitlines()


@pytest.mark.skipif(DATE is None, reason="no date command to compare with")
@pytest.mark.parametrize(("zone", "first"), CHANGES)
def test_every_moment_is_read_back_from_what_the_system_writes(zone: str, first: str) -> None:
    start = datetime.fromisoformat(first).replace(tzinfo=zone_named(zone)).astimezone(UTC)
    moments = [start + timedelta(minutes=15 * step) for step in range(-8, 24)]
    told = told_by_the_system([int(one.timestamp()) for one in moments], zone)
    plain = [text.rsplit(" ", 1)[0] for text in told]
    assert [utc_of(moment_typed(text, zone)) for text in told] == moments
    for text, moment in zip(plain, moments, strict=True):
        if plain.count(text) > 1:
            with pytest.raises(TripsError, match="comes twice"):
                moment_typed(text, zone)
        else:
            assert utc_of(moment_typed(text, zone)) == moment


@pytest.mark.skipif(DATE is None, reason="no date command to compare with")
def test_hours_that_the_system_never_writes_are_refused() -> None:
    told = told_by_the_system(
        [int(datetime(2026, 3, 29, 0, 0, tzinfo=UTC).timestamp()) + 60 * k for k in range(180)],
        "Europe/London",
    )
    assert not any(text.startswith("2026-03-29 01:") for text in told)
    for minute in range(0, 60, 15):
        with pytest.raises(TripsError, match="does not come"):
            moment_typed(f"2026-03-29 01:{minute:02d}", "Europe/London")
