"""Where the segments lie in the posed limb and in the two views (D1, D2)."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fixplan.errors import LibraryError
from fixplan.limb.anatomy import Landmark, View
from fixplan.limb.pose import pose_of
from fixplan.limb.scale import limb_of
from fixplan.limb.silhouettes import skin_rings

LIMB = limb_of("leg")
SEGMENTS = ("thigh", "leg", "hindfoot")
VIEWS: tuple[View, ...] = ("front", "side")
coordinates = st.tuples(st.floats(-90, 90), st.floats(-120, 210), st.floats(-20, 480))
flexions = st.sampled_from((0.0, 15.0, 22.5, 30.0))


def test_a_straight_limb_by_hand() -> None:
    pose = pose_of(LIMB, "thigh", 0.0)
    # femur 470, cartilage 4; ankle axis at 380.5, the tuberosity's top 20 below it, 1 behind
    assert pose.to_limb("leg", np.zeros((1, 3)))[0] == pytest.approx((0, 0, 474))
    assert pose.to_limb("hindfoot", np.zeros((1, 3)))[0] == pytest.approx((0, -1, 874.5))
    on_leg = pose_of(LIMB, "leg", 0.0)
    assert on_leg.to_limb("thigh", np.array(((0, 0, 470.0),)))[0] == pytest.approx((0, 0, -4))


def test_a_bent_knee_by_hand() -> None:
    # knee axis 9 behind the shaft's axis at 444: the leg's origin is (9, 30) from it
    pose = pose_of(LIMB, "thigh", 30.0)
    cos, sin = math.cos(math.radians(30)), math.sin(math.radians(30))
    origin = pose.to_limb("leg", np.zeros((1, 3)))[0]
    assert origin == pytest.approx((0, -9 + 9 * cos - 30 * sin, 444 + 9 * sin + 30 * cos))
    foot = pose.to_limb("leg", np.array(((0, 0, 385.0),)))[0]
    assert foot[1] < -150
    assert pose.to_limb("thigh", np.array(((7.0, 8, 9),)))[0] == pytest.approx((7, 8, 9))


def test_with_the_leg_fixed_the_thigh_leans_back() -> None:
    pose = pose_of(LIMB, "leg", 20.0)
    head = pose.to_limb("thigh", np.zeros((1, 3)))[0]
    assert head[1] < -120
    assert head[2] < -400
    assert pose.uv_of("leg", "side", np.array(((3.0, 4),)))[0] == pytest.approx((3, 4))


def test_views_look_from_the_front_and_from_the_lateral_side() -> None:
    pose = pose_of(LIMB, "leg", 0.0)
    fibula = LIMB.landmark("lateral_malleolus_tip")
    tubercle = LIMB.landmark("tibial_tubercle")
    expectations: tuple[tuple[Landmark, View, tuple[float, float]], ...] = (
        (fibula, "front", (27, 392)),
        (tubercle, "side", (31, 41)),
        (fibula, "side", (-10, 392)),
    )
    for mark, view, expected in expectations:
        point = np.array(((mark.x_mm, mark.y_mm, mark.level_mm),))
        assert pose.to_view("leg", view, point)[0] == pytest.approx(expected)


def test_the_front_view_is_unfolded_and_unbent() -> None:
    bent, straight = pose_of(LIMB, "leg", 30.0), pose_of(LIMB, "leg", 0.0)
    for segment in SEGMENTS:
        points = np.array(((10.0, 20, 30), (-5.0, 100, 200)))
        assert bent.to_view(segment, "front", points) == pytest.approx(
            straight.to_view(segment, "front", points)
        )
    foot = straight.to_view("hindfoot", "front", np.array(((5.0, 0, 10), (5.0, 60, 40))))
    assert foot[1] - foot[0] == pytest.approx((0, 60))
    ends = [straight.uv_of(name, "front", LIMB.skin_outline(name, "front")) for name in SEGMENTS]
    assert ends[2][:, 1].min() > ends[1][:, 1].max()
    assert ends[1][:, 1].min() == pytest.approx(ends[0][:, 1].max() + 4)


@given(coordinates, flexions, st.sampled_from(SEGMENTS), st.sampled_from(SEGMENTS))
def test_there_and_back(
    point: tuple[float, float, float], flexion: float, fixed: str, segment: str
) -> None:
    pose = pose_of(LIMB, fixed, flexion)
    solid = np.array((point,))
    assert pose.from_limb(segment, pose.to_limb(segment, solid)) == pytest.approx(solid)
    for view in VIEWS:
        flat = solid[:, 1:]
        assert pose.drawn_of(segment, view, pose.uv_of(segment, view, flat)) == pytest.approx(flat)
        axes = [1, 2] if view == "side" else [0, 1 if segment == "hindfoot" else 2]
        assert pose.to_view(segment, view, solid) == pytest.approx(
            pose.uv_of(segment, view, solid[:, axes])
        )


@given(coordinates, coordinates, flexions)
def test_the_fixed_segment_changes_only_the_frame(
    first: tuple[float, float, float], second: tuple[float, float, float], flexion: float
) -> None:
    thigh, foot = np.array((first,)), np.array((second,))
    gaps = [
        float(np.linalg.norm(pose.to_limb("thigh", thigh) - pose.to_limb("hindfoot", foot)))
        for pose in (pose_of(LIMB, fixed, flexion) for fixed in SEGMENTS)
    ]
    assert gaps == pytest.approx([gaps[0]] * 3)


@pytest.mark.parametrize("flexion", [0.0, 30.0])
@pytest.mark.parametrize("view", VIEWS)
def test_segment_at_finds_every_bone(view: View, flexion: float) -> None:
    pose = pose_of(LIMB, "leg", flexion)
    for segment, bone in (("thigh", "femur"), ("leg", "tibia"), ("hindfoot", "metatarsal-1")):
        middle = LIMB.outline(bone, view).mean(axis=0)[None]
        assert pose.segment_at(view, pose.uv_of(segment, view, middle)[0]) == segment
    assert pose.segment_at(view, np.array((300.0, -300.0))) == "thigh"


@pytest.mark.parametrize(
    ("view", "bone", "at"),
    [
        ("front", "cuneiform-1", (0.0, -12.0)),
        ("front", "cuneiform-3", (28.0, -10.0)),
        ("side", "cuneiform-1", (0.0, -12.0)),
        ("side", "talus", (32.0, 1.0)),
        ("side", "navicular", (48.0, 8.0)),
        ("side", "cuboid", (40.0, 32.0)),
        ("side", "calcaneus", (-40.0, 30.0)),
    ],
)
def test_a_bone_of_the_midfoot_is_found_where_it_is_drawn(
    view: View, bone: str, at: tuple[float, float]
) -> None:
    """The skin over the cuneiforms is drawn with the hindfoot, they belong to the forefoot."""
    pose = pose_of(LIMB, "leg", 0.0)
    segment = LIMB.bones[bone].segment
    uv = pose.uv_of(segment, view, np.array((at,)))[0]
    assert pose.segment_at(view, uv) == segment


@pytest.mark.parametrize("flexion", [0.0, 15.0, 30.0])
@pytest.mark.parametrize("view", VIEWS)
def test_the_skin_of_the_limb_has_no_gap_at_the_knee(view: View, flexion: float) -> None:
    import shapely

    rings = [
        shapely.Polygon(ring).buffer(0) for ring in skin_rings(pose_of(LIMB, "leg", flexion), view)
    ]
    whole = shapely.union_all(rings)
    assert whole.geom_type == ("Polygon" if view == "side" else "MultiPolygon")
    pieces = 1 if view == "side" else 2  # the foot seen from above stands apart
    assert len(getattr(whole, "geoms", [whole])) == pieces
    holes = [hole for piece in getattr(whole, "geoms", [whole]) for hole in piece.interiors]
    assert [hole for hole in holes if shapely.area(shapely.Polygon(hole)) > 1e-6] == []


def test_an_unknown_segment_is_told() -> None:
    with pytest.raises(LibraryError, match="forearm"):
        pose_of(LIMB, "forearm", 0.0)
    with pytest.raises(LibraryError, match="forearm"):
        pose_of(LIMB, "leg", 0.0).to_limb("forearm", np.zeros((1, 3)))
