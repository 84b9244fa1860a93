"""The size of a limb (D10), against the rule worked by hand."""

import numpy as np
import pytest
import shapely

from fixplan.errors import LibraryError
from fixplan.limb.anatomy import Limb
from fixplan.limb.rings import radii
from fixplan.limb.scale import limb_of


def test_without_a_stature_it_is_the_reference_adult() -> None:
    for sex in ("male", "female", "not given"):
        limb = limb_of("leg", sex)
        assert limb.reference
        assert limb.bones["femur"].length_mm == 470
        assert limb.bones["tibia"].length_mm == 385
        assert set(limb.growth.across.values()) == {1.0}
        assert any("reference adult" in note for note in limb.notes)


@pytest.mark.parametrize(
    ("sex", "femur", "tibia", "sex_factor"),
    [
        ("male", 0.269, 0.220, 1.0),
        ("female", 0.268, 0.216, 0.965),
        ("not given", 0.2685, 0.218, 0.98),
    ],
)
def test_lengths_and_widths_follow_stature_and_sex(
    sex: str, femur: float, tibia: float, sex_factor: float
) -> None:
    limb = limb_of("leg", sex, 1620.0)
    assert not limb.reference
    assert limb.bones["femur"].length_mm == pytest.approx(1620 * femur)
    assert limb.bones["tibia"].to_mm == pytest.approx(1620 * tibia, abs=0.8)
    factor = (1620 * femur / 470) ** 0.8 * sex_factor
    reference = limb_of("leg")
    for z in (0.2, 0.5, 0.77, 0.9):
        width = limb.width_mm("femur", z * 1620 * femur, 30)
        assert width == pytest.approx(factor * reference.width_mm("femur", z * 470, 30))
    assert ("sex not given" in " ".join(limb.notes)) == (sex == "not given")


def test_the_length_error_is_shown_until_a_length_is_typed() -> None:
    guessed = limb_of("leg", "male", 1800.0)
    assert guessed.length_error_mm("femur") == pytest.approx(0.033 * 0.269 * 1800)
    assert guessed.length_error_mm("patella") == guessed.length_error_mm("femur")
    typed = limb_of("leg", "male", 1800.0, None, (("femur", 500.0, None),))
    assert typed.length_error_mm("femur") is None
    assert typed.length_error_mm("tibia") == pytest.approx(0.034 * 0.22 * 1800)
    unknown = limb_of("leg").length_error_mm("femur")
    assert unknown is not None
    assert unknown > 25


def test_typed_sizes_win() -> None:
    limb = limb_of("leg", "female", 1620.0, None, (("tibia", 360.0, 21.0), ("fibula", None, 12.0)))
    assert limb.bones["tibia"].length_mm == 360
    assert limb.width_mm("tibia", 180, 90) == pytest.approx(21.0)
    assert limb.width_mm("fibula", 180, 90) == pytest.approx(12.0)
    assert limb.bones["femur"].length_mm == pytest.approx(0.268 * 1620)


def test_sizes_that_cannot_be_used_are_told() -> None:
    limb = limb_of("leg", "male", 1750.0, None, (("fibula", 350.0, None), ("humerus", 300.0, None)))
    told = " / ".join(limb.notes)
    assert "length of the fibula not used" in told
    assert "size of humerus not used" in told
    with pytest.raises(LibraryError, match="Sex"):
        limb_of("leg", "unknown")
    with pytest.raises(LibraryError, match="wing"):
        limb_of("wing")


def girth_mm(limb: Limb, segment: str, level_mm: float) -> float:
    ring = limb.skin(segment, level_mm)
    assert ring is not None
    return float(np.hypot(*(np.roll(ring, -1, axis=0) - ring).T).sum())


def test_a_measured_girth_is_drawn() -> None:
    limb = limb_of("leg", "male", 1750.0, 80.0, (), (("thigh", 560.0), ("leg", 420.0)))
    assert girth_mm(limb, "thigh", limb.segments["thigh"].to_mm * 0.5) == pytest.approx(
        560, rel=0.003
    )
    assert girth_mm(limb, "leg", limb.segments["leg"].to_mm * 0.33) == pytest.approx(420, rel=0.003)


def test_mass_and_stature_give_the_girth() -> None:
    limb = limb_of("leg", "male", 1750.0, 110.0)
    assert limb.growth.skin["thigh"] == pytest.approx(
        (594.7 - 0.1836 * 1750 + 4.125 * 110) / (594.7 - 0.1836 * 1750 + 4.125 * 80), rel=1e-4
    )
    bare = limb_of("leg", "male", 1750.0)
    assert bare.growth.skin["thigh"] == bare.growth.across["femur"]
    assert any("neither mass nor girth" in note for note in bare.notes)


def test_skin_and_bone_scale_along_each_bearing() -> None:
    reference = limb_of("leg")
    limb = limb_of("leg", "female", 1600.0, 75.0)
    for z in (0.16, 0.4, 0.7):
        then = reference.section("tibia", z * 385)
        now = limb.section("tibia", z * limb.segments["leg"].to_mm)
        skin_then, skin_now = (
            one.skin("leg", z * one.segments["leg"].to_mm) for one in (reference, limb)
        )
        assert then is not None
        assert now is not None
        assert skin_then is not None
        assert skin_now is not None
        bearings = np.radians(np.arange(0, 360, 7.0))
        k_b, k_s = limb.growth.across["tibia"], limb.growth.skin["leg"]
        assert radii(now.outline, now.target, bearings) == pytest.approx(
            k_b * radii(then.outline, then.target, bearings)
        )
        assert radii(skin_now, now.target, bearings) == pytest.approx(
            k_s * radii(skin_then, then.target, bearings)
        )


def test_the_second_bone_goes_with_the_soft_tissue() -> None:
    reference = limb_of("leg")
    limb = limb_of("leg", "male", 1750.0, None, (("tibia", 385.0, None),), (("leg", 444.0),))
    k_s = 444 / 370
    for z in (0.16, 0.5, 0.9):
        tibia, fibula = (reference.section(bone, z * 385) for bone in ("tibia", "fibula"))
        grown = limb.section("fibula", z * 385)
        skin = reference.skin("leg", z * 385)
        assert tibia is not None
        assert fibula is not None
        assert grown is not None
        assert skin is not None
        arm = fibula.target - tibia.target
        bearing = np.array((np.arctan2(arm[1], arm[0]),))
        bone, out = (float(radii(ring, tibia.target, bearing)[0]) for ring in (tibia.outline, skin))
        far = float(np.hypot(*arm))
        expected = bone + (far - bone) * (k_s * out - bone) / (out - bone)
        assert np.hypot(*(grown.target - tibia.target)) == pytest.approx(expected)
        assert np.ptp(grown.outline, axis=0) == pytest.approx(np.ptp(fibula.outline, axis=0))
        drawn = limb.outline("fibula", "front")
        line = shapely.LineString([(-99, z * 385), (99, z * 385)])
        chord = shapely.Polygon(drawn).intersection(line).bounds
        assert (chord[0] + chord[2]) / 2 == pytest.approx(grown.target[0], abs=0.3)


def test_skin_never_falls_into_the_bone() -> None:
    limb = limb_of("leg", "male", 1900.0, None, (("tibia", 440.0, 32.0),), (("leg", 230.0),))
    for z in np.arange(0.05, 0.91, 0.05):
        level = z * 440
        cut, skin = limb.section("tibia", level), limb.skin("leg", level)
        assert cut is not None
        assert skin is not None
        bearings = np.radians(np.arange(0, 360, 3.0))
        depth = radii(skin, cut.target, bearings) - radii(cut.outline, cut.target, bearings)
        assert depth.min() > 1.0


def test_the_same_size_is_the_same_limb() -> None:
    assert limb_of("leg", "male", 1750.0) is limb_of("leg", "male", 1750.0)
    assert limb_of("leg", "male", 1750.0).size_key != limb_of("leg", "male", 1751.0).size_key


def test_a_measured_canal_wins_and_the_cortex_follows() -> None:
    """At mid-shaft: canal as typed, and canal plus two cortices about as wide as the bone."""
    plain = limb_of("leg", "male", 1750.0)
    limb = limb_of("leg", "male", 1750.0, None, (), (), (("tibia", 14.0),))
    level = limb.segments["leg"].to_mm / 2
    before, after = plain.section("tibia", level), limb.section("tibia", level)
    width = after.canal[:, 0].max() - after.canal[:, 0].min()
    assert width == pytest.approx(14.0, abs=0.2)
    assert before.outline == pytest.approx(after.outline)
    grew = width - (before.canal[:, 0].max() - before.canal[:, 0].min())
    assert (after.cortex_mm < before.cortex_mm) == (grew > 0)


@pytest.mark.parametrize(("bone", "mm"), [("tibia", 60.0), ("patella", 5.0), ("ulna", 5.0)])
def test_a_canal_that_cannot_be_is_not_used_and_told(bone: str, mm: float) -> None:
    limb = limb_of("leg", "male", 1750.0, None, (), (), ((bone, mm),))
    assert any(note.startswith(f"canal of {bone} not used") for note in limb.notes)
