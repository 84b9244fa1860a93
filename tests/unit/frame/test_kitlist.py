"""Parts counted from the frame as drawn."""

from fixplan.frame.kitlist import kit_list
from tests.unit.frame.conftest import bar_on, case_with, tibia_pin
from tests.unit.frame.test_starting import PILON, TIBIA, laid


def counted(case) -> dict[str, int]:
    totals: dict[str, int] = {}
    for part in kit_list(case):
        totals[part.kind] = totals.get(part.kind, 0) + part.count
    return totals


def test_every_pin_bar_and_clamp_is_counted_once() -> None:
    case = laid("per-fragment", TIBIA).case
    assert counted(case) == {"pin": 4, "bar": 3, "clamp": 6}
    assert counted(laid("ankle-delta", PILON).case) == {"pin": 3, "bar": 3, "clamp": 6}


def test_words_are_as_asked_for_over_the_table() -> None:
    case = case_with(tibia_pin(1, 100), tibia_pin(2, 180), bars=(bar_on(1, "pin-1", "pin-2"),))
    words = [part.words.replace("\u00d7", "x") for part in kit_list(case)]
    assert words == [
        "2 x half-pin 5 mm, 100 mm",
        "1 x carbon bar 11 mm, 150 mm",
        "2 x pin-to-bar clamp",
    ]


def test_what_is_not_stocked_says_what_is_needed() -> None:
    case = case_with(
        tibia_pin(1, 100), tibia_pin(2, 180), bars=(bar_on(1, "pin-1", "pin-2", 260.0),)
    )
    pins = [part for part in kit_list(case) if part.kind == "pin"]
    assert not any(part.stocked for part in pins)
    assert all("none stocked" in part.name for part in pins)


def test_a_typed_length_outside_the_stock_is_marked() -> None:
    case = case_with(tibia_pin(1, 100, length_mm=133.0))
    (part,) = kit_list(case)
    assert not part.stocked
    assert part.name == "half-pin 5 mm, 133 mm"


def test_a_bar_that_is_not_laid_is_left_out() -> None:
    case = case_with(tibia_pin(1, 100), bars=(bar_on(1, "pin-1", "pin-9"),))
    assert counted(case) == {"pin": 1}
