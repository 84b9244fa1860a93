"""Trays while they are typed: they come back as they were, and an error names tray and column."""

import pytest
from msgspec.structs import replace

from fixplan.errors import TraysError
from fixplan.kit.drafts import TrayDraft, drafts_of, empty_row, trays_of, with_name_of_its_own
from fixplan.kit.trays import shipped_trays


def row(**cells: str) -> dict[str, str]:
    return {**empty_row(), **cells}


PIN = row(part="half-pin", count="4", diameter_mm="5", length_mm="150")
LEG = TrayDraft(name="Leg A", kind="large leg", rows=(PIN,))


def told(*drafts: TrayDraft) -> str:
    with pytest.raises(TraysError) as problem:
        trays_of(drafts)
    return str(problem.value)


def test_trays_come_back_as_they_were() -> None:
    trays = shipped_trays().trays
    assert trays_of(drafts_of(trays)) == trays


def test_spaces_round_what_is_typed_do_not_count() -> None:
    (tray,) = trays_of([replace(LEG, name=" Leg A ", rows=(row(**{**PIN, "count": " 4 "}),))])
    assert (tray.name, tray.stock[0].count) == ("Leg A", 4)


def test_an_empty_line_is_left_out() -> None:
    (tray,) = trays_of([replace(LEG, rows=(PIN, empty_row()))])
    assert len(tray.stock) == 1


def test_a_tray_without_kind_is_its_own_kind() -> None:
    assert trays_of([replace(LEG, kind="")])[0].kind == "Leg A"


@pytest.mark.parametrize(
    ("cells", "words"),
    [
        ({"count": "-1"}, "Leg A: line 1, Count: -1 is negative"),
        ({"diameter_mm": "4,5"}, "Leg A: line 1, \u00d8 mm: '4,5' has a decimal comma"),
        ({"length_mm": "15 cm"}, "Leg A: line 1, Length mm: '15 cm' is not in mm"),
        ({"part": "nail"}, "Leg A: line 1, Part: 'nail' is no part"),
        ({"length_mm": ""}, "Leg A: line 1, Part: a pin or bar needs a length"),
    ],
)
def test_a_wrong_cell_is_named(cells: dict[str, str], words: str) -> None:
    assert told(replace(LEG, rows=(row(**{**PIN, **cells}),))).startswith(words)


def test_the_same_part_twice_is_refused() -> None:
    assert "line 2 is the same part as line 1" in told(replace(LEG, rows=(PIN, PIN)))


def test_the_same_name_twice_is_refused() -> None:
    assert "Leg a is there twice" in told(LEG, replace(LEG, name="Leg a")) or (
        "Leg A is there twice" in told(LEG, replace(LEG, name="Leg a"))
    )


def test_no_name_and_no_tray_are_refused() -> None:
    assert told(replace(LEG, name=" ")) == "Tray 1 has no name; fill it in."
    assert told() == "There is no tray; add one."


def test_a_copy_gets_a_name_of_its_own() -> None:
    taken = [LEG, replace(LEG, name="Leg A 2")]
    assert with_name_of_its_own(LEG, taken).name == "Leg A 3"
    assert with_name_of_its_own(LEG, []).name == "Leg A"
