"""Open growth plates as drawn: across their bones, at the middle of the levels that rules give."""

import pytest

from fixplan.case.limbs import pose_of_case
from fixplan.case.records import Case, LimbSize
from fixplan.checks.growing import growth_plates
from fixplan.sheet.box import Box
from fixplan.sheet.growth_picture import OWNER, PAST_MM, draw_growth_plates
from fixplan.sheet.pages import compose
from fixplan.sheet.scene import view_scene
from fixplan.sheet.view_plan import drawn_of, plan_in


def child(**more: object) -> Case:
    return Case(side="right", size=LimbSize(stature_mm=1200.0), **more)


def test_plates_are_drawn_and_in_the_legend_only_where_the_case_says_that_they_are_open() -> None:
    shut, opened = (
        compose(child(open_growth_plates=one), (), "A4", printed_at="")[0].groups
        for one in (False, True)
    )
    assert OWNER not in shut
    assert opened[OWNER]
    assert any("growth plate" in getattr(one, "text", "") for one in opened["legend"])


@pytest.mark.parametrize("bone", ["femur", "tibia"])
def test_a_line_crosses_its_bone_at_the_middle_of_the_plate(bone: str) -> None:
    case = child(open_growth_plates=True)
    frame = plan_in(drawn_of(case, (), {}), Box(10.0, 10.0, 180.0, 180.0), ()).frames[0]
    scene = view_scene(pose_of_case(case), frame)
    lines = draw_growth_plates(scene)
    for plate in (one for one in growth_plates(scene.limb) if one.bone == bone):
        middle = 0.5 * sum(plate.levels_mm)
        outline = scene.limb.outline(bone, "front")
        wide = outline[:, 0].max() - outline[:, 0].min() + 2 * PAST_MM
        segment = scene.limb.bones[bone].segment
        (level,) = {round(y, 6) for _, y in scene.drawn(segment, [(0.0, middle)])}
        at = [one.points for one in lines if abs(one.points[0][1] - level) < 1e-3]
        assert at, plate
        assert all(abs(a[0] - b[0]) <= wide * frame.scale for a, b in at)
