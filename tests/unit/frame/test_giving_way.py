"""What gives way to a starting frame is told, and what it does not touch stays."""

from msgspec.structs import replace

from fixplan.case.records import Bar, Case, Fracture, LimbSize, Pin, PinAnchor
from fixplan.case.trip_records import PinSite
from fixplan.checks.run import judge_pin
from fixplan.frame.giving_way import replaced_words
from fixplan.frame.starting import lay_frame

TIBIA = Fracture(id="fracture-1", bone="tibia", from_mm=180.0, to_mm=210.0)


def pin(number, level_mm, bone="tibia"):
    return Pin(
        id=f"pin-{number}",
        number=number,
        bone=bone,
        level_mm=level_mm,
        bearing_deg=70.0,
        diameter_mm=5.0,
    )


def bar(number, first, second):
    anchors = tuple(PinAnchor(pin=f"pin-{one}", out_mm=30.0) for one in (first, second))
    return Bar(id=f"bar-{number}", number=number, anchors=anchors, diameter_mm=11.0)


def case_with(*pins, bars=()):
    return Case(
        side="right",
        size=LimbSize(stature_mm=1790, sex="male"),
        fractures=(TIBIA,),
        pins=pins,
        bars=bars,
        last_number=len(pins),
    )


def laid(case, pattern):
    return lay_frame(case, pattern, lambda *_: ())


def test_the_frame_of_the_same_fragments_is_replaced_and_told():
    first = laid(case_with(), "per-fragment")
    assert first.replaced == ""
    second = laid(first.case, "per-fragment")
    assert "pins 1, 2, 3 and 4 and bars" in second.replaced.lower()


def test_a_frame_in_place_of_another_is_numbered_from_one_again():
    """Bars, acceptances and the log name the new pins; nothing of the old ones is left."""
    first = laid(case_with(), "per-fragment")
    second = laid(first.case, "per-fragment").case
    assert [one.number for one in second.pins] == [1, 2, 3, 4]
    assert [one.id for one in second.bars] == [one.id for one in first.case.bars]
    assert second.last_number == 4
    assert second == first.case


def test_numbers_go_on_from_the_pins_that_stay():
    case = case_with(pin(1, 200.0, bone="femur"))
    first = laid(case, "per-fragment").case
    again = laid(first, "per-fragment").case
    assert [one.number for one in again.pins] == [1, 2, 3, 4, 5]


def test_numbers_of_pins_that_are_still_spoken_of_are_not_given_again():
    """The log of pin sites names pins that were taken out (D17)."""
    first = laid(case_with(), "per-fragment").case
    log = (PinSite(pin="pin-2", day="2026-03-01", state="dry"),)
    watched = replace(first, course=replace(first.course, pin_sites=log))
    second = laid(watched, "per-fragment").case
    assert min(one.number for one in second.pins) == 5
    assert second.course.pin_sites[0].pin == "removed-pin-2"


def test_a_pin_in_a_fragment_that_the_new_frame_does_not_take_stays():
    distal = Fracture(id="fracture-1", bone="femur", from_mm=330.0, to_mm=360.0)
    held = case_with(pin(1, 180.0, "femur"), pin(2, 400.0, "femur"), bars=(bar(1, 1, 2),))
    frame = lay_frame(replace(held, fractures=(distal,)), "knee-spanning", judge_pin)
    numbers = {one.number for one in frame.case.pins}
    assert 1 not in numbers
    assert 2 in numbers
    assert frame.replaced == (
        "Pin 1 and bar 1 gave way to this frame. No bar holds pin 2 any longer."
    )


def test_a_frame_of_another_bone_is_added():
    case = case_with(pin(1, 200.0, bone="femur"))
    frame = laid(case, "per-fragment")
    assert frame.case.pins[0].id == "pin-1"
    assert frame.replaced == ""
    assert replaced_words(case, case, case) == ""
