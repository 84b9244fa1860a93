"""The head of the sheet warns of pins that nobody looked at nerves and vessels for."""

from msgspec.structs import replace

from fixplan.case.records import Case
from fixplan.notes.plain import as_text
from fixplan.notes.section import Told
from fixplan.sheet.box import Box
from fixplan.sheet.header import header_shapes, warning_lines
from fixplan.sheet.shapes import Polygon, Text


def moved(case: Case, numbers: set[int], level_mm: float) -> Case:
    pins = (
        replace(pin, level_mm=level_mm + pin.number) if pin.number in numbers else pin
        for pin in case.pins
    )
    return replace(case, pins=tuple(pins))


def test_nothing_is_warned_of_where_every_pin_is_assessed(tibia: Case):
    assert warning_lines(tibia) == ()


def _frame_height(case: Case) -> float:
    (frame,) = [
        s for s in header_shapes(case, Box(0.0, 0.0, 190.0, 17.0)) if isinstance(s, Polygon)
    ]
    return max(y for _, y in frame.points) - min(y for _, y in frame.points)


def test_the_box_is_as_high_as_its_words(tibia: Case):
    assert _frame_height(tibia) < 7.0
    assert 14.0 < _frame_height(moved(tibia, {1}, 2.0)) < 19.0


def test_the_pins_that_are_not_assessed_are_named(tibia: Case):
    case = moved(tibia, {1, 3}, 2.0)
    assert warning_lines(case) == ("NERVES AND VESSELS", "NOT ASSESSED: PINS 1 AND 3")
    shapes = header_shapes(case, Box(0.0, 0.0, 190.0, 17.0))
    said = [shape.text for shape in shapes if isinstance(shape, Text)]
    assert "NOT ASSESSED: PINS 1 AND 3" in said
    words = as_text(Told(case=case, findings=()))
    assert "NERVES AND VESSELS NOT ASSESSED: PINS 1 AND 3" in words


def test_a_pin_beside_the_first_known_section_is_told_as_assessed_in_part(tibia: Case):
    one = moved(tibia, {1}, 14.0)
    assert warning_lines(one) == ("NERVES AND VESSELS", "ASSESSED IN PART: PIN 1")
    both = moved(one, {3}, 2.0)
    assert warning_lines(both) == ("NERVES AND VESSELS", "NOT ASSESSED: PIN 3, IN PART 1")


def test_too_many_pins_to_name_are_counted(tibia: Case):
    pin = tibia.pins[0]
    pins = [
        replace(pin, id=f"pin-{n}", number=n, level_mm=3.0 + n / 20) for n in range(101, 131, 3)
    ]
    case = replace(tibia, pins=tuple(pins), bars=(), last_number=131)
    assert warning_lines(case) == ("NERVES AND VESSELS", "NOT ASSESSED: 10 PINS")
