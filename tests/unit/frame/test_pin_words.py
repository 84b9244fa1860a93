"""Where a pin goes in and which way it runs, in words."""

import numpy as np
import pytest
from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case
from fixplan.frame.pin_words import (
    along_edge_mm,
    edge_of,
    enters_words,
    entry_lines,
    place_lines,
    place_words,
)
from fixplan.geometry.paths import pin_path
from fixplan.limb.scale import limb_of
from tests.unit.frame.other_limbs import laid

SPINE = "right ASIS"


@pytest.fixture(scope="module")
def crest():
    return laid("pelvis-crest").case


@pytest.fixture(scope="module")
def low():
    return laid("pelvis-low").case


def test_a_crest_pin_is_told_along_the_crest_alone(crest) -> None:
    limb, pin = limb_of_case(crest), crest.pins[0]
    along_mm = round(along_edge_mm(pin_path(limb, pin)))
    assert place_lines(limb, pin) == (f"{along_mm} mm behind the {SPINE}, along the crest",)
    assert (
        enters_words(limb, pin) == "the iliac crest, aimed backwards, 30° medially and 40° caudally"
    )


def test_a_low_pin_is_told_where_it_enters_bone(low) -> None:
    limb, pin = limb_of_case(low), low.pins[0]
    enters = pin_path(limb, pin).near_point_mm[2]
    below = round(enters - limb.landmark("asis_right").level_mm)
    above = round(limb.landmark("aiis_right").level_mm - enters)
    felt, at_skin, imaged = place_lines(limb, pin)
    assert felt == f"{below} mm below the {SPINE}"
    assert at_skin.startswith("at the skin ")
    assert imaged == f"{above} mm above the right AIIS"
    assert entry_lines(limb, pin) == ("anterior", "aimed backwards, 18° medially and 10° cranially")


@pytest.mark.parametrize(
    ("bearing_deg", "tilt_deg", "words"),
    [
        (90, 0, "aimed backwards"),
        (110, 0, "aimed backwards, 20° laterally"),
        (0, 15, "aimed medially, 15° caudally"),
        (350, 0, "aimed medially, 10° forwards"),
    ],
)
def test_the_aim_in_words(low, bearing_deg, tilt_deg, words) -> None:
    pin = replace(low.pins[0], bearing_deg=bearing_deg, tilt_deg=tilt_deg)
    assert entry_lines(limb_of_case(low), pin)[1] == words


def test_both_sides_are_told_alike(crest) -> None:
    limb = limb_of_case(crest)
    right, left = crest.pins[0], crest.pins[2]
    assert place_words(limb, left) == place_words(limb, right).replace("right", "left")


def test_a_shaft_has_no_edge(crest) -> None:
    assert limb_of("leg").edges == {}
    deep = replace(crest.pins[0], level_mm=120.0)
    assert edge_of(limb_of_case(crest), deep) is None


def test_a_way_along_an_edge_is_as_long_as_it_says(crest) -> None:
    edge = limb_of_case(crest).edges["ilium-right"]
    for along_mm in (5.0, 30.0, 77.0):
        path = edge.path_mm(along_mm)
        steps = np.linalg.norm(np.diff(path, axis=0), axis=1)
        assert steps.sum() == pytest.approx(along_mm)
        assert edge.along_mm(path[-1]) == pytest.approx(along_mm)


def test_an_edge_begins_at_its_landmark_and_lies_on_the_bone() -> None:
    limb = limb_of("pelvis")
    spine, edge = limb.landmark("asis_right"), limb.edges["ilium-right"]
    assert edge.points_mm[0] == pytest.approx((spine.x_mm, spine.y_mm, spine.level_mm))
    outline = limb.outline("ilium-right", "side")
    ends = np.vstack((outline, outline[:1]))
    for _, y, level in edge.points_mm:
        starts, ways = ends[:-1], np.diff(ends, axis=0)
        at = np.sum((np.array((y, level)) - starts) * ways, axis=1) / np.sum(ways**2, axis=1)
        near = starts + np.clip(at, 0, 1)[:, None] * ways
        assert np.hypot(*(near - (y, level)).T).min() < 4.0
