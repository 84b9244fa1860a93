"""What a section does not cut, but a pin in its plane comes too near to."""

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, LimbSize, Pin
from fixplan.checks.run import check
from fixplan.geometry.section_near import beginning_near, begins_words
from fixplan.geometry.section_structures import structures_at

CASE = Case(limb="leg", side="right", size=LimbSize(sex="male", stature_mm=1750.0))
LEVEL_MM = 37.0
"""Above the level at which the vessels of the front of the leg begin to be drawn."""


def test_what_begins_beyond_the_level_is_not_drawn_at_it_but_told() -> None:
    limb = limb_of_case(CASE)
    found = {one.structure.track: one for one in beginning_near(limb, "leg", LEVEL_MM, 8.0)}
    drawn = {one.track for one in structures_at(limb, "leg", LEVEL_MM).round}
    assert "anterior-tibial" in found
    assert not drawn & set(found)
    begins_mm = LEVEL_MM + found["anterior-tibial"].along_mm
    assert "anterior-tibial" in {
        one.track for one in structures_at(limb, "leg", begins_mm + 0.1).round
    }
    assert beginning_near(limb, "leg", LEVEL_MM, 1.0) == ()
    told = begins_words(found["anterior-tibial"], ("proximal", "distal"))
    assert told == f"begins {begins_mm - LEVEL_MM:.0f} mm distal"


def test_a_finding_tells_where_what_it_names_begins() -> None:
    pin = Pin(id="pin-1", number=1, bone="tibia", level_mm=LEVEL_MM, bearing_deg=351, diameter_mm=5)
    found = check(Case(limb="leg", side="right", size=CASE.size, pins=(pin,)))
    told = [one.message for one in found if one.rule == "rule.pin.nerve-near"]
    assert [("anterior tibial vessels" in one, "mm distal)" in one) for one in told] == [
        (True, True)
    ]
