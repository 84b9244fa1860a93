"""Findings that say the same of several pins, told once."""

from msgspec.structs import replace

from fixplan.checks.finding import Finding
from fixplan.checks.grouping import grouped


def found(number: int, said: str = ": feel both tables", **fields) -> Finding:
    one = Finding(
        rule="rule.pin.some",
        severity="note",
        subjects=(f"pin-{number}",),
        subject=f"Pin {number}",
        message=f"Pin {number}{said}",
    )
    return replace(one, **fields)


def test_the_same_words_of_several_pins_are_said_once() -> None:
    (one,) = grouped([found(4), found(1), found(2), found(3)])
    assert one.message == "Pins 1 to 4: feel both tables"
    assert one.subject == "Pins 1 to 4"
    assert one.subjects == ("pin-4", "pin-1", "pin-2", "pin-3")


def test_a_sentence_with_the_pin_as_its_subject_is_told_of_each() -> None:
    (one,) = grouped([found(1, " is 6.5 mm thick"), found(2, " is 6.5 mm thick")])
    assert one.message == "Pins 1 and 2: each is 6.5 mm thick"


def test_what_differs_stays_apart_and_in_order() -> None:
    several = [
        found(1, " is 6 mm thick"),
        found(2, " is 5 mm thick"),
        found(3, " is 6 mm thick", accepted="thin bone"),
        found(4, " is 6 mm thick", severity="caution"),
        found(5, " is 6 mm thick", subjects=("pin-5", "bar-1")),
        found(6, " is 6 mm thick", advice="slide it 3 mm distally"),
    ]
    assert grouped(several) == tuple(several)


def test_what_does_not_begin_with_its_pin_stays_as_it_is() -> None:
    several = [found(n, message="The femoral fragment is held by one pin") for n in (1, 2)]
    frame = [found(n, subject="Frame", message="A front frame does not hold") for n in (1, 2)]
    assert grouped([*several, *frame]) == (*several, *frame)


def test_a_finding_of_one_pin_never_takes_in_one_of_pin_ten() -> None:
    several = [found(1, "0 to pin 2"), found(10, " to pin 2")]
    assert grouped(several) == tuple(several)


def test_only_asked_severities_are_told_together() -> None:
    pair = [found(1, severity="caution"), found(2, severity="caution")]
    assert grouped(pair, ("note", "not assessed")) == tuple(pair)
    assert len(grouped(pair)) == 1
