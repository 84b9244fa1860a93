"""How hazards run between authored levels, and how they are carried with a limb's size."""

import math

import msgspec
import numpy as np
import pytest
import shapely

from fixplan.errors import GeometryError
from fixplan.geometry.hazard_courses import courses, distances
from fixplan.geometry.hazard_tracks import (
    FARTHEST_APART_MM,
    authored_levels_mm,
    stretches_between,
)
from fixplan.geometry.hazards import PinPlane, discs_at, obstacles_at
from fixplan.limb.authored import AuthoredLevel, BoneSection, Canal, Hazard
from fixplan.limb.blend import LevelBlend
from fixplan.limb.scale import limb_of


def ring(radius, count=72):
    turn = np.arange(count) * 2 * math.pi / count
    return tuple(
        zip((radius * np.cos(turn)).tolist(), (radius * np.sin(turn)).tolist(), strict=True)
    )


def hazard(
    bearing_deg=0.0,
    distance=20.0,
    track="nerve",
    radius=2.0,
    grade="critical",
    turn="",
    name="nerve",
):
    turned = math.radians(bearing_deg)
    at = (distance * math.cos(turned), distance * math.sin(turned))
    return Hazard(name, track, "nerve", grade, "medium", at, radius, turn=turn)


def level(z, *hazards, radius=10.0):
    bone = BoneSection("bone", (0.0, 0.0), 3.0, ring(radius), Canal("medullary"))
    return AuthoredLevel(
        f"level-{z}", z, "", "medium", "schematic", 300.0, ring(50.0), (bone,), hazards, ()
    )


def blend(first, second):
    return LevelBlend(first, second, "bone")


@pytest.fixture(scope="module")
def limb():
    return limb_of("leg")


def looked_up(tracks, level_mm):
    """Points (x, y) and radii where each stretch meets a level."""
    share = (level_mm - tracks.start[:, 2]) / (tracks.end[:, 2] - tracks.start[:, 2])
    points = tracks.start + share[:, None] * (tracks.end - tracks.start)
    return points[:, :2], tracks.radius + share * (tracks.radius_end - tracks.radius)


def test_one_structure_goes_the_short_way_with_linear_gap_and_radius():
    above, below = hazard(350, 20, radius=2), hazard(30, 30, radius=4, grade="minor", name="branch")
    (course,) = courses(blend(level(0.2, above), level(0.4, below, radius=16.0)))
    assert np.degrees(course.bearing) == pytest.approx((350, 390))
    assert course.gap_mm == pytest.approx((8, 10), abs=0.05)
    assert course.radius_mm == (2, 4)
    assert course.grade == "critical"
    assert (course.name_at(0.4), course.name_at(0.6)) == ("nerve", "branch")


@pytest.mark.parametrize(
    ("turn", "expected"), [("", -40), ("clockwise", -40), ("counter-clockwise", 320)]
)
def test_a_stated_turn_wins_over_the_short_way(turn, expected):
    (course,) = courses(blend(level(0.2, hazard(60, turn=turn)), level(0.4, hazard(20))))
    assert math.degrees(course.bearing[1] - course.bearing[0]) == pytest.approx(expected)


def test_what_one_level_knows_holds_to_the_middle():
    above = hazard(10, track="upper", grade="tether")
    (first, second) = courses(blend(level(0.2, above), level(0.4, hazard(50, track="lower"))))
    assert (first.track, first.from_share, first.to_share) == ("upper", 0.0, 0.5)
    assert (second.track, second.from_share, second.to_share) == ("lower", 0.5, 1.0)
    assert first.bearing[0] == first.bearing[1]


def test_a_track_doubled_at_a_level_keeps_both():
    pair = hazard(10), hazard(100)
    found = courses(blend(level(0.2, hazard(15)), level(0.4, *pair)))
    assert len(found) == 2
    joined, held = found
    assert math.degrees(joined.bearing[1]) == pytest.approx(10)
    assert (held.from_share, held.to_share) == (0.5, 1.0)


def test_a_hazard_in_bone_is_refused():
    with pytest.raises(GeometryError, match="inside the bone"):
        courses(blend(level(0.2, hazard(0, 9.0)), level(0.4, hazard(0))))


def test_distances_keep_the_gap_all_round_a_corner():
    """Past a corner the farthest crossing is with the disc about it: checked with shapely."""
    square = ((12.0, -4.0), (12.0, 4.0), (-9.0, 6.0), (-9.0, -6.0))
    one = msgspec.structs.replace(
        level(0.2), bones=(BoneSection("bone", (0, 0), 3, square, Canal("medullary")),)
    )
    two = level(0.4, radius=14.0)
    both = blend(one, two)
    shares, bearings = np.array([0.0, 0.35, 1.0]), np.radians(np.arange(0, 360, 7.0))
    off = np.full((3, len(bearings)), 3.0)
    found = distances(both.primary.ring, shares, np.tile(bearings, (3, 1)), off)
    for row, share in zip(found, shares, strict=True):
        polygon = shapely.Polygon(both.primary.ring.rays * both.primary.ring.at(share)[:, None])
        points = shapely.points(row * np.cos(bearings), row * np.sin(bearings))
        assert shapely.distance(polygon, points) == pytest.approx(3.0, abs=1e-9)


def test_no_hazard_enters_bone_at_any_hundredth_of_a_segment(limb):
    for name, segment in limb.segments.items():
        levels = authored_levels_mm(limb, name)
        for level_mm in np.arange(0, 1.005, 0.01) * segment.to_mm:
            tracks = stretches_between(limb, name, level_mm, level_mm)
            outside = not levels[0] <= level_mm <= levels[-1]
            assert not (outside and len(tracks))
            if not len(tracks):
                continue
            points, radii = looked_up(tracks, level_mm)
            for bone in segment.bones:
                section = limb.section(bone, level_mm)
                if section is None or not section.known:
                    continue
                gaps = shapely.distance(shapely.Polygon(section.outline), shapely.points(points))
                assert (gaps >= radii - 1e-6).all(), (bone, level_mm)


@pytest.mark.parametrize("segment", ["thigh", "leg", "hindfoot"])
def test_tracks_meet_their_authored_places(limb, segment):
    reference = limb.references[segment]
    for authored, level_mm in zip(
        reference.authored.levels, authored_levels_mm(limb, segment), strict=True
    ):
        section = limb.section(reference.primary, level_mm)
        own = next(b for b in authored.bones if b.bone == reference.primary).target
        points, _ = looked_up(stretches_between(limb, segment, level_mm, level_mm), level_mm)
        for known in authored.hazards:
            if known.at is not None:
                place = section.target + np.array(known.at) - own
                assert np.hypot(*(points - place).T).min() < 1e-6


@pytest.mark.parametrize("segment", ["thigh", "leg", "hindfoot"])
def test_points_are_close_and_tracks_do_not_jump(limb, segment):
    tracks = stretches_between(limb, segment, 0.0, 1000.0)
    step = tracks.end - tracks.start
    assert (step[:, 2] > 0).all()
    assert step[:, 2].max() <= FARTHEST_APART_MM + 1e-9
    assert np.hypot(step[:, 0], step[:, 1]).max() < 8.0
    starts = {tuple(point) for point in tracks.start.round(6).tolist()}
    levels = set(np.round(authored_levels_mm(limb, segment), 6))
    middles = set(np.round(np.convolve(sorted(levels), (0.5, 0.5), "valid"), 6))
    for end in tracks.end.round(6).tolist():
        assert tuple(end) in starts or end[2] in levels | middles


def test_a_wider_limb_carries_its_hazards_between_bone_and_skin():
    slim, stout = limb_of("leg"), limb_of("leg", girths=(("thigh", 700.0),))
    level_mm = 0.5 * slim.segments["thigh"].to_mm
    target = slim.section("femur", level_mm).target
    assert stout.section("femur", level_mm).target == pytest.approx(target)
    one, two = (
        looked_up(stretches_between(limb, "thigh", level_mm, level_mm), level_mm)[0] - target
        for limb in (slim, stout)
    )
    assert np.arctan2(*one.T) == pytest.approx(np.arctan2(*two.T))
    assert (np.hypot(*two.T) > np.hypot(*one.T)).all()
    skin = shapely.Polygon(stout.skin("thigh", level_mm))
    assert shapely.contains_xy(skin, two + target).all()


def test_discs_cover_as_much_off_the_level_as_could_matter(limb):
    section = limb.section("tibia", 190.0)
    plane = PinPlane("leg", 190.0, section.target, 2.5, 5.0)
    discs = discs_at(limb, plane)
    assert {"critical"} == {
        s.grade
        for s in stretches_between(limb, "leg", 190, 190).structures
        if s.name in {discs.names[number] for number in discs.owner}
    }
    assert len(discs)
    assert (np.abs(discs.off_level) < 2.5 + discs.room).all()
    assert (discs.off_level % 2 == 0).all()
    anterior = discs.owner == discs.names.index("anterior tibial vessels")
    assert set(discs.off_level[anterior]) == set(range(-10, 11, 2))


def test_other_bones_are_obstacles_and_tendon_outlines_hold_to_mid_gap(limb):
    top = limb.segments["leg"].known_from_mm
    section = limb.section("tibia", top + 5)
    plane = PinPlane("leg", top + 5, section.target, 2.5, 5.0)
    assert [o.name for o in obstacles_at(limb, "tibia", plane)] == ["fibula"]
    assert [o.name for o in obstacles_at(limb, "tibia", plane, ("tether",))] == [
        "fibula",
        "patellar tendon",
    ]
    lower = PinPlane("leg", top + 30, limb.section("tibia", top + 30).target, 2.5, 5.0)
    assert [o.name for o in obstacles_at(limb, "tibia", lower, ("tether",))] == ["fibula"]
