"""The clocks against the numbers of the guidelines themselves.

NICE, Fractures (complex): assessment and management, NG37 (2016), 1.2.30 to 1.2.34: debridement
immediately when highly contaminated, within 12 h of injury for high-energy Gustilo-Anderson IIIA or
IIIB, within 24 h for all others; definitive cover within 72 h of injury.
British Orthopaedic Association, BOAST open fractures (2017): antibiotics ideally within 1 h of
injury.
American College of Surgeons, TQIP (2015), as reported by You and Schneider, OTA Int 2020:
antibiotic within 60 min of arrival, debridement within 24 h, cover within 7 days.
Costa et al., JAMA 2018;319:2280: usual second look 48 to 72 h.
BOAST compartment syndrome (2014), as summarised: release within 1 h of the decision, look again at
about 48 h.
EAST 2011: antibiotic stopped 72 h after injury or within 24 h of cover.
J Orthop Surg Res 2021 (s13018-021-02814-7): infection steps at 28 days; 14 days is habit.
Paulius, Orthopedics 2008;31:450: beads exchanged every two weeks; 4 and 6 weeks are habit.
Qiu, BMC Musculoskelet Disord 2017;18:256 and a citation text: spacer 6 to 8 weeks.
"""

import pytest

from fixplan.trips.clock_book import clock_book

DAY_H = 24.0

PUBLISHED = {
    "antibiotic-british": ("injury", None, 1.0, None),
    "antibiotic-american": ("arrival", None, 1.0, None),
    "debride-at-once": ("injury", None, 0.0, None),
    "debride-12": ("injury", None, 12.0, None),
    "debride-24": ("injury", None, 24.0, None),
    "debride-american": ("injury", None, 24.0, None),
    "cover-british": ("injury", None, 72.0, 7 * DAY_H),
    "cover-american": ("injury", None, 7 * DAY_H, None),
    "second-look": ("debridement", 48.0, 72.0, None),
    "release": ("decision", None, 1.0, None),
    "release-look": ("fasciotomy", None, 48.0, None),
    "flow": ("injury", None, 4.0, 6.0),
    "antibiotic-stop": ("injury", None, 72.0, None),
    "antibiotic-stop-cover": ("cover", None, 24.0, None),
    "pouch": ("beads in", 48.0, 72.0, None),
    "beads": ("beads in", 14 * DAY_H, 28 * DAY_H, 42 * DAY_H),
    "spacer": ("spacer in", 42 * DAY_H, 56 * DAY_H, None),
    "conversion-frame": ("frame", None, 14 * DAY_H, 28 * DAY_H),
    "conversion-closure": ("cover", None, 28 * DAY_H, None),
}


@pytest.mark.parametrize("name", PUBLISHED)
def test_a_clock_holds_the_published_number(name: str) -> None:
    clock = next(one for one in clock_book().clock if one.id == name)
    assert (clock.starts, clock.early_h, clock.due_h, clock.outer_h) == PUBLISHED[name]


def test_no_clock_is_without_a_published_number() -> None:
    assert {clock.id for clock in clock_book().clock} == set(PUBLISHED)
