"""The sample cases say what they are there to show."""

import json
from pathlib import Path

import pytest

from fixplan.case.file import encode
from fixplan.checks.not_assessed import partly_assessed_pins, unassessed_pins
from fixplan.checks.run import counts, open_case

FOLDER = Path(__file__).parents[3] / "sample_cases"
PATHS = sorted(FOLDER.glob("*.json"))
TEACHING = "teaching-faults"


def opened(name: str):
    return open_case(FOLDER / f"{name}.json")


@pytest.mark.parametrize("path", [p for p in PATHS if p.stem != TEACHING], ids=lambda p: p.stem)
def test_a_sample_has_no_open_stop(path: Path):
    assert counts(open_case(path).findings)["stop"] == 0


@pytest.mark.parametrize("path", [p for p in PATHS if p.stem != TEACHING], ids=lambda p: p.stem)
def test_every_pin_of_a_sample_has_its_nerves_and_vessels_assessed(path: Path):
    case = open_case(path).case
    assert not unassessed_pins(case)


def test_the_teaching_case_names_the_pins_that_are_not_assessed():
    case = opened(TEACHING).case
    assert [pin.number for pin in unassessed_pins(case)] == [1, 6]
    assert [pin.number for pin in partly_assessed_pins(case)] == [1, 6]


@pytest.mark.parametrize("path", PATHS, ids=lambda p: p.stem)
def test_a_sample_is_stored_as_the_program_writes_it_today(path: Path):
    written = json.loads(encode(open_case(path).case))
    stored = json.loads(path.read_text(encoding="utf-8"))
    assert stored["case"] == written["case"]
    assert stored["version"] == written["version"]


def test_the_teaching_case_has_at_least_six_different_faults():
    found = opened(TEACHING).findings
    assert len({one.rule for one in found if one.severity in ("stop", "caution")}) >= 6
    assert len({one.rule for one in found if one.severity == "stop"}) >= 4


def test_one_sample_is_a_left_leg():
    sides = [open_case(path).case.side for path in PATHS]
    assert "left" in sides
    assert "right" in sides


def test_one_sample_shows_an_accepted_caution_with_its_reason():
    accepted = [one for path in PATHS for one in open_case(path).findings if one.accepted]
    assert accepted
    assert all(len(one.accepted) > 10 for one in accepted)


def test_the_samples_cover_every_limb():
    cases = [open_case(path).case for path in PATHS]
    assert {case.limb for case in cases} == {"leg", "arm", "pelvis"}
    pinned = {pin.bone for case in cases for pin in case.pins}
    assert {"humerus", "ulna", "radius", "metacarpal-2", "calcaneus", "metatarsal-1"} <= pinned
    assert {"ilium-right", "ilium-left"} <= pinned


def test_two_samples_are_one_patient_and_name_each_other():
    linked = {path.name: open_case(path).case.linked for path in PATHS}
    pairs = [(name, other) for name, others in linked.items() for other in others]
    assert pairs
    assert all(name in linked[other] for name, other in pairs)


def test_the_samples_cover_the_usual_injuries():
    cases = {path.stem: open_case(path).case for path in PATHS}
    codes = {f.code[:2] for case in cases.values() for f in case.fractures}
    assert {"32", "41", "42", "43"} <= codes
    plateau = cases["bicondylar-plateau"]
    assert [w.kind for w in plateau.wounds].count("fasciotomy line") == 2
    assert plateau.candidates[0].kind == "dual plate"
    assert any(pin.kind == "through" for pin in cases["pilon-delta"].pins)
