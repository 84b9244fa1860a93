"""Default pin diameters against published widths and the habit of the trade.

Published: Karakas HM, Harma A. Femoral shaft bowing with age. Diagn Interv Radiol 2008;14:29: mean
mid-shaft width of the adult femur 26.5 mm (men) and 25.6 mm (women), as cited under PD-01; with it
a 6 mm pin fills 23 % and a 5 mm pin 19 to 20 % (arithmetic, rounded to whole percent).
Habit of the trade: adult femur 6 mm, at times 5; tibia 5; calcaneus through-pin 6 or 5
(common practice, no source).
"""

from types import SimpleNamespace

import pytest

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, LimbSize
from fixplan.frame.defaults import customary_bearing, default_diameter, pinned_levels


def bone_of_width(width_mm: float) -> SimpleNamespace:
    """A limb whose bones are that wide at every level."""
    tube = {"femur": SimpleNamespace(is_plate=False)}
    return SimpleNamespace(section=lambda *_: "there", width_mm=lambda *_: width_mm, bones=tube)


@pytest.mark.parametrize(("width_mm", "percent_6", "percent_5"), [(26.5, 23, 19), (25.6, 23, 20)])
def test_the_mean_adult_femur_takes_the_thickest_pin(width_mm, percent_6, percent_5) -> None:
    """PD-01: 6 mm is 23 % and 5 mm 19 % of a mean man's femur; rounded to whole percent."""
    assert round(6 / width_mm * 100) == percent_6
    assert round(5 / width_mm * 100) == percent_5
    assert default_diameter(bone_of_width(width_mm), "femur", 0.0, 0.0) == 6.0


@pytest.mark.parametrize(
    ("width_mm", "expected"), [(20.0, 6.0), (19.9, 5.0), (16.7, 5.0), (12, 5.0)]
)
def test_the_default_changes_at_thirty_percent(width_mm, expected) -> None:
    """6 mm over 30 % of the width is 20 mm; by arithmetic."""
    assert default_diameter(bone_of_width(width_mm), "femur", 0.0, 0.0) == expected


ADULTS = {
    "reference man": (LimbSize(sex="male", stature_mm=1750, mass_kg=80), {6.0}),
    "tall man": (LimbSize(sex="male", stature_mm=1920), {6.0}),
    "woman": (LimbSize(sex="female", stature_mm=1620, mass_kg=62), {6.0, 5.0}),
    "small woman": (LimbSize(sex="female", stature_mm=1500, mass_kg=50), {6.0, 5.0}),
}
HABIT = {"tibia": ("half", {5.0}), "calcaneus": ("through", {6.0, 5.0})}


@pytest.mark.parametrize("adult", ADULTS)
def test_femur_by_the_habit_of_the_trade(adult) -> None:
    """Common practice, no source."""
    size, usual = ADULTS[adult]
    assert chosen(size, "femur", "half") <= usual


@pytest.mark.parametrize("adult", ADULTS)
@pytest.mark.parametrize("bone", HABIT)
def test_tibia_and_heel_by_the_habit_of_the_trade(adult, bone) -> None:
    """Common practice, no source."""
    kind, usual = HABIT[bone]
    assert chosen(ADULTS[adult][0], bone, kind) <= usual


def chosen(size: LimbSize, bone: str, kind: str) -> set[float]:
    """Default diameters over the levels at which the bone is pinned, from the customary side."""
    limb = limb_of_case(Case(side="right", size=size))
    low, high = pinned_levels(limb, bone)
    levels = [low + (high - low) * n / 20 for n in range(21)]
    return {
        default_diameter(limb, bone, level, customary_bearing(limb, bone, level), kind)
        for level in levels
    }
