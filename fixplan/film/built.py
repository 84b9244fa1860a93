"""The frame as it was built: each pin by two clicks on a film, against the plan.

A film tells a pin in its own plane only: the front view x and level, the side view y and level.
From one view the tilt follows for a pin that lies in its plane, and the bearing stays as planned;
from both views the bearing follows too. Distances are in the straight frame of the pin's segment.
"""

from math import atan2, cos, degrees, hypot, radians, sin
from typing import NamedTuple

import msgspec
import numpy as np
import numpy.typing as npt
from msgspec.structs import replace

from fixplan.case.film_records import Film, PinOnFilm
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Pin
from fixplan.checks.run import check
from fixplan.film.edits import film_of
from fixplan.film.scaling import matrix_of
from fixplan.geometry.paths import PinPath, pin_path
from fixplan.limb.anatomy import Limb
from fixplan.limb.authored import LevelWays
from fixplan.limb.words import ways_of_bone

Array = npt.NDArray[np.float64]
MIRROR = {"front": -1, "side": 1, "section": -1}
"""Direction of u on paper for a right limb (D2); a left one is the other way round."""
SHORT_MM = 5.0


class Seen(NamedTuple):
    """A pin on one film: the ends in (u, level), and how far they may be out (mm, None unknown)."""

    view: str
    entry: tuple[float, float]
    tip: tuple[float, float]
    error_mm: float | None


class Offset(msgspec.Struct, frozen=True):
    """How a built pin differs from the plan in one view.

    `entry_mm` and `tip_mm` are distances in the view, `distal_mm` how far the entry is more distal,
    `across_mm` how far it is more lateral (front) or anterior (side), `turn_deg` the angle between
    the axes, `error_mm` the error of the picture's fit over the pin's length, None when it is not
    known. `missing` says why there are no distances; empty where there are. `places` are its
    segment's words for proximal and distal.
    """

    pin: str
    number: int
    film: str
    view: str
    entry_mm: float | None
    tip_mm: float | None
    distal_mm: float | None
    across_mm: float | None
    turn_deg: float
    error_mm: float | None
    missing: str = ""
    places: tuple[str, str] = LevelWays().places


def on_limb(film: Film, case: Case, point: tuple[float, float]) -> tuple[float, float]:
    """The (u, level) in the film's segment that a pixel lies on; in the section (x, y)."""
    w, z = matrix_of(film) @ np.array((*point, 1.0))
    turn = MIRROR[film.view] * (-1 if case.side == "left" else 1)
    return float(turn * w), float(-z if film.view == "section" else z)


def offsets(case: Case) -> tuple[Offset, ...]:
    """Every pin that was clicked on a film, against the plan, in the order of numbers."""
    limb = limb_of_case(case)
    pins = {pin.id: pin for pin in case.pins}
    found = [_offset(case, limb, pins[one.pin], one) for one in case.pins_on_films]
    return tuple(sorted((one for one in found if one), key=lambda one: (one.number, one.view)))


def _offset(case: Case, limb: Limb, pin: Pin, clicked: PinOnFilm) -> Offset | None:
    film = film_of(case, clicked.film)
    path = pin_path(limb, pin)
    if not _is_in_plane(limb, film, path):
        return None
    seen = _seen(case, film, clicked)
    entry, tip = (_in_view(film.view, point) for point in (path.skin_point_mm, path.tip_mm))
    missing = _missing(film)
    scaled = not missing
    return Offset(
        pin=pin.id,
        number=pin.number,
        film=film.id,
        view=film.view,
        entry_mm=_gap(seen.entry, entry) if scaled else None,
        tip_mm=_gap(seen.tip, tip) if scaled else None,
        distal_mm=seen.entry[1] - entry[1] if scaled else None,
        across_mm=seen.entry[0] - entry[0] if scaled else None,
        turn_deg=_angle(seen.entry, seen.tip, entry, tip),
        error_mm=seen.error_mm,
        missing=missing,
        places=ways_of_bone(limb, pin.bone).places,
    )


def _missing(film: Film) -> str:
    """Why a film tells no places on the limb; empty where it does."""
    if film.scale is None:
        return "the film has no scale"
    if not film.is_matched:
        return "the film is not matched to the limb; match two landmarks first"
    return ""


def built_case(case: Case) -> Case:
    """The case with every clicked pin where the films show it; the others as planned.

    Films without a scale, or not matched to the limb, tell no place, and change nothing.
    """
    limb = limb_of_case(case)
    made = tuple(_built(case, limb, pin) for pin in case.pins)
    return replace(case, pins=made)


def _built(case: Case, limb: Limb, pin: Pin) -> Pin:
    path = pin_path(limb, pin)
    views: dict[str, Seen] = {}
    for clicked in case.pins_on_films:
        film = film_of(case, clicked.film)
        if clicked.pin == pin.id and not _missing(film) and _is_in_plane(limb, film, path):
            views[film.view] = _seen(case, film, clicked)
    if not views:
        return pin
    bearing = _bearing(pin, views)
    tilt = _tilt(pin, bearing, views)
    moved = replace(pin, bearing_deg=bearing % 360.0, tilt_deg=tilt)
    return replace(moved, level_mm=_level(limb, moved, views))


def _bearing(pin: Pin, views: dict[str, Seen]) -> float:
    """The bearing that two views tell together; as planned from one."""
    if set(views) != {"front", "side"}:
        return pin.bearing_deg
    x = views["front"].entry[0] - views["front"].tip[0]
    y = views["side"].entry[0] - views["side"].tip[0]
    return pin.bearing_deg if hypot(x, y) < SHORT_MM else degrees(atan2(y, x))


def _tilt(pin: Pin, bearing: float, views: dict[str, Seen]) -> float:
    """The tilt from the view in which the pin shows longest; as planned where it shows as a dot."""
    told: list[tuple[float, float]] = []
    for seen in views.values():
        across, down = seen.entry[0] - seen.tip[0], seen.entry[1] - seen.tip[1]
        share = cos(radians(bearing)) if seen.view == "front" else sin(radians(bearing))
        if abs(across) >= SHORT_MM and abs(share) > 1e-6:
            told.append((abs(across), degrees(atan2(-down * abs(share), abs(across)))))
    return max(told)[1] if told else pin.tilt_deg


def _level(limb: Limb, pin: Pin, views: dict[str, Seen]) -> float:
    """The level at which the seen axis passes the bone's target, mean of the views."""
    aim = pin_path(limb, pin).aim_mm
    found = []
    for seen in views.values():
        u = float(aim[0] if seen.view == "front" else aim[1])
        across, down = seen.tip[0] - seen.entry[0], seen.tip[1] - seen.entry[1]
        if abs(across) >= SHORT_MM:
            found.append(seen.entry[1] + (u - seen.entry[0]) / across * down)
        else:
            found.append((seen.entry[1] + seen.tip[1]) / 2)
    return sum(found) / len(found)


def _is_in_plane(limb: Limb, film: Film, path: PinPath) -> bool:
    """Whether the film shows levels of the pin's own segment."""
    if film.segment != path.segment or film.view == "section":
        return False
    return film.view == "side" or limb.segments[film.segment].front_shows == "level"


def _seen(case: Case, film: Film, clicked: PinOnFilm) -> Seen:
    entry, tip = (on_limb(film, case, point) for point in (clicked.entry, clicked.tip))
    share = None if film.scale is None else film.scale.error_percent
    return Seen(film.view, entry, tip, None if share is None else share / 100 * _gap(entry, tip))


def _in_view(view: str, point: Array) -> tuple[float, float]:
    return float(point[0] if view == "front" else point[1]), float(point[2])


def _gap(one: tuple[float, float], other: tuple[float, float]) -> float:
    return hypot(one[0] - other[0], one[1] - other[1])


def _angle(
    a: tuple[float, float], b: tuple[float, float], c: tuple[float, float], d: tuple[float, float]
) -> float:
    """The angle between two axes in a view, 0 to 90 degrees."""
    one = atan2(b[1] - a[1], b[0] - a[0])
    other = atan2(d[1] - c[1], d[0] - c[0])
    turn = abs(degrees(one - other)) % 180.0
    return min(turn, 180.0 - turn)


def built_words(case: Case) -> tuple[str, ...]:
    """Every clicked pin against the plan, and which pins were not clicked; empty without any."""
    found = offsets(case)
    if not found:
        return ()
    left = sorted({pin.number for pin in case.pins} - {one.number for one in found})
    told = f"Not clicked, taken as planned: pins {', '.join(map(str, left))}"
    return (*map(words, found), *((told,) if left else ()))


def found_as_built(case: Case) -> tuple[str, ...]:
    """Stops and cautions of the frame with its pins where the films show them."""
    told = [one for one in check(built_case(case)) if one.severity in ("stop", "caution")]
    lines = tuple(f"{one.severity}: {one.message}" for one in told)
    return lines or ("No stop or caution was found in what could be checked.",)


def words(offset: Offset) -> str:
    """One built pin against the plan, in one line."""
    if offset.entry_mm is None or offset.tip_mm is None or offset.distal_mm is None:
        return (
            f"Pin {offset.number}, {offset.view} film: axis {offset.turn_deg:.0f}° from the plan; "
            f"distances not assessed: {offset.missing}"
        )
    way = offset.places[offset.distal_mm >= 0]
    error = "error of the fit not known"
    if offset.error_mm is not None:
        error = f"error of the fit {offset.error_mm:.1f} mm"
    return (
        f"Pin {offset.number}, {offset.view} film: entry {offset.entry_mm:.0f} mm from the plan "
        f"({abs(offset.distal_mm):.0f} mm {way}), tip {offset.tip_mm:.0f} mm, axis "
        f"{offset.turn_deg:.0f}°; {error}"
    )
