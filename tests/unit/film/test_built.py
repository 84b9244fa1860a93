"""Pins as built: two clicks on a film each, against the plan, on either side."""

import numpy as np
import pytest
from msgspec.structs import replace

from fixplan.case.film_records import PinOnFilm
from fixplan.case.limbs import limb_of_case
from fixplan.film.built import built_case, offsets, words
from fixplan.film.edits import change_film, click_pin, film_of, place_film
from fixplan.geometry.paths import pin_path
from fixplan.notes.built import film_lines
from tests.unit.film.conftest import pixel


def clicked(case, pin, view: str) -> PinOnFilm:
    """Clicks where a pin, as it truly lies, shows on the film of a view."""
    path = pin_path(limb_of_case(case), pin)
    axis = 0 if view == "front" else 1
    ends = (path.skin_point_mm, path.tip_mm)
    entry, tip = (pixel(view, case.side, float(p[axis]), float(p[2])) for p in ends)
    return PinOnFilm(pin=pin.id, film=f"film-{view}", entry=entry, tip=tip)


def tibial_pin(case):
    return next(pin for pin in case.pins if pin.bone == "tibia")


def test_a_pin_built_as_planned_has_no_offset(planned) -> None:
    pin = tibial_pin(planned)
    (found,) = offsets(click_pin(planned, clicked(planned, pin, "front")))
    assert found.entry_mm == pytest.approx(0.0, abs=1e-9)
    assert found.tip_mm == pytest.approx(0.0, abs=1e-9)
    assert found.turn_deg == pytest.approx(0.0, abs=1e-9)


def test_a_pin_8_mm_more_distal_is_told_so(planned) -> None:
    pin = tibial_pin(planned)
    as_built = replace(pin, level_mm=pin.level_mm + 8.0)
    case = click_pin(planned, clicked(planned, as_built, "side"))
    (found,) = offsets(case)
    assert found.distal_mm == pytest.approx(8.0, abs=0.5)
    assert found.error_mm is not None
    assert found.error_mm > 0
    assert "8 mm distal" in words(found)


def test_both_films_give_level_tilt_and_bearing_back(planned) -> None:
    pin = tibial_pin(planned)
    truth = replace(pin, level_mm=pin.level_mm - 6.0, tilt_deg=7.0, bearing_deg=140.0)
    case = click_pin(planned, clicked(planned, truth, "front"))
    case = click_pin(case, clicked(case, truth, "side"))
    found = next(one for one in built_case(case).pins if one.id == pin.id)
    assert found.bearing_deg == pytest.approx(140.0, abs=0.01)
    assert found.tilt_deg == pytest.approx(7.0, abs=0.01)
    assert found.level_mm == pytest.approx(truth.level_mm, abs=0.05)


def test_one_film_leaves_the_bearing_as_planned(planned) -> None:
    pin = replace(tibial_pin(planned), bearing_deg=150.0)
    planned = replace(planned, pins=tuple(pin if p.id == pin.id else p for p in planned.pins))
    truth = replace(pin, tilt_deg=-9.0)
    found = built_case(click_pin(planned, clicked(planned, truth, "front")))
    made = next(one for one in found.pins if one.id == pin.id)
    assert made.bearing_deg == 150.0
    assert made.tilt_deg == pytest.approx(-9.0, abs=0.01)


def test_a_film_without_scale_gives_no_millimetres_and_moves_nothing(planned) -> None:
    pin = tibial_pin(planned)
    truth = replace(pin, level_mm=pin.level_mm + 20.0)
    case = change_film(planned, "film-front", scale=None)
    case = click_pin(case, clicked(case, truth, "front"))
    (found,) = offsets(case)
    assert found.entry_mm is None
    assert "not assessed" in words(found)
    assert built_case(case).pins == case.pins


def test_a_film_that_was_not_matched_tells_no_places(planned) -> None:
    """Scaled by a ball alone it lies where it fell; so does one that was moved since."""
    pin = tibial_pin(planned)
    truth = replace(pin, level_mm=pin.level_mm + 20.0)
    case = place_film(planned, "film-front", film_of(planned, "film-front").placing)
    case = click_pin(case, clicked(case, truth, "front"))
    (found,) = offsets(case)
    assert found.entry_mm is None
    assert "not matched to the limb" in words(found)
    assert built_case(case).pins == case.pins


def test_pins_that_were_not_clicked_stay_as_planned(planned) -> None:
    pin = tibial_pin(planned)
    truth = replace(pin, level_mm=pin.level_mm + 5.0)
    found = built_case(click_pin(planned, clicked(planned, truth, "side")))
    others = [one for one in found.pins if one.id != pin.id]
    assert others == [one for one in planned.pins if one.id != pin.id]
    assert np.isclose(
        next(one for one in found.pins if one.id == pin.id).level_mm, truth.level_mm, atol=0.05
    )


def test_the_case_notes_tell_the_frame_as_the_films_show_it(planned) -> None:
    pin = tibial_pin(planned)
    truth = replace(pin, level_mm=pin.level_mm + 9.0)
    told = "\n".join(film_lines(click_pin(planned, clicked(planned, truth, "side"))))
    assert f"Pin {pin.number}, side film: entry" in told
    assert "Not clicked, taken as planned" in told
    assert "As built, " in told
    assert not tuple(film_lines(planned))
