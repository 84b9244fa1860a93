"""Pictures in the case: added, changed, taken away; what is wrong is refused in words."""

import pytest

from fixplan.case.edits import remove, renumber_from_proximal
from fixplan.case.film_records import PinOnFilm
from fixplan.errors import EditError
from fixplan.film.edits import change_film, click_pin, measure_bone, next_film_id, remove_film


def click(case, film: str = "film-front") -> PinOnFilm:
    return PinOnFilm(pin=case.pins[0].id, film=film, entry=(1.0, 2.0), tip=(3.0, 4.0))


def test_a_film_goes_with_its_clicks(planned) -> None:
    found = remove_film(click_pin(planned, click(planned)), "film-front")
    assert [film.id for film in found.films] == ["film-side"]
    assert found.pins_on_films == ()


def test_a_second_click_replaces_the_first(planned) -> None:
    again = PinOnFilm(pin=planned.pins[0].id, film="film-front", entry=(9.0, 9.0), tip=(3.0, 4.0))
    found = click_pin(click_pin(planned, click(planned)), again)
    assert found.pins_on_films == (again,)


def test_a_removed_pin_leaves_no_click_behind(planned) -> None:
    found = remove(click_pin(planned, click(planned)), planned.pins[0].id)
    assert found.pins_on_films == ()


def test_clicks_follow_a_renumbered_pin(planned) -> None:
    found = renumber_from_proximal(click_pin(planned, click(planned)))
    assert found.pins_on_films[0].pin in {pin.id for pin in found.pins}


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"placing": (1.0, 2.0, 0.0, 2.0, 4.0, 0.0)}, "flattens"),
        ({"level_mm": 20.0}, "level"),
        ({"file": "../elsewhere.png"}, "outside the case's folder"),
    ],
)
def test_what_makes_no_sense_is_refused(planned, fields, words) -> None:
    with pytest.raises(EditError, match=words):
        change_film(planned, "film-front", **fields)


def test_a_click_on_no_film_or_with_no_length_is_refused(planned) -> None:
    with pytest.raises(EditError, match="which is not in the case"):
        click_pin(planned, click(planned, "film-9"))
    with pytest.raises(EditError, match="at one point"):
        click_pin(
            planned,
            PinOnFilm(pin=planned.pins[0].id, film="film-front", entry=(1, 1), tip=(1, 1)),
        )


def test_a_bone_measured_on_a_film_wins_and_keeps_its_other_measure(planned) -> None:
    case = measure_bone(planned, "tibia", length_mm=371.0)
    case = measure_bone(case, "tibia", width_mm=24.0)
    (size,) = [one for one in case.size.bones if one.bone == "tibia"]
    assert (size.length_mm, size.width_mm) == (371.0, 24.0)


def test_ids_are_new(planned) -> None:
    assert next_film_id(planned) == "film-1"
    with pytest.raises(EditError, match="film-7 is not in the case"):
        remove_film(planned, "film-7")


def test_what_is_drawn_follows_a_measured_bone(planned) -> None:
    """D11: levels scale with the bone's length; a canal moves nothing."""
    longer = measure_bone(planned, "tibia", length_mm=430.0)
    tibial = [one for one in planned.pins if one.bone == "tibia"]
    grown = [one for one in longer.pins if one.bone == "tibia"]
    assert all(
        after.level_mm > before.level_mm for before, after in zip(tibial, grown, strict=True)
    )
    assert measure_bone(planned, "tibia", canal_mm=12.0).pins == planned.pins


def test_a_canal_as_wide_as_the_bone_is_refused(planned) -> None:
    with pytest.raises(EditError, match="as wide as the bone; measure it again"):
        measure_bone(planned, "tibia", canal_mm=80.0)
