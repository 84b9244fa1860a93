import math

import pytest

from fixplan.errors import GeometryError
from fixplan.geometry.paths import pin_path


def test_a_lateral_pin_is_skin_near_far_and_tip_in_a_row(limb, make_pin):
    path = pin_path(limb, make_pin())
    found = path.skin_mm, path.near_mm, path.far_mm, path.tip_end_mm
    assert found == pytest.approx((45, 12, -12, -14))
    assert path.depth_from_skin_mm == pytest.approx(45 + 12 + 2)
    assert path.soft_tissue_mm == pytest.approx(33)
    assert path.bone_mm == pytest.approx(24)
    assert path.skin_point_mm == pytest.approx([45, 0, 100])
    assert path.tip_mm == pytest.approx([-14, 0, 100])


@pytest.mark.parametrize(
    ("bearing", "skin"), [(0, (45, 0)), (90, (0, 45)), (180, (-45, 0)), (270, (0, -45))]
)
def test_bearings_run_lateral_anterior_medial_posterior(limb, make_pin, bearing, skin):
    path = pin_path(limb, make_pin(bearing_deg=bearing))
    assert path.skin_point_mm == pytest.approx([*skin, 100], abs=1e-6)


def test_offset_moves_the_aim_across_the_bearing(limb, make_pin):
    path = pin_path(limb, make_pin(offset_mm=9))
    assert path.aim_mm == pytest.approx([0, 9, 100])
    half = math.sqrt(12**2 - 9**2)
    assert (path.near_mm, path.far_mm) == pytest.approx((half, -half), abs=1e-3)


def test_positive_tilt_has_the_outer_end_proximal(limb, make_pin):
    path = pin_path(limb, make_pin(tilt_deg=30))
    assert path.level_at_skin_mm == pytest.approx(100 - 45 * math.tan(math.radians(30)))
    assert path.skin_mm == pytest.approx(45 / math.cos(math.radians(30)))
    assert path.bone_mm == pytest.approx(24 / math.cos(math.radians(30)))
    assert path.tip_mm[2] > 100


def test_tilt_in_a_cone_meets_the_surface_at_its_own_level(round_limb, make_pin):
    cone = round_limb(bone=lambda level: 10 + 0.1 * level, skin=lambda level: 40 + 0.2 * level)
    path = pin_path(cone, make_pin(tilt_deg=20))
    for at, radius in (
        (path.near_mm, 10 + 0.1 * path.level_at(path.near_mm)),
        (path.far_mm, 10 + 0.1 * path.level_at(path.far_mm)),
        (path.skin_mm, 40 + 0.2 * path.level_at(path.skin_mm)),
    ):
        assert abs(path.point(at)[0]) == pytest.approx(radius, abs=1e-5)


def test_a_hair_of_tilt_changes_hardly_anything(limb, make_pin):
    flat, hair = (pin_path(limb, make_pin(tilt_deg=t, offset_mm=3)) for t in (0.0, 0.02))
    assert hair.near_mm == pytest.approx(flat.near_mm, abs=1e-4)
    assert hair.skin_mm == pytest.approx(flat.skin_mm, abs=1e-4)


def test_a_pin_past_the_bone_is_an_answer(limb, make_pin):
    path = pin_path(limb, make_pin(offset_mm=20))
    assert not path.hits_bone
    assert path.bone_mm == 0
    assert path.one_cortex_fraction is None
    assert path.skin_known
    assert not path.is_bicortical


@pytest.mark.parametrize("tilt", [0, 15])
def test_a_pin_beyond_the_end_of_the_bone_is_an_answer(limb, make_pin, tilt):
    path = pin_path(limb, make_pin(level_mm=430, tilt_deg=tilt))
    assert (path.hits_bone, path.known, path.skin_known) == (False, False, False)
    assert path.depth_from_skin_mm == pytest.approx(2)


def test_a_guessed_section_is_told(limb, make_pin):
    assert not pin_path(limb, make_pin(level_mm=15)).known
    assert pin_path(limb, make_pin(level_mm=25)).known
    assert not pin_path(limb, make_pin(level_mm=22, tilt_deg=30)).known


def test_an_unknown_bone_is_refused_by_name(limb, make_pin):
    with pytest.raises(GeometryError, match='no bone "humerus"'):
        pin_path(limb, make_pin(bone="humerus"))


def test_a_through_pin_runs_from_skin_to_skin(limb, make_pin):
    path = pin_path(limb, make_pin(kind="through", bearing_deg=180))
    assert [p[0] for p in path.punctures_mm] == pytest.approx([-45, 45])
    assert path.depth_from_skin_mm == pytest.approx(90)
    assert path.solid.length_mm == pytest.approx(90 + 50)
    assert path.in_limb_mm == pytest.approx((25, 115))


def test_a_central_pin_has_a_quarter_of_its_way_in_each_cortex(limb, make_pin):
    path = pin_path(limb, make_pin())
    assert path.in_canal
    assert path.canal_mm == pytest.approx((5, -5))
    assert path.one_cortex_fraction == pytest.approx(7 / 24)


def test_a_pin_beside_the_canal_runs_in_one_cortex(limb, make_pin):
    path = pin_path(limb, make_pin(offset_mm=8))
    assert not path.in_canal
    assert path.one_cortex_fraction == 1


def test_a_pin_that_ends_in_the_near_cortex_is_not_in_the_canal(limb, make_pin):
    path = pin_path(limb, make_pin(tip_mm=-18))
    assert not path.in_canal
    assert path.one_cortex_fraction == 1
    assert not path.is_bicortical


def test_without_a_known_canal_the_cortex_is_not_judged(round_limb, make_pin):
    path = pin_path(round_limb(canal=lambda _: None), make_pin())
    assert not path.canal_known
    assert path.one_cortex_fraction is None


def test_a_tip_at_the_far_surface_is_bicortical(limb, make_pin):
    assert pin_path(limb, make_pin(tip_mm=0)).is_bicortical
    assert not pin_path(limb, make_pin(tip_mm=-0.5)).is_bicortical


def test_the_same_pin_gives_the_same_path(limb, make_pin):
    assert pin_path(limb, make_pin()) is pin_path(limb, make_pin())


def test_without_a_drawn_skin_a_pin_counts_well_beyond_its_bone(round_limb, make_pin):
    bare = round_limb(skin=lambda _: None)
    path = pin_path(bare, make_pin())
    assert not path.skin_known
    assert path.solid.length_mm == pytest.approx(24 + 2 + 150)
    assert path.in_limb_mm == (0, path.solid.length_mm)
