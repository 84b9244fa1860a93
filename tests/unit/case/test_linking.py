"""Cases of one patient that name each other."""

from pathlib import Path

import pytest

from fixplan.case.file import read_case, write_case
from fixplan.case.linking import link, linked_paths, read_linked, size_differences, unlink
from fixplan.case.records import Case, LimbSize
from fixplan.errors import CaseFileError, EditError

RIGHT = Case(side="right")
LEFT = Case(side="left")


def test_a_case_in_the_same_folder_is_named_by_its_file_alone(tmp_path: Path) -> None:
    own, other = tmp_path / "right.json", tmp_path / "left.json"
    write_case(LEFT, other)
    linked = link(RIGHT, own, other)
    assert linked.linked == ("left.json",)
    assert linked_paths(linked, own) == (other,)
    assert read_linked(own, "left.json") == LEFT


def test_links_are_kept_in_the_file(tmp_path: Path) -> None:
    own = tmp_path / "right.json"
    linked = link(RIGHT, own, tmp_path / "pelvis" / "pelvis.json")
    write_case(linked, own)
    assert read_case(own).linked == ("pelvis/pelvis.json",)


def test_a_case_in_a_neighbouring_folder(tmp_path: Path) -> None:
    linked = link(RIGHT, tmp_path / "a" / "right.json", tmp_path / "b" / "left.json")
    assert linked.linked == ("../b/left.json",)


def test_a_case_cannot_be_linked_to_itself_or_twice(tmp_path: Path) -> None:
    own = tmp_path / "right.json"
    with pytest.raises(EditError, match="the case itself"):
        link(RIGHT, own, own)
    linked = link(RIGHT, own, tmp_path / "left.json")
    with pytest.raises(EditError, match="linked already"):
        link(linked, own, tmp_path / "left.json")


def test_a_missing_file_is_one_sentence(tmp_path: Path) -> None:
    own = tmp_path / "right.json"
    with pytest.raises(CaseFileError, match="there is no such file") as told:
        read_linked(own, "left.json")
    assert "\n" not in str(told.value)


def test_a_link_is_taken_away(tmp_path: Path) -> None:
    linked = link(RIGHT, tmp_path / "right.json", tmp_path / "left.json")
    assert unlink(linked, "left.json") == RIGHT
    with pytest.raises(EditError, match="not linked"):
        unlink(RIGHT, "left.json")


def test_sizes_of_one_patient_that_differ_are_told():
    child = Case(side="right", size=LimbSize(stature_mm=1200))
    man = Case(limb="pelvis", side="both", size=LimbSize(stature_mm=1790, sex="male"))
    assert size_differences(child, man) == "stature 120 cm here, 179 cm there"
    assert size_differences(child, Case(side="left")) == ""
