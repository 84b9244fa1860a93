"""The plastic surgeon's lines: on the right side of the bone, and judged by the checks."""

import numpy as np
import pytest
from msgspec.structs import replace

from fixplan.case.edits import mirrored
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Fracture, LimbSize, Wound
from fixplan.checks.run import check
from fixplan.errors import EditError
from fixplan.geometry.skin_marks import mark_on_skin
from fixplan.trips.cover import listed
from fixplan.trips.plastic_lines import with_extension, with_fasciotomy_lines, with_perforators

SIZE = LimbSize(sex="male", stature_mm=1750, mass_kg=80)
CASE = Case(side="right", size=SIZE)
PATCH = ((0.0, 180.0), (30.0, 180.0), (20.0, 220.0))


def laid(case: Case, wound: Wound):  # type: ignore[no-untyped-def]
    return mark_on_skin(limb_of_case(case), wound)


def test_one_line_is_lateral_to_the_crest_and_one_behind_the_medial_border() -> None:
    lateral, medial = with_fasciotomy_lines(CASE).wounds
    limb = limb_of_case(CASE)
    for level in (150.0, 220.0, 290.0):
        outline = limb.section("tibia", level).outline  # type: ignore[union-attr]
        crest = outline[outline[:, 1].argmax()]
        border = outline[(outline[:, 0] + outline[:, 1]).argmin()]
        assert at(lateral, level) - crest[0] == pytest.approx(35, abs=2)
        assert border[1] - at(medial, level) == pytest.approx(15, abs=2)
    assert (laid(CASE, lateral)[:, 1] > 0).mean() > 0.6
    assert (laid(CASE, lateral)[:, 0] > 0).all()
    assert (laid(CASE, medial)[:, 0] < 0).all()


def at(wound: Wound, level: float) -> float:
    """Where a line passes a level, by hand."""
    for (u, low), (v, high) in zip(wound.line, wound.line[1:], strict=False):
        if low <= level <= high:
            return u + (v - u) * (level - low) / (high - low)
    raise AssertionError(level)


def test_lines_are_drawn_once_and_only_on_a_leg() -> None:
    with pytest.raises(EditError, match="drawn already"):
        with_fasciotomy_lines(with_fasciotomy_lines(CASE))
    with pytest.raises(EditError, match="No fasciotomy lines are listed for this pelvis"):
        with_fasciotomy_lines(Case(side="right", limb="pelvis"))
    with pytest.raises(EditError, match="No perforators are listed for this pelvis"):
        with_perforators(Case(side="right", limb="pelvis"))


def test_the_bridge_between_both_lines_is_measured_the_same_right_and_left() -> None:
    def bridges(case: Case) -> list[float | None]:
        return [one.measured for one in check(case) if one.rule == "rule.skin.bridge"]

    case = with_fasciotomy_lines(CASE)
    assert bridges(case) == bridges(mirrored(case))


def test_an_extension_runs_through_the_wound_both_ways() -> None:
    wound = Wound(id="wound-1", kind="opening", segment="leg", view="front", outline=PATCH)
    case = with_extension(Case(side="left", size=SIZE, wounds=(wound,)), "wound-1")
    line = case.wounds[-1].line
    each_mm = listed().extension.each_way_mm
    assert (line[0][1], line[-1][1]) == (180 - each_mm, 220 + each_mm)
    assert set(PATCH) & set(line[1:-1])
    with pytest.raises(EditError, match="no open wound to extend"):
        with_extension(CASE, "wound-1")


def test_perforators_lie_on_the_medial_side_at_their_levels() -> None:
    case = with_perforators(CASE)
    limb = limb_of_case(case)
    tip_mm = limb.landmark("medial_malleolus_tip").level_mm
    middles = [sum(v for _, v in one.outline) / len(one.outline) for one in case.wounds]
    assert [tip_mm - level for level in middles] == pytest.approx([50, 100, 150])
    assert all((laid(case, one)[:, 0] < 0).all() for one in case.wounds)
    with pytest.raises(EditError, match="marked already"):
        with_perforators(case)


def test_lines_and_marks_raise_nothing_on_a_limb_without_pins_but_bridges() -> None:
    case = with_perforators(with_fasciotomy_lines(CASE))
    told = {one.rule for one in check(case)}
    assert not told & {"rule.pin.perforator", "rule.bar.flap", "rule.pin.film"}


@pytest.mark.parametrize(
    ("limb", "bone", "from_mm", "count", "face", "evidence"),
    [
        ("leg", "femur", 240.0, 1, "near", "PL-12"),
        ("leg", "metatarsal-2", 20.0, 2, "near", "PL-13"),
        ("arm", "radius", 100.0, 2, None, "PL-14"),
        ("arm", "metacarpal-2", 20.0, 2, "far", "PL-15"),
    ],
)
def test_lines_follow_what_is_broken(limb, bone, from_mm, count, face, evidence) -> None:
    broken = Fracture(id="fracture-1", bone=bone, from_mm=from_mm, to_mm=from_mm + 10)
    case = with_fasciotomy_lines(Case(side="right", limb=limb, size=SIZE, fractures=(broken,)))
    segment = limb_of_case(case).bones[bone].segment
    assert [one.segment for one in case.wounds] == [segment] * count
    assert face is None or {one.face for one in case.wounds} == {face}
    assert {one.evidence for one in listed().line if one.segment == segment} == {(evidence,)}
    known = limb_of_case(case).segments[segment]
    for wound in case.wounds:
        levels = [level for _, level in wound.line]
        assert known.from_mm <= levels[0] < levels[-1] <= known.to_mm
        assert np.isfinite(laid(case, wound)).all()


def test_a_line_over_a_bone_lies_over_its_middle() -> None:
    broken = Fracture(id="fracture-1", bone="femur", from_mm=240, to_mm=250)
    case = with_fasciotomy_lines(replace(CASE, fractures=(broken,)))
    bone = limb_of_case(case).section("femur", 200.0).outline[:, 1]  # type: ignore[union-attr]
    middle = (bone.min() + bone.max()) / 2
    assert at(case.wounds[0], 200.0) == pytest.approx(middle, abs=3)
    assert (laid(case, case.wounds[0])[:, 0] > 0).all()  # lateral


def test_perforators_of_thigh_and_forearm() -> None:
    broken = Fracture(id="fracture-1", bone="femur", from_mm=240, to_mm=250)
    (thigh,) = with_perforators(replace(CASE, fractures=(broken,))).wounds
    limb = limb_of_case(CASE)
    middle = (limb.landmark("asis").level_mm + limb.landmark("patella_top").level_mm) / 2
    levels = [level for _, level in thigh.outline]
    assert (min(levels) + max(levels)) / 2 == pytest.approx(middle)
    assert max(levels) - min(levels) == pytest.approx(60, abs=1)
    forearm = with_perforators(Case(side="left", limb="arm", size=SIZE)).wounds
    assert [one.segment for one in forearm] == ["forearm", "forearm"]
    assert (laid(Case(side="left", limb="arm", size=SIZE), forearm[0])[:, 1] > 0).all()  # palmar
