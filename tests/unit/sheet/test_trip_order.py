"""The order of the trip: what a case asks for, in the order that its vessels need."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from fixplan.case.file import read_case
from fixplan.case.records import Case, Fracture, Wound
from fixplan.kit.other_kit import other_kit
from fixplan.sheet.trip_order import pauses, trip_steps, trip_texts

SAMPLES = Path(__file__).parents[3] / "sample_cases"


def _ids(case: Case) -> list[str]:
    return [step.id for step in trip_steps(case)]


def _closed() -> Case:
    fracture = Fracture(
        id="fracture-1", bone="tibia", from_mm=150.0, to_mm=180.0, open_grade="closed"
    )
    return Case(side="left", fractures=(fracture,))


def test_an_open_fracture_is_washed_before_the_frame(tibia: Case) -> None:
    found = _ids(tibia)
    wanted = ["position", "imager", "tourniquet", "preparation", "extension", "bone-ends"]
    wanted += ["washout", "fresh", "frame", "film"]
    assert [one for one in found if one in wanted] == wanted
    assert found[-1] == "pulses"


def test_a_closed_fracture_has_no_wound_to_extend() -> None:
    assert not {"extension", "bone-ends", "washout", "fresh", "frame"} & set(_ids(_closed()))


@pytest.mark.parametrize(
    ("order", "wanted"),
    [
        ("no repair", ["frame"]),
        ("shunt, frame, repair", ["shunt", "frame", "repair"]),
        ("frame, repair", ["frame", "repair"]),
    ],
)
def test_shunt_frame_and_repair_come_as_chosen(tibia: Case, order: str, wanted: list[str]) -> None:
    found = _ids(replace(tibia, vascular_order=order))
    assert [one for one in found if one in ("shunt", "frame", "repair")] == wanted


@pytest.mark.parametrize("limb", ["leg", "arm", "pelvis"])
def test_every_limb_is_positioned_once(limb: str) -> None:
    side = "both" if limb == "pelvis" else "left"
    titles = [step.title for step in trip_steps(Case(side=side, limb=limb))]
    assert titles.count("Position and table") == 1
    assert titles.count("Imager") == 1
    assert ("Foot" in titles) == (limb == "leg")
    assert ("Tourniquet" in titles) == (limb != "pelvis")


@pytest.mark.parametrize(
    ("name", "id_", "kit"),
    [
        ("humeral-shaft", "tourniquet-field", "Sterile tourniquet"),
        ("open-femoral-shaft", "tourniquet-field", "Sterile tourniquet"),
        ("open-tibial-shaft", "tourniquet", "Tourniquet, to hand"),
        ("distal-radius-wrist", "tourniquet", "Tourniquet, to hand"),
        ("open-book-pelvis", "", ""),
    ],
)
def test_no_cuff_is_asked_for_where_the_pins_go_in(name: str, id_: str, kit: str) -> None:
    case = read_case(SAMPLES / f"{name}.json")
    told = [step for step in trip_steps(case) if step.title == "Tourniquet"]
    assert [step.id for step in told] == ([id_] if id_ else [])
    assert all(step.text.startswith("None beforehand") == ("field" in id_) for step in told)
    asked = [one for one in other_kit((case,)) if "ourniquet" in one]
    assert [one.startswith(kit) for one in asked] == ([True] if kit else [])


def test_three_pauses_with_what_a_frame_adds(tibia: Case) -> None:
    told = pauses(tibia)
    assert [one.name for one in told] == ["Sign In", "Time Out", "Sign Out"]
    said = " ".join(item for one in told for item in one.items)
    for must in (
        "RIGHT",
        "Antibiotic given at",
        "Tourniquet",
        "later plate or nail",
        "Pins counted",
    ):
        assert must in said
    assert "Pulses" in told[-1].items[-2]


def test_no_placeholder_is_left_open(tibia: Case) -> None:
    case = replace(tibia, vascular_order="shunt, frame, repair")
    texts = [step.text for step in trip_steps(case)]
    texts += [item for one in pauses(case) for item in one.items]
    assert not [text for text in texts if "{" in text or "}" in text]
    assert all(step.evidence for step in trip_texts().step)


def test_a_closed_fracture_with_a_release_or_a_blister_is_not_washed_out() -> None:
    line = ((0.0, 100.0), (0.0, 200.0))
    release = Wound(id="wound-1", segment="leg", view="front", kind="fasciotomy line", line=line)
    case = replace(_closed(), wounds=(release,))
    assert not {"extension", "bone-ends", "washout"} & set(_ids(case))
    assert any("Vacuum" in one for one in other_kit((case,)))


def test_a_torn_artery_is_told_until_its_order_is_chosen(tibia: Case) -> None:
    torn = replace(tibia.fractures[0], open_grade="IIIC")
    case = replace(tibia, fractures=(torn, *tibia.fractures[1:]), vascular_order="no repair")
    assert "torn" in _ids(case)
    assert any("Vascular set" in one for one in other_kit((case,)))
    assert "torn" not in _ids(replace(case, vascular_order="shunt, frame, repair"))
    assert "torn" not in _ids(tibia)
