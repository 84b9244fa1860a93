"""Things of a case by id and by the owner that the sheet draws them under."""

import pytest

from fixplan.case.records import Candidate, Case, Fracture, Pin, Wound
from fixplan.desk.subjects import ids_of, subject_of_owner, thing_of, title_of

PIN = Pin(id="pin-12", number=12, bone="tibia", level_mm=100, bearing_deg=120, diameter_mm=5)
CASE = Case(
    side="right",
    pins=(PIN,),
    fractures=(Fracture(id="fracture-1", bone="tibia", from_mm=1, to_mm=9),),
)
IDS = frozenset({"pin-1", "pin-12", "bar-1", "later-1"})


@pytest.mark.parametrize(
    ("owner", "subject"),
    [
        ("pin-1", "pin-1"),
        ("pin-12:label", "pin-12"),
        ("clamp:bar-1/pin-12", "bar-1"),
        ("clamp:bar-9/pin-12", None),
        ("later-1/0", "later-1"),
        ("limb", None),
        ("table:pins", None),
        ("pin-2", None),
    ],
)
def test_owner_to_thing(owner, subject):
    assert subject_of_owner(owner, IDS) == subject


def test_things_are_found_by_id():
    assert thing_of(CASE, "pin-12") is PIN
    assert thing_of(CASE, "pin-1") is None
    assert thing_of(CASE, None) is None
    assert ids_of(CASE) == {"pin-12", "fracture-1"}


def test_titles():
    assert title_of(PIN) == "Pin 12"
    wound = Wound(id="wound-2", kind="fasciotomy line", segment="leg", view="front")
    assert title_of(wound) == "Fasciotomy line 2"
    assert title_of(Candidate(id="later-1", kind="nail")) == "Later fixation 1"
    assert title_of(Candidate(id="later-1", kind="nail", label="nail")) == "nail"
