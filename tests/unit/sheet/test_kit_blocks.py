"""Parts, trays and drills on the sheet."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from fixplan.case.records import Case
from fixplan.kit.answer import kit_for
from fixplan.kit.tray_files import house_trays
from fixplan.sheet.kit_blocks import LINKED, drill_lines, kit_told
from fixplan.sheet.pages import compose
from fixplan.sheet.shapes import Text


def test_the_sheet_names_the_trays_that_the_kit_opens(tibia: Case) -> None:
    answer = kit_for((tibia,), house_trays())
    told = kit_told(tibia)
    for tray in answer.opened:
        assert tray.name in told.brief[0]
        taken = dict(told.trays)[f"{tray.name}: take"].replace("\u00a0", " ")
        assert all(one.words in taken for one in tray.taken)
    assert told.other == answer.other


def test_each_pin_has_its_drill(tibia: Case) -> None:
    assert drill_lines(tibia) == ("half-pin 5 mm: drill 4.0 mm",)


def test_trays_that_cannot_be_read_are_told_and_the_sheet_is_drawn(
    tibia: Case, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    broken = tmp_path / "trays.toml"
    broken.write_text("schema = ", encoding="utf-8")
    monkeypatch.setenv("FIXPLAN_TRAYS", str(broken))
    page = compose(Case(side="left", pins=tibia.pins), (), "A4")[0]
    said = " ".join(s.text for s in page.groups["table:kit"] if isinstance(s, Text))
    assert "trays.toml" in said


def test_a_linked_case_says_that_its_kit_is_its_own_alone(tibia: Case) -> None:
    assert LINKED not in kit_told(tibia).brief
    assert kit_told(replace(tibia, linked=("other.json",))).brief[-1] == LINKED
