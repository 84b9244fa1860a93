"""Published spreads against a pin's two arms; other bones and outlined hazards in a pin's way."""

import pytest

from fixplan.case.records import Pin
from fixplan.geometry.obstacle_hits import other_bones_met, outlined_gaps
from fixplan.geometry.paths import pin_path
from fixplan.geometry.spread_bands import levels_of_spread, published_band, spread_hits
from fixplan.limb.authored import Spread
from fixplan.limb.scale import limb_of

LEG = limb_of("leg", "male", 1750.0, 80.0, (), ())
ARM = limb_of("arm", "male", 1750.0, 80.0, (), ())


def path(bone: str, level_mm: float, bearing_deg: float, limb=LEG, **more):
    values = {"id": "pin-1", "number": 1, "bone": bone, "diameter_mm": 5.0} | more
    return pin_path(limb, Pin(level_mm=level_mm, bearing_deg=bearing_deg, **values))


def spread(**values) -> Spread:
    told = {"track": "x", "what": "lies", "measure": "level", "evidence": (), "source": "s"}
    return Spread(status="confirmed", **(told | values))


@pytest.mark.parametrize(
    ("values", "band"),
    [
        ({"mean": 100, "sd": 10}, (80, 120)),
        ({"mean": 100, "sd": 10, "least": 70, "most": 115}, (70, 120)),
        ({"mean": 58.5, "least": 31}, (31, 58.5)),
        ({"sd": 12}, (-24, 24)),
    ],
)
def test_the_wider_of_deviation_and_range_counts(values, band):
    assert published_band(spread(**values)) == pytest.approx(band)


def test_levels_are_told_from_their_landmark_either_way():
    mark = LEG.landmark("lesser_trochanter").level_mm
    below = spread(landmark="lesser_trochanter", least=0, most=136, below=True)
    above = spread(landmark="lesser_trochanter", least=10, most=20)
    assert levels_of_spread(LEG, "thigh", below) == pytest.approx((mark, mark + 136))
    assert levels_of_spread(LEG, "thigh", above) == pytest.approx((mark - 20, mark - 10))


def test_a_share_is_of_the_main_bone():
    mark, length = LEG.landmark("adductor_tubercle").level_mm, LEG.bones["femur"].length_mm
    share = spread(measure="share", landmark="adductor_tubercle", least=0.1, most=0.2)
    wanted = (mark - 0.2 * length, mark - 0.1 * length)
    assert levels_of_spread(LEG, "thigh", share) == pytest.approx(wanted)


def tracks(found) -> set[str]:
    return {hit.spread.track for hit in found}


def test_only_the_sides_that_a_spread_names_count():
    assert "femoral-nerve-branches" in tracks(spread_hits(LEG, path("femur", 180, 90), 2.0))
    assert "femoral-nerve-branches" not in tracks(spread_hits(LEG, path("femur", 180, 10), 2.0))
    assert "femoral-nerve-branches" not in tracks(spread_hits(LEG, path("femur", 230, 90), 2.0))


def test_the_tip_counts_as_far_as_it_reaches():
    lateral = path("femur", 238, 0)
    assert "femoropopliteal-artery" not in tracks(spread_hits(LEG, lateral, 2.0))
    long = path("femur", 238, 0, tip_mm=30.0)
    (hit,) = [h for h in spread_hits(LEG, long, 2.0) if h.spread.track == "femoropopliteal-artery"]
    assert hit.part == "far"


def test_both_arms_of_a_through_pin_are_near():
    found = spread_hits(LEG, path("femur", 238, 0, kind="through"), 2.0)
    assert {h.part for h in found if h.spread.track == "femoropopliteal-artery"} == {"near"}


def test_a_pin_that_begins_beyond_a_structure_does_not_meet_it():
    assert "deep-plantar-artery" not in tracks(spread_hits(LEG, path("metatarsal-5", 10, 20), 2.0))


@pytest.mark.parametrize("bearing_deg", [0, 30, 300, 330])
def test_half_a_turn_more_turns_near_into_far(bearing_deg):
    near = spread_hits(ARM, path("humerus", 215, bearing_deg, ARM), 2.0)
    far = spread_hits(ARM, path("humerus", 215, bearing_deg + 180, ARM), 100.0)
    assert {h.spread.track for h in near if h.part == "near"} == {
        h.spread.track for h in far if h.part == "far"
    }


@pytest.mark.parametrize("tilt_deg", [0.0, 5.0, -12.0])
def test_the_fibula_is_met_from_behind_and_beside(tilt_deg):
    assert other_bones_met(LEG, path("tibia", 192, 330, tilt_deg=tilt_deg)) == ("fibula",)
    assert other_bones_met(LEG, path("tibia", 192, 120, tilt_deg=tilt_deg)) == ()


def test_a_long_tip_meets_the_fibula_from_the_other_side():
    assert other_bones_met(LEG, path("tibia", 192, 150)) == ()
    assert other_bones_met(LEG, path("tibia", 192, 150, tip_mm=25.0)) == ("fibula",)


def test_a_joint_space_counts_where_it_is_drawn_alone():
    drawn = 0.86 * ARM.segments["upper-arm"].to_mm
    at_level = outlined_gaps(ARM, path("humerus", drawn, 270, ARM), 5.0, ("tether",))
    assert [(one.track, one.gap_mm) for one in at_level] == [("olecranon-fossa", 0.0)]
    assert outlined_gaps(ARM, path("humerus", drawn - 8, 270, ARM), 5.0, ("tether",)) == ()


def test_an_outlined_nerve_is_gone_past_the_middle_of_its_gap():
    level_mm = 0.18 * ARM.segments["upper-arm"].to_mm
    (hit, *_) = outlined_gaps(ARM, path("humerus", level_mm, 0, ARM), 5.0, ("critical",))
    assert (hit.track, hit.part) == ("axillary-nerve", "near")
    assert outlined_gaps(ARM, path("humerus", level_mm + 26, 0, ARM), 5.0, ("critical",)) == ()
