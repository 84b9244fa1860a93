"""Bones, sections, skin and landmarks of the reference leg."""

import time

import numpy as np
import pytest
import shapely

from fixplan.errors import LibraryError
from fixplan.limb.authored_files import authored_segments
from fixplan.limb.scale import limb_of

LIMB = limb_of("leg")
SECTIONED = (
    ("femur", "thigh"),
    ("tibia", "leg"),
    ("fibula", "leg"),
    ("calcaneus", "hindfoot"),
    ("metatarsal-1", "forefoot"),
)


def test_the_bones_of_a_leg() -> None:
    assert list(LIMB.segments) == ["thigh", "leg", "hindfoot", "forefoot"]
    primaries = {bone.segment: bone.name for bone in LIMB.bones.values() if bone.primary_of_segment}
    assert primaries == {
        "thigh": "femur",
        "leg": "tibia",
        "hindfoot": "calcaneus",
        "forefoot": "metatarsal-1",
    }
    drawn_only = {bone.name for bone in LIMB.bones.values() if bone.drawn_only}
    assert {"patella", "phalanges-5"} <= drawn_only
    assert not drawn_only & {"femur", "tibia", "fibula", "calcaneus", "talus", "cuneiform-1"}
    fibula = LIMB.bones["fibula"]
    assert (fibula.from_mm, fibula.to_mm) == pytest.approx((12, 392), abs=0.2)
    assert LIMB.segments["hindfoot"].to_mm == 48.5


@pytest.mark.parametrize(("bone", "segment"), SECTIONED)
def test_a_known_section_is_whole(bone: str, segment: str) -> None:
    known = LIMB.segments[segment]
    for level in np.linspace(known.known_from_mm, known.known_to_mm, 40):
        cut = LIMB.section(bone, level)
        assert cut is not None
        assert cut.known
        outline = shapely.Polygon(cut.outline)
        assert outline.is_valid
        assert outline.exterior.is_ccw
        assert outline.contains(shapely.Point(cut.target))
        assert cut.cortex_mm is not None
        assert cut.cortex_mm > 0.9
        if cut.canal is not None:
            canal = shapely.Polygon(cut.canal)
            assert outline.buffer(0.05).contains(canal)
        skin = LIMB.skin(segment, level)
        assert skin is not None
        assert shapely.Polygon(skin).contains(outline)
        assert LIMB.skin_known(segment, level)


@pytest.mark.parametrize(("bone", "segment"), SECTIONED)
def test_beyond_the_authored_levels_a_section_is_guessed_from_what_is_drawn(
    bone: str, segment: str
) -> None:
    whole, known = LIMB.bones[bone], LIMB.segments[segment]
    ends = (whole.from_mm + 3, whole.to_mm - 3)
    beyond = [one for one in ends if not known.known_from_mm <= one <= known.known_to_mm]
    assert beyond
    for level in beyond:
        cut = LIMB.section(bone, level)
        assert cut is not None
        assert not cut.known
        assert cut.cortex_mm is None
        assert cut.canal is None
        drawn = shapely.Polygon(LIMB.outline(bone, "side"))
        chord = drawn.intersection(shapely.LineString([(-300, level), (300, level)])).bounds
        assert (cut.outline[:, 1].min(), cut.outline[:, 1].max()) == pytest.approx(
            (chord[0], chord[2]), abs=0.01
        )
        assert LIMB.skin(segment, level) is not None
        assert not LIMB.skin_known(segment, level)
    assert LIMB.section(bone, whole.from_mm - 5) is None
    assert LIMB.section(bone, whole.to_mm + 1) is None


def test_skin_ends_where_it_is_drawn() -> None:
    assert LIMB.skin("thigh", -20) is None
    assert LIMB.skin("thigh", 471) is None
    assert LIMB.skin("leg", 390) is not None
    assert LIMB.skin("leg", 400) is None
    assert LIMB.skin("hindfoot", 49) is None


def test_both_views_draw_the_moved_skin() -> None:
    for segment in ("thigh", "leg"):
        span = LIMB.segments[segment].to_mm
        for z in (0.2, 0.5, 0.8):
            ring = LIMB.skin(segment, z * span)
            assert ring is not None
            for axis, view in enumerate(("front", "side")):
                drawn = shapely.Polygon(
                    LIMB.skin_outline(segment, "front" if axis == 0 else "side")
                )
                line = shapely.LineString([(-300, z * span), (300, z * span)])
                chord = drawn.intersection(line).bounds
                extent = ring[:, axis].min(), ring[:, axis].max()
                assert (chord[0], chord[2]) == pytest.approx(extent, abs=1.0), view


def test_arrays_cannot_be_changed_by_mistake() -> None:
    cut = LIMB.section("tibia", 200)
    assert cut is not None
    for array in (cut.outline, LIMB.skin("leg", 200), LIMB.outline("tibia", "front")):
        assert array is not None
        with pytest.raises(ValueError, match="read-only"):
            array[0, 0] = 1.0


def test_width_is_across_the_pin() -> None:
    cut = LIMB.section("tibia", 192.5)
    assert cut is not None
    assert LIMB.width_mm("tibia", 192.5, 90) == pytest.approx(np.ptp(cut.outline[:, 0]))
    assert LIMB.width_mm("tibia", 192.5, 0) == pytest.approx(np.ptp(cut.outline[:, 1]))
    assert LIMB.width_mm("tibia", 192.5, 37) == pytest.approx(LIMB.width_mm("tibia", 192.5, 217))
    with pytest.raises(LibraryError, match="does not reach"):
        LIMB.width_mm("tibia", 900, 0)


def test_landmarks_lie_on_their_bones() -> None:
    ids = [mark.id for mark in LIMB.landmarks]
    assert len(set(ids)) == len(ids)
    on_bone = {
        "greater_trochanter_tip": "femur",
        "lateral_epicondyle": "femur",
        "adductor_tubercle": "femur",
        "patella_top": "patella",
        "tibial_tubercle": "tibia",
        "medial_malleolus_tip": "tibia",
        "lateral_malleolus_tip": "fibula",
        "fibular_head": "fibula",
        "heel_point": "calcaneus",
        "navicular_tuberosity": "navicular",
        "fifth_metatarsal_base": "metatarsal-5",
    }
    for mark_id, bone in on_bone.items():
        mark = LIMB.landmark(mark_id)
        assert mark.palpable
        forward = mark.segment == "hindfoot"
        front = shapely.Point(mark.x_mm, mark.y_mm if forward else mark.level_mm)
        side = shapely.Point(mark.y_mm, mark.level_mm)
        assert shapely.Polygon(LIMB.outline(bone, "front")).distance(front) < 2.5, mark_id
        assert shapely.Polygon(LIMB.outline(bone, "side")).distance(side) < 2.5, mark_id
    assert LIMB.landmark("adductor_tubercle").level_mm == pytest.approx(0.905 * 470, abs=1)
    assert LIMB.landmark("plafond").level_mm == pytest.approx(0.965 * 385, abs=0.1)
    with pytest.raises(LibraryError, match="no landmark"):
        LIMB.landmark("acromion")


def test_an_unknown_name_is_told() -> None:
    with pytest.raises(LibraryError, match="no bone 'ulna'"):
        LIMB.section("ulna", 100)
    with pytest.raises(LibraryError, match="no segment 'forearm'"):
        LIMB.skin("forearm", 100)


def test_an_uncached_section_takes_less_than_a_third_of_a_millisecond() -> None:
    levels = np.linspace(21.123, 344.9, 60)
    LIMB.section("tibia", 20.0)
    times = []
    for level in levels.tolist():
        start = time.perf_counter()
        LIMB.section("tibia", level)
        times.append(time.perf_counter() - start)
    assert sorted(times)[len(times) // 2] < 3e-4


def test_the_anatomy_loads_within_fifteen_milliseconds() -> None:
    times = []
    for _ in range(5):
        authored_segments.cache_clear()
        start = time.perf_counter()
        segments = authored_segments("leg")
        times.append(time.perf_counter() - start)
        assert len(segments) == 4
    assert min(times) < 15e-3
