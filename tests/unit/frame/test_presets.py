import itertools

import pytest

from fixplan.case.edits import add_candidate
from fixplan.case.meaning import case_problems
from fixplan.case.records import Case, Nail, Plate
from fixplan.errors import EditError
from fixplan.frame.presets import candidate_of_preset, presets, presets_of
from fixplan.limb.scale import limb_of

SIZES = {
    "reference": ("male", 1750.0, 80.0),
    "small": ("female", 1450.0, 45.0),
    "large": ("male", 2050.0, 140.0),
}
LIMBS = {name: limb_of("leg", *size) for name, size in SIZES.items()}
IDS = [one.id for one in presets_of(LIMBS["reference"])]
ALL = [
    (kind, limb_of(kind, *size), one.id)
    for kind in ("leg", "arm", "pelvis")
    for size in SIZES.values()
    for one in presets_of(limb_of(kind, *size))
]


def test_every_preset_is_offered_for_a_limb():
    assert {preset_id for _, _, preset_id in ALL} == {one.id for one in presets()}


@pytest.mark.parametrize(("kind", "limb", "preset_id"), ALL)
def test_a_preset_makes_a_sound_candidate_on_any_limb(kind, limb, preset_id):
    side = "both" if kind == "pelvis" else "right"
    case = add_candidate(Case(limb=kind, side=side), candidate_of_preset(limb, preset_id))
    assert case_problems(case) == ()
    assert case.candidates[0].preset == preset_id
    assert case.candidates[0].label


@pytest.mark.parametrize(("limb", "preset_id"), [rest for _, *rest in ALL])
def test_plates_and_nails_lie_on_their_bone(limb, preset_id):
    for part in candidate_of_preset(limb, preset_id).parts:
        if isinstance(part, Plate | Nail):
            bone = limb.bones[part.bone]
            assert bone.from_mm - 1 <= part.from_mm < part.to_mm <= bone.to_mm + 1


def nail(preset_id: str) -> Nail:
    parts = candidate_of_preset(LIMBS["reference"], preset_id).parts
    return next(part for part in parts if isinstance(part, Nail))


@pytest.mark.parametrize("preset_id", [one for one in IDS if "nail" in one])
def test_entry_and_locking_zones_lie_within_the_nail_and_apart(preset_id):
    one = nail(preset_id)
    zones = sorted([one.entry_zone, *one.locking_zones])
    assert one.from_mm <= zones[0][0]
    assert zones[-1][1] <= one.to_mm
    assert all(first[1] <= second[0] for first, second in itertools.pairwise(zones))


def test_a_nail_is_entered_where_its_name_says():
    assert nail("femur-nail-from-above").entry_zone < nail("femur-nail-from-above").locking_zones[0]
    assert (
        nail("femur-nail-from-the-knee").entry_zone
        > (nail("femur-nail-from-the-knee").locking_zones[1])
    )


def test_presets_of_a_bone_include_those_for_any():
    tibial = {one.id for one in presets("tibia")}
    assert {"plateau-dual-plates", "tibia-nail", "undecided"} <= tibial
    assert "femur-nail-from-above" not in tibial


def test_an_unknown_preset_is_refused_with_the_names_there_are():
    with pytest.raises(EditError, match="tibia-nail"):
        candidate_of_preset(LIMBS["reference"], "hip-screw")
