"""The pin-site log: the last look at each pin that is in, and what it means for conversion.

An infected site asks for frame off, splint and waiting before an implant goes in (common practice;
site trouble is usual, PP-35). A site that was never looked at is said to be so.
"""

from collections.abc import Iterator

from fixplan.case.records import Case, Pin
from fixplan.case.trip_records import PinSite
from fixplan.checks.texts import pins_words


def last_looks(case: Case) -> dict[str, PinSite]:
    """The latest entry of each pin that is in the case; of one day the last that was written."""
    pins = {pin.id for pin in case.pins}
    found: dict[str, PinSite] = {}
    for site in case.course.pin_sites:
        earlier = found.get(site.pin)
        if site.pin in pins and (earlier is None or site.day >= earlier.day):
            found[site.pin] = site
    return found


def pins_in_state(case: Case, state: str) -> tuple[Pin, ...]:
    """The pins whose last look was of this state."""
    looks = last_looks(case)
    return tuple(pin for pin in case.pins if pin.id in looks and looks[pin.id].state == state)


def is_conversion_held(case: Case) -> bool:
    """Whether an infected site holds conversion to an implant back."""
    return bool(pins_in_state(case, "infected"))


def pin_site_lines(case: Case) -> Iterator[str]:
    """What the log says for conversion and for cleaning, a sentence each."""
    if not case.pins:
        return
    infected, wet = pins_in_state(case, "infected"), pins_in_state(case, "wet")
    if infected:
        yield (
            f"{pins_words(infected)} infected: before conversion take the frame off, splint, and "
            "wait until the sites are calm (common practice, no source; PP-35)."
        )
    if wet:
        yield f"{pins_words(wet)} wet: clean more often (SF-12)."
    looked = last_looks(case)
    unseen = tuple(pin for pin in case.pins if pin.id not in looked)
    if unseen and case.course.pin_sites:
        yield f"{pins_words(unseen)}: no entry in the pin-site log."
