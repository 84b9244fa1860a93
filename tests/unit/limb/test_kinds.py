"""Which limbs there are, and how their segments hang together."""

import numpy as np
import pytest
import shapely

from fixplan.errors import LibraryError
from fixplan.limb import kinds
from fixplan.limb.anatomy import View
from fixplan.limb.kinds import limb_kind, limb_kinds
from fixplan.limb.pose import pose_of
from fixplan.limb.scale import limb_of
from fixplan.limb.silhouettes import skin_rings

ARM, PELVIS, LEG = limb_of("arm"), limb_of("pelvis"), limb_of("leg")
VIEWS: tuple[View, ...] = ("front", "side")


def point(*xyz: float) -> np.ndarray:
    return np.array((xyz,))


def test_the_limbs_and_their_segments() -> None:
    assert limb_kinds() == ("leg", "arm", "pelvis")
    assert list(LEG.segments) == ["thigh", "leg", "hindfoot", "forefoot"]
    assert list(ARM.segments) == ["upper-arm", "forearm", "hand"]
    assert list(PELVIS.segments) == ["hemipelvis-right", "hemipelvis-left"]
    assert [joint.id for joint in limb_kind("arm").bending] == ["elbow", "wrist"]
    assert limb_kind("pelvis").has_both_sides
    assert not limb_kind("arm").has_both_sides
    assert limb_kind("pelvis").standing("left") == "hemipelvis-left"
    assert limb_kind("pelvis").standing("both") == "hemipelvis-right"


def test_an_unknown_kind_is_told() -> None:
    with pytest.raises(LibraryError, match=r"'tail'.*'leg', 'arm', 'pelvis'"):
        limb_of("tail")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('{"x": 3}', r"limbs\.json: Expected `object`"),
        (
            '{"x": {"title": "x", "sides": ["right"], "stands": "b", "landmarks": "",'
            ' "segments": [{"name": "a"}]}}',
            "there is no segment 'b'",
        ),
        (
            '{"x": {"title": "x", "sides": ["right"], "stands": "a", "landmarks": "",'
            ' "segments": [{"name": "a", "hangs_on": "b"}]}}',
            "a hangs on 'b', which does not come before it",
        ),
    ],
)
def test_a_wrong_list_of_limbs_is_told(
    text: str, told: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(kinds, "read_bytes", lambda _: text.encode())
    kinds._kinds.cache_clear()
    with pytest.raises(LibraryError, match=told):
        limb_kind("x")
    monkeypatch.undo()
    kinds._kinds.cache_clear()
    assert limb_kind("leg").title == "leg"


def test_the_straight_arm_by_hand() -> None:
    pose = pose_of(ARM, "upper-arm")
    assert pose.to_limb("forearm", point(0, 0, 0))[0] == pytest.approx((13.5, 8.5, 331))
    assert pose.to_limb("hand", point(0, 0, 0))[0] == pytest.approx((19.5, 6.5, 614))


def test_a_bent_elbow_by_hand() -> None:
    """The axis lies 8.5 before the shaft at 321.5: at 90 degrees the forearm points forward."""
    pose = pose_of(ARM, "upper-arm", 90.0)
    head = pose.to_limb("forearm", point(0, 0, 0))[0]
    assert head == pytest.approx((13.5, 8.5 + 9.5, 321.5))
    styloid = pose.to_limb("forearm", point(0, 0, 252))[0]
    assert styloid == pytest.approx((13.5, 18 + 252, 321.5))
    palm = pose.to_limb("forearm", point(0, 30, 100))[0]
    assert palm[2] < 321.5 - 29


def test_an_extended_wrist_goes_backward() -> None:
    straight, bent = pose_of(ARM, "forearm"), pose_of(ARM, "forearm", 0.0, 30.0)
    tip = point(9, 0, 68)
    assert bent.to_limb("hand", tip)[0, 1] < straight.to_limb("hand", tip)[0, 1] - 30
    assert bent.bends_deg == (0.0, 30.0)


def test_angles_left_out_are_straight() -> None:
    assert pose_of(ARM, "forearm").bends_deg == (0.0, 0.0)
    assert pose_of(PELVIS, "hemipelvis-left").bends_deg == ()


@pytest.mark.parametrize("fixed", ["hemipelvis-right", "hemipelvis-left"])
def test_the_hemipelves_are_mirrored_onto_each_other(fixed: str) -> None:
    pose = pose_of(PELVIS, fixed)
    other = next(name for name in PELVIS.segments if name != fixed)
    spine = point(121, 48, 84)
    assert pose.to_limb(fixed, spine)[0] == pytest.approx((121, 48, 84))
    assert pose.to_limb(other, spine)[0] == pytest.approx((-121, 48, 84))
    assert pose.from_limb(other, pose.to_limb(other, spine)) == pytest.approx(spine)
    assert pose.to_view(other, "front", spine)[0] == pytest.approx((-121, 84))
    assert pose.drawn_of(other, "front", np.array(((-121.0, 84),)))[0] == pytest.approx((121, 84))
    assert pose.segment_at("front", np.array((-121.0, 84))) == other
    assert pose.to_view(other, "side", spine)[0] == pytest.approx((48, 84))


def test_the_forefoot_points_forward_and_down() -> None:
    pose = pose_of(LEG, "leg", 0.0)
    base, head = (pose.to_limb("forefoot", point(0, 0, level))[0] for level in (0, 62))
    assert head[1] - base[1] == pytest.approx(62 * np.cos(np.radians(17.8)), abs=0.1)
    assert head[2] - base[2] == pytest.approx(62 * np.sin(np.radians(17.8)), abs=0.1)
    dorsal = pose.to_limb("forefoot", point(0, 10, 30))[0] - pose.to_limb(
        "forefoot", point(0, 0, 30)
    )
    assert dorsal[0, 2] < -9
    seen = pose.to_view("forefoot", "front", point(0, 0, 62))[0]
    heel = pose.to_view("hindfoot", "front", point(0, 73.5, 28))[0]
    assert seen[1] - heel[1] == pytest.approx(62)


@pytest.mark.parametrize("kind", ["leg", "arm", "pelvis"])
@pytest.mark.parametrize("bend", [0.0, 20.0, 90.0])
def test_the_skin_of_a_posed_limb_is_one_piece(kind: str, bend: float) -> None:
    limb = limb_of(kind)
    if kind == "leg" and bend > 30:
        pytest.skip("a knee is not drawn bent so far")
    pose = pose_of(limb, limb_kind(kind).stands, *(bend for _ in limb_kind(kind).bending[:1]))
    for view in VIEWS:
        rings = [shapely.Polygon(ring).buffer(0) for ring in skin_rings(pose, view)]
        whole = shapely.union_all(rings)
        apart = shapely.get_num_geometries(whole)
        assert apart == (2 if kind == "leg" and view == "front" else 1), view


def test_landmarks_of_both_sides_bear_their_side() -> None:
    right, left = PELVIS.landmark("asis_right"), PELVIS.landmark("asis_left")
    assert right.name == "right anterior superior iliac spine"
    assert (right.x_mm, right.y_mm, right.level_mm) == (left.x_mm, left.y_mm, left.level_mm)
    assert left.segment == "hemipelvis-left"
    assert PELVIS.landmark("promontory").name == "promontory of the sacrum"


@pytest.mark.parametrize(
    ("kind", "mark_id", "bone"),
    [
        ("arm", "humeral_lateral_epicondyle", "humerus"),
        ("arm", "humeral_medial_epicondyle", "humerus"),
        ("arm", "radial_head_top", "radius"),
        ("arm", "radial_styloid_tip", "radius"),
        ("arm", "olecranon_tip", "ulna"),
        ("arm", "ulnar_head", "ulna"),
        ("arm", "ulnar_styloid_tip", "ulna"),
        ("arm", "second_metacarpal_head", "metacarpal-2"),
        ("arm", "third_metacarpal_head", "metacarpal-3"),
        ("arm", "fifth_metacarpal_head", "metacarpal-5"),
        ("leg", "first_metatarsal_head", "metatarsal-1"),
        ("leg", "fifth_metatarsal_base", "metatarsal-5"),
        ("pelvis", "asis_right", "ilium-right"),
        ("pelvis", "iliac_crest_top_left", "ilium-left"),
        ("pelvis", "pubic_tubercle_right", "ilium-right"),
        ("pelvis", "psis_left", "ilium-left"),
    ],
)
def test_landmarks_lie_on_their_bones(kind: str, mark_id: str, bone: str) -> None:
    limb = limb_of(kind)
    mark = limb.landmark(mark_id)
    assert mark.palpable
    for view, u in (("front", mark.x_mm), ("side", mark.y_mm)):
        ring = shapely.Polygon(limb.outline(bone, "front" if view == "front" else "side"))
        assert ring.distance(shapely.Point(u, mark.level_mm)) < 3.0, view


def test_every_spread_names_a_track_and_a_landmark_of_its_segment() -> None:
    for kind in limb_kinds():
        limb = limb_of(kind)
        for segment in limb.references.values():
            tracks = {h.track for level in segment.authored.levels for h in level.hazards}
            for spread in segment.authored.spreads:
                assert spread.track in tracks, spread
                assert spread.source
                told = (spread.mean, spread.sd, spread.least, spread.most)
                assert any(one is not None for one in told), spread
                if spread.measure in ("level", "share"):
                    assert limb.landmark(spread.landmark).segment == segment.name
                    assert (spread.mean or 0) <= (spread.most or 1e9)


def test_the_segments_own_words_for_its_sides() -> None:
    assert LEG.segments["thigh"].sides == ("lateral", "anterior", "medial", "posterior")
    assert LEG.segments["forefoot"].sides == ("lateral", "dorsal", "medial", "plantar")
    assert ARM.segments["forearm"].sides == ("radial", "palmar", "ulnar", "dorsal")
