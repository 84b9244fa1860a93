"""Times: UTC kept with the zone they were typed in, told in that zone, daylight saving right.

The system's zone data decides; without it the zone cannot be told, and one sentence says so.
"""

import functools
import re
from datetime import UTC, datetime, timedelta, tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from fixplan.case.trip_records import Moment
from fixplan.errors import TripsError

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
"""Words of our own: those of the system's language would differ from paper to paper."""

_TYPED = re.compile(
    r"(?P<day>\d{4}-\d{2}-\d{2})[ T](?P<time>\d{1,2}:\d{2})(?::00)?"
    r"\s*(?P<shift>Z|[+-]\d{2}:?\d{2})?"
)


@functools.lru_cache(maxsize=64)
def zone_named(name: str) -> tzinfo:
    """The time zone of that name in the system's zone data. Raises TripsError."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as problem:
        if not _has_zone_data():
            raise TripsError(
                f"The system has no time-zone data, so the time zone {name} cannot be told; "
                "install the system's zone data (tzdata)"
            ) from problem
        raise TripsError(
            f"The time zone {name} is not known to this system; type one such as Europe/London"
        ) from problem


def _has_zone_data() -> bool:
    try:
        ZoneInfo("Europe/London")
    except (ZoneInfoNotFoundError, OSError):
        return False
    return True


def utc_of(moment: Moment) -> datetime:
    """The moment as a time in UTC."""
    return datetime.fromisoformat(moment.utc.replace("Z", "+00:00"))


def moment_of(at: datetime, zone: str) -> Moment:
    """A time with a known shift from UTC as a moment, to the minute; seconds are cut off."""
    zone_named(zone)
    return Moment(utc=at.astimezone(UTC).strftime("%Y-%m-%dT%H:%MZ"), zone=zone)


def local_of(moment: Moment) -> datetime:
    """The moment on the clocks of its zone. Raises TripsError for an unknown zone."""
    return utc_of(moment).astimezone(zone_named(moment.zone))


def words_of(moment: Moment) -> str:
    """The moment as it is told: "Sun 29 Mar 2026 02:30 BST"."""
    return told_in(utc_of(moment), moment.zone)


def told_in(at: datetime, zone: str) -> str:
    """A time in the words of a zone."""
    local = at.astimezone(zone_named(zone))
    day = f"{DAYS[local.weekday()]} {local.day} {MONTHS[local.month - 1]} {local.year}"
    return f"{day} {local:%H:%M} {local.tzname()}"


def short_in(at: datetime, zone: str, now: datetime | None = None) -> str:
    """A time in the words of a zone: "Tue 31 Mar 22:40"; the year where it is not that of `now`."""
    local = at.astimezone(zone_named(zone))
    is_other = now is not None and now.astimezone(local.tzinfo).year != local.year
    year = f" {local.year}" if is_other else ""
    return f"{DAYS[local.weekday()]} {local.day} {MONTHS[local.month - 1]}{year} {local:%H:%M}"


def typed_of(moment: Moment) -> str:
    """The moment as it is typed: "2026-03-29 02:30", with the shift where that hour comes twice."""
    local = local_of(moment)
    text = local.strftime("%Y-%m-%d %H:%M")
    if _shift(local, 0) != _shift(local, 1):
        shift = local.strftime("%z")
        text += f" {shift[:3]}:{shift[3:]}"
    return text


def typed_words(moment: Moment | None) -> str:
    """As `typed_of`; empty without a moment, and in UTC where its zone is not known here."""
    if moment is None:
        return ""
    try:
        return typed_of(moment)
    except TripsError:
        return moment.utc


def moment_typed(text: str, zone: str) -> Moment:
    """What is typed, on the clocks of a zone, as a moment.

    "2026-10-25 01:30"; an hour that comes twice needs its shift, "2026-10-25 01:30 +01:00".
    Raises TripsError: not a time, an hour that is left out, an hour that comes twice, a zone that
    is not known.
    """
    typed = _TYPED.fullmatch(text.strip())
    clock = zone_named(zone)
    try:
        if typed is None:
            raise ValueError
        plain = datetime.fromisoformat(f"{typed['day']}T{typed['time']:0>5}")
    except ValueError as problem:
        raise TripsError(
            f"{text.strip() or 'Nothing'} is not a time; type day and hour as 2026-03-29 14:30"
        ) from problem
    if not 2000 <= plain.year <= 2099:
        raise TripsError(f"{text.strip()} lies outside the years 2000 to 2099; correct the year")
    if typed["shift"]:
        shift = typed["shift"].replace("Z", "+00:00")
        return moment_of(datetime.fromisoformat(plain.isoformat() + shift), zone)
    return moment_of(_on_clocks(plain, zone, clock), zone)


def _on_clocks(plain: datetime, zone: str, clock: tzinfo) -> datetime:
    """A time on the clocks of a zone that is there exactly once. Raises TripsError."""
    first, second = (plain.replace(tzinfo=clock, fold=fold) for fold in (0, 1))
    shifts = first.utcoffset(), second.utcoffset()
    if shifts[0] == shifts[1]:
        return first
    told = plain.strftime("%Y-%m-%d %H:%M")
    back = first.astimezone(UTC).astimezone(clock).replace(tzinfo=None)
    if back != plain:
        raise TripsError(
            f"{told} does not come in {zone}: the clocks go forward over it; type a later hour"
        )
    words = " or ".join(f"{told} {_shift_words(shift)}" for shift in shifts if shift is not None)
    raise TripsError(f"{told} comes twice in {zone}: the clocks go back; type {words}")


def _shift(local: datetime, fold: int) -> timedelta | None:
    return local.replace(fold=fold).utcoffset()


def _shift_words(shift: timedelta) -> str:
    minutes = round(shift.total_seconds() / 60)
    sign = "-" if minutes < 0 else "+"
    return f"{sign}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"


def hours_between(first: datetime, second: datetime) -> float:
    """Hours that pass from the first to the second, whatever the clocks on the wall do."""
    return (second.astimezone(UTC) - first.astimezone(UTC)) / timedelta(hours=1)


def span_words(hours: float) -> str:
    """A length of time in words, to the minute below a day: "3 h 20 min", "2 d 4 h", "14 d"."""
    minutes = round(abs(hours) * 60)
    if minutes < 60:
        return f"{minutes} min"
    if minutes < 72 * 60:
        rest = minutes % 60
        return f"{minutes // 60} h" + (f" {rest} min" if rest else "")
    whole = round(minutes / 60)
    days, rest = divmod(whole, 24)
    return f"{days} d" + (f" {rest} h" if rest else "")
