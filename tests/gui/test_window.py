"""The window's frame: its title, the folders it offers, what fits at a small size."""

from pathlib import Path

from fixplan.case.file import write_case
from fixplan.case.records import Case
from fixplan.limb.library import resources_dir

SAMPLES = resources_dir().parent / "sample_cases"


def offered_folder(hand, answer):
    asked = answer("ask_save_path", None)
    hand.window.files.save_as()
    return asked[0][1][2].parent


def test_the_title_names_the_file_and_the_label(hand, tmp_path):
    assert hand.window.windowTitle() == "not saved yet[*] - fixplan"
    path = tmp_path / "shin.json"
    write_case(Case(side="left", label="Shaft, second look"), path)
    hand.window.open_path(path)
    assert hand.window.windowTitle() == "shin.json[*] (Shaft, second look) - fixplan"


def test_saving_a_case_of_ones_own_offers_its_folder(hand, answer, tmp_path):
    path = tmp_path / "shin.json"
    write_case(Case(side="left"), path)
    hand.window.open_path(path)
    assert offered_folder(hand, answer) == tmp_path


def test_saving_a_sample_never_offers_the_folder_of_the_samples(
    hand, answer, tmp_path, monkeypatch
):
    monkeypatch.setenv("HOME", str(tmp_path))
    hand.window.open_path(SAMPLES / "open-tibial-shaft.json")
    assert SAMPLES not in (offered := offered_folder(hand, answer), *offered.parents)
    assert offered in (tmp_path, tmp_path / "Documents", Path.home())


def test_a_new_case_is_offered_the_folder_of_the_last_one_saved(hand, answer, tmp_path):
    mine = tmp_path / "mine"
    mine.mkdir()
    answer("ask_save_path", mine / "first.json")
    hand.window.files.save()
    hand.window.open_path(SAMPLES / "open-tibial-shaft.json")
    assert offered_folder(hand, answer) == mine
