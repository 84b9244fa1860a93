import pytest

from fixplan.errors import FixplanError
from fixplan.sheet.blocks import ALL, NAMES, TITLES, blocks_named


def test_every_block_has_a_title() -> None:
    assert set(TITLES) == set(NAMES)
    assert ALL.names == NAMES


def test_names_are_taken_with_blanks_and_in_any_order() -> None:
    chosen = blocks_named([" trip", "pins", "", "pins "])
    assert chosen.names == ("pins", "trip")
    assert chosen.has("trip")
    assert not chosen.has("bars")


def test_an_unknown_block_is_refused_in_one_sentence() -> None:
    with pytest.raises(FixplanError, match=r"^tripp: is no block of the sheet; the blocks are sec"):
        blocks_named(["tripp"])
