"""The authored limbs and what is blended from them: whole, continuous, without data errors."""

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely

from fixplan.geometry.hazard_tracks import stretches_between
from fixplan.geometry.hazards import PinPlane, outlined_hazards
from fixplan.limb.authored import GRADES, AuthoredLevel, AuthoredSegment
from fixplan.limb.kinds import limb_kinds
from fixplan.limb.rings import is_star, middle, radii
from fixplan.limb.scale import limb_of

LEG = limb_of("leg")
LIMBS = {name: limb_of(kind) for kind in limb_kinds() for name in limb_of(kind).groups}
SEGMENTS = {name: limb.groups[name].authored for name, limb in LIMBS.items()}
"""Every group of sections: the segments by their own, then those of single bones."""
FOLLOW_THE_OUTLINES = [name for name, one in SEGMENTS.items() if one.sections_shift is None]
LEVELS = [(segment, level) for segment in SEGMENTS.values() for level in segment.levels]
SECTIONED = [
    (name, bone.bone) for name, segment in SEGMENTS.items() for bone in segment.levels[0].bones
]


ROUNDED_MM = 0.15
"""How far outside the skin a blended place may lie by the rounding of authored points."""
AIMED = ("talus", "navicular", "cuboid", "cuneiform-1")
"""Groups whose bones say where a pin aims, off the middle of a cut that runs along them."""


def levels_of(segment: str, bone: str) -> list[AuthoredLevel]:
    """The authored levels that hold a bone: a short ray ends before the longest."""
    return [one for one in SEGMENTS[segment].levels if bone in {cut.bone for cut in one.bones}]


levels = pytest.mark.parametrize(("segment", "level"), LEVELS, ids=[one.id for _, one in LEVELS])


def fine_levels(segment: str) -> np.ndarray:
    """Every 0.01 of the span between the first and the last authored level."""
    first, last = LIMBS[segment].known_mm(segment)
    return np.linspace(first, last, round((last - first) / span_mm(segment) * 100) + 1)


def span_mm(segment: str) -> float:
    """The span of which a group's levels are fractions."""
    return LIMBS[segment].segments[SEGMENTS[segment].segment].to_mm


def polygon(segment: str, bone: str, level: float) -> shapely.Polygon:
    cut = LIMBS[segment].section(bone, level)
    assert cut is not None
    assert cut.known
    return shapely.Polygon(cut.outline)


def is_known(segment: str, bone: str, level: float) -> bool:
    cut = LIMBS[segment].section(bone, level)
    return cut is not None and cut.known


@levels
def test_outlines_are_seen_whole_from_the_target(
    segment: AuthoredSegment, level: AuthoredLevel
) -> None:
    primary = level.bones[0]
    assert primary.bone == segment.primary
    assert is_star(np.array(level.skin), np.array(primary.target))
    for bone in level.bones:
        ring = np.array(bone.outline)
        assert shapely.Polygon(ring).is_valid
        assert is_star(ring, np.array(bone.target))
        assert shapely.Polygon(level.skin).contains(shapely.Polygon(ring))
        if bone.canal.outline:
            assert is_star(np.array(bone.canal.outline), np.array(bone.target))
            assert shapely.Polygon(ring).contains(shapely.Polygon(bone.canal.outline))
        canal_and_walls = 2 * bone.canal.half_ml_mm + 2 * bone.cortex_mm
        assert canal_and_walls <= np.ptp(ring[:, 0]) + 1.0


@levels
def test_targets_are_centroids_but_in_heel_and_hip_bone(
    segment: AuthoredSegment, level: AuthoredLevel
) -> None:
    for bone in level.bones:
        centroid = shapely.Polygon(bone.outline).centroid
        gap = math.dist(bone.target, (centroid.x, centroid.y))
        aimed = segment.segment.startswith("hemipelvis") or segment.primary in AIMED
        if aimed:
            assert shapely.Polygon(bone.outline).contains(shapely.Point(bone.target))
        else:
            assert gap > 10 if segment.segment == "hindfoot" else gap < 0.05


@levels
def test_no_two_structures_share_a_track_at_a_level(
    segment: AuthoredSegment, level: AuthoredLevel
) -> None:
    tracks = [hazard.track for hazard in level.hazards]
    assert sorted(set(tracks)) == sorted(tracks), segment.segment


@levels
def test_no_hazard_lies_in_bone_or_outside_the_skin(
    segment: AuthoredSegment, level: AuthoredLevel
) -> None:
    skin = shapely.Polygon(level.skin)
    bones = shapely.union_all([shapely.Polygon(bone.outline) for bone in level.bones])
    for hazard in level.hazards:
        if hazard.at is None:
            assert len(hazard.outline) >= 3, hazard.name
            assert hazard.radius_mm is None
            place: shapely.Polygon | shapely.Point = shapely.Polygon(hazard.outline)
            assert place.is_valid
        else:
            assert hazard.radius_mm is not None
            assert not hazard.outline
            place = shapely.Point(hazard.at)
        assert skin.buffer(0.5).contains(place), (segment.segment, hazard.name)
        assert shapely.distance(bones, place) > 0 or hazard.kind == "joint", hazard.name


@levels
def test_muscle_sectors_are_bearings(segment: AuthoredSegment, level: AuthoredLevel) -> None:
    for sector in level.muscle_sectors:
        assert sector.name
        width = (sector.to_deg - sector.from_deg) % 360
        assert 10 <= width <= 200, (segment.segment, sector.name)


def test_levels_run_from_proximal_to_distal() -> None:
    for segment in SEGMENTS.values():
        assert all(first.z < second.z for first, second in pairwise(segment.levels))
        for bone in segment.bones:
            for ring in (bone.front, bone.side):
                assert shapely.Polygon(ring).is_valid, bone.name


@pytest.mark.parametrize(("segment", "bone"), SECTIONED)
def test_at_an_authored_level_the_section_is_the_authored_one(segment: str, bone: str) -> None:
    for level in levels_of(segment, bone):
        authored = next(one for one in level.bones if one.bone == bone)
        cut = LIMBS[segment].section(bone, level.z * span_mm(segment))
        assert cut is not None
        own = shapely.Polygon(np.array(authored.outline) - np.array(authored.target))
        drawn = shapely.Polygon(cut.outline - cut.target)
        assert shapely.area(own.symmetric_difference(drawn)) < 1e-6 * shapely.area(own)
        assert cut.cortex_mm == pytest.approx(authored.cortex_mm)


@pytest.mark.parametrize(("segment", "bone"), SECTIONED)
def test_sections_change_without_a_jump(segment: str, bone: str) -> None:
    bearings = np.radians(np.arange(0, 360, 5.0))
    span = span_mm(segment)
    inner = [level.z * span for level in levels_of(segment, bone)[1:-1]]
    for level in inner:
        before, after = (LIMBS[segment].section(bone, level + step) for step in (-1e-4, 1e-4))
        assert before is not None
        assert after is not None
        jump = radii(after.outline, after.target, bearings) - radii(
            before.outline, before.target, bearings
        )
        assert np.abs(jump).max() < 0.01
        assert np.abs(after.target - before.target).max() < 0.01
        skins = [LIMBS[segment].skin(segment, level + step) for step in (-1e-4, 1e-4)]
        assert skins[0] is not None
        assert skins[1] is not None
        primary = LIMBS[segment].section(SEGMENTS[segment].primary, level)
        assert primary is not None
        gap = radii(skins[1], primary.target, bearings) - radii(skins[0], primary.target, bearings)
        assert np.abs(gap).max() < 0.02


@pytest.mark.parametrize(("segment", "bone"), SECTIONED)
def test_the_area_lies_between_its_neighbours(segment: str, bone: str) -> None:
    """Blending radii linearly: the square root of the area is convex between two levels."""
    span = span_mm(segment)
    authored = [level.z * span for level in levels_of(segment, bone)]
    for low, high in pairwise(authored):
        ends = [math.sqrt(polygon(segment, bone, level).area) for level in (low, high)]
        for share in (0.2, 0.4, 0.6, 0.8):
            root = math.sqrt(polygon(segment, bone, low + share * (high - low)).area)
            assert 0.97 * min(ends) < root <= ends[0] + share * (ends[1] - ends[0]) + 0.02


def between_two_levels(segment: str, found: list[AuthoredLevel]) -> list[tuple[float, ...]]:
    """Each pair of neighbouring levels, and every 0.01 of the span between them, mm."""
    span, pairs = span_mm(segment), []
    for low, high in pairwise(found):
        count = math.ceil((high.z - low.z) / 0.01 - 1e-9)
        steps = np.linspace(low.z, high.z, count + 1)[1:-1] * span
        pairs.append((low.z * span, high.z * span - 1e-6, *steps.tolist()))
    return pairs


@pytest.mark.parametrize(("segment", "bone"), SECTIONED)
def test_at_every_hundredth_the_area_is_between_its_neighbours(segment: str, bone: str) -> None:
    """Within 2 % of them, for the bone and for the skin round it."""
    limb = LIMBS[segment]

    def skin_mm2(level: float) -> float:
        ring = limb.skin(segment, level)
        assert ring is not None
        return shapely.Polygon(ring).area

    for low, high, *inner in between_two_levels(segment, levels_of(segment, bone)):
        for area in (lambda level: polygon(segment, bone, level).area, skin_mm2):
            ends = area(low), area(high)
            for level in inner:
                assert 0.98 * min(ends) <= area(level) <= 1.02 * max(ends), level


@pytest.mark.parametrize("segment", SEGMENTS)
def test_no_outlined_hazard_enters_bone_at_any_hundredth(segment: str) -> None:
    """Joint spaces aside, which lie between bones and hold at their own level alone."""
    limb, authored = LIMBS[segment], SEGMENTS[segment]
    bones = [bone.bone for bone in authored.levels[0].bones]
    for level in fine_levels(segment):
        primary = limb.section(authored.primary, level)
        assert primary is not None
        plane = PinPlane(segment, level, primary.target, 0.0, 0.0)
        for hazard, outline in outlined_hazards(limb, plane, GRADES):
            if hazard.kind == "joint":
                continue
            for bone in bones:
                if is_known(segment, bone, level):
                    met = polygon(segment, bone, level).intersects(shapely.Polygon(outline))
                    assert not met, (hazard.name, bone, level)


@pytest.mark.parametrize("segment", FOLLOW_THE_OUTLINES)
def test_sections_lie_in_the_middle_of_what_is_drawn(segment: str) -> None:
    bone = SEGMENTS[segment].primary
    drawn = [shapely.Polygon(LIMBS[segment].outline(bone, view)) for view in ("front", "side")]
    for level in fine_levels(segment):
        cut = LIMBS[segment].section(bone, level)
        assert cut is not None
        line = shapely.LineString([(-300, level), (300, level)])
        chords = [outline.intersection(line).bounds for outline in drawn]
        expected = [(chord[0] + chord[2]) / 2 for chord in chords]
        assert middle(cut.outline) == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize("segment", FOLLOW_THE_OUTLINES)
def test_drawn_widths_are_the_sections_widths(segment: str) -> None:
    for bone in (one.bone for one in SEGMENTS[segment].levels[0].bones):
        for view, axis in (("front", 0), ("side", 1)):
            drawn = shapely.Polygon(LIMBS[segment].outline(bone, "front" if axis == 0 else "side"))
            for level in levels_of(segment, bone):
                at = level.z * span_mm(segment)
                line = shapely.LineString([(-300, at), (300, at)])
                chord = drawn.intersection(line).bounds
                cut = LIMBS[segment].section(bone, at)
                assert cut is not None
                width = float(np.ptp(cut.outline[:, axis]))
                assert chord[2] - chord[0] == pytest.approx(width, abs=1.2), (level.id, view)


@pytest.mark.parametrize(
    ("segment", "first", "second"),
    [
        ("leg", "tibia", "fibula"),
        ("forearm", "radius", "ulna"),
        ("hand", "metacarpal-2", "metacarpal-3"),
        ("hand", "metacarpal-3", "metacarpal-4"),
        ("hand", "metacarpal-4", "metacarpal-5"),
        ("forefoot", "metatarsal-2", "metatarsal-3"),
        ("forefoot", "metatarsal-3", "metatarsal-4"),
        ("forefoot", "metatarsal-4", "metatarsal-5"),
    ],
)
def test_the_second_bone_stays_clear_of_the_first(segment: str, first: str, second: str) -> None:
    last = levels_of(segment, second)[-1].z * span_mm(segment)
    for level in fine_levels(segment):
        if level > last:
            break
        gap = shapely.distance(polygon(segment, first, level), polygon(segment, second, level))
        assert gap > 0


@pytest.mark.parametrize("segment", SEGMENTS)
def test_no_track_enters_bone_or_leaves_the_skin_at_any_hundredth(segment: str) -> None:
    limb = LIMBS[segment]
    tracks = stretches_between(limb, segment, -1e4, 1e4)
    bones = limb.segments[SEGMENTS[segment].segment].bones
    for level in fine_levels(segment):
        on = np.flatnonzero((tracks.start[:, 2] <= level) & (level <= tracks.end[:, 2]))
        rise = tracks.end[on, 2] - tracks.start[on, 2]
        share = ((level - tracks.start[on, 2]) / rise)[:, None]
        points = shapely.points(
            (tracks.start[on] + share * (tracks.end[on] - tracks.start[on]))[:, :2]
        )
        names = [tracks.structures[which].track for which in tracks.which[on]]
        cut = shapely.union_all(
            [polygon(segment, bone, level) for bone in bones if is_known(segment, bone, level)]
        )
        skin = limb.skin(segment, level)
        assert skin is not None
        around = shapely.Polygon(skin).buffer(ROUNDED_MM)
        inside = shapely.contains(cut, points) | ~shapely.contains(around, points)
        assert not inside.any(), (
            level,
            [n for n, is_in in zip(names, inside, strict=True) if is_in],
        )


def test_heel_sections_share_one_back_edge() -> None:
    back = [LEG.section("calcaneus", level) for level in fine_levels("hindfoot")]
    edges = [float(cut.outline[:, 1].min()) for cut in back if cut is not None]
    assert len(edges) == len(back)
    assert max(edges) - min(edges) < 0.5
    drawn = float(LEG.outline("calcaneus", "side")[:, 0].min())
    assert drawn == pytest.approx(np.mean(edges), abs=1.0)


def test_left_and_right_are_the_same_limb() -> None:
    """The limb has no side: lateral is +x in every segment, whatever the picture shows."""
    fibula, tibia = LEG.outline("fibula", "front"), LEG.outline("tibia", "front")
    assert fibula[:, 0].mean() > tibia[:, 0].mean() + 20
    assert LEG.outline("cuboid", "front")[:, 0].mean() > 10
    assert LEG.outline("navicular", "front")[:, 0].mean() < -8
    fifth, first = (LEG.outline(f"metatarsal-{ray}", "front") for ray in (5, 1))
    assert fifth[:, 0].mean() > first[:, 0].mean() + 40
    assert LEG.outline("metatarsal-5", "side")[:, 0].mean() < -10
    head = LEG.outline("femur", "front")
    assert head[head[:, 1] < 30][:, 0].mean() < 0
    assert LEG.outline("patella", "side")[:, 0].min() > 25
    arm = limb_of("arm")
    radius, ulna = arm.outline("radius", "front"), arm.outline("ulna", "front")
    assert radius[:, 0].mean() > ulna[:, 0].mean() + 20
    head = arm.outline("humerus", "front")
    assert head[head[:, 1] < 25][:, 0].mean() < 0
    assert arm.outline("metacarpal-1", "front")[:, 0].mean() > 10
    assert arm.outline("metacarpal-5", "front")[:, 0].mean() < -30
    assert arm.outline("metacarpal-1", "side")[:, 0].mean() > 8
    olecranon = arm.outline("ulna", "side")
    assert olecranon[olecranon[:, 1] < -20][:, 0].min() < -20


def test_the_two_hemipelves_are_alike_each_in_its_own_frame() -> None:
    pelvis = limb_of("pelvis")
    right, left = (pelvis.outline(f"ilium-{side}", "front") for side in ("right", "left"))
    assert np.array_equal(right, left)
    assert right[:, 0].min() > 0
    sections = [pelvis.section(f"ilium-{side}", 95.0) for side in ("right", "left")]
    assert sections[0] is not None
    assert sections[1] is not None
    assert np.array_equal(sections[0].outline, sections[1].outline)
    assert pelvis.section("ilium-right", 150.0) is None
    assert [name for name in pelvis.bones if "sacrum" in name] == ["sacrum"]
