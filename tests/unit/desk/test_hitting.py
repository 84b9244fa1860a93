"""What a click on the drawing meets."""

import numpy as np
import pytest

from fixplan.case.records import Case, Fracture
from fixplan.desk.drawn import DrawnSheet
from fixplan.sheet.pages import compose


def clicked(case, view, bone):
    """The sheet, and the place in the middle of a bone as it is drawn."""
    drawn = DrawnSheet(case, compose(case, (), "A3"))
    frame, segment = drawn.view_frame(view), drawn.limb.bones[bone].segment
    middle = np.mean(drawn.limb.outline(bone, view), axis=0)
    (at,) = drawn.at_in(frame, segment, [middle])
    return drawn, drawn.place(at, 1.0)


@pytest.mark.parametrize(
    ("limb", "view", "bone"),
    [
        ("leg", "side", "talus"),
        ("leg", "side", "tibia"),
        ("arm", "front", "proximal-phalanx-2"),
        ("arm", "front", "metacarpal-5"),
        ("arm", "side", "radius"),
    ],
)
def test_a_bone_that_carries_pins_is_met_where_it_is_drawn(limb, view, bone):
    drawn, place = clicked(Case(limb=limb, side="right"), view, bone)
    assert drawn.bone_at(place) == bone
    assert place.segment == drawn.limb.bones[bone].segment
    assert drawn.unpinned_at(place) is None


def test_of_metacarpals_behind_each_other_the_broken_one_is_meant():
    whole = Case(limb="arm", side="left")
    level = DrawnSheet(whole, compose(whole, (), "A3")).limb.bones["metacarpal-3"].from_mm
    fracture = Fracture(id="fracture-1", bone="metacarpal-3", from_mm=level + 20, to_mm=level + 25)
    broken = Case(limb="arm", side="left", fractures=(fracture,))
    for case, bone in ((whole, "metacarpal-2"), (broken, "metacarpal-3")):
        drawn, place = clicked(case, "side", "metacarpal-3")
        assert drawn.bone_at(place) == bone


def test_a_bone_without_sections_is_named():
    drawn, place = clicked(Case(side="right"), "side", "patella")
    assert drawn.bone_at(place) is None
    assert drawn.unpinned_at(place) == "patella"
