"""The pins in figures: no two figures of a row read as one, and many pins are all told."""

from itertools import pairwise
from pathlib import Path

import pytest
from msgspec.structs import replace

from fixplan.case.file import read_case
from fixplan.case.records import Case
from fixplan.sheet.fonts import text_width_mm
from fixplan.sheet.paper import Paper
from fixplan.sheet.view_plan import pin_lengths
from fixplan.sheet.wall import wall_block
from tests.unit.drawn_cases import CASES
from tests.unit.frame.other_limbs import laid

SAMPLES = sorted(Path("sample_cases").glob("*.json"))
DIGIT_EM = text_width_mm("0", 1.0, True)


def _rows(case: Case, paper: Paper) -> list[list[tuple[float, float, str, float]]]:
    """Figures of each row: left edge, right edge, text, size."""
    block = wall_block(case, pin_lengths(case), {}, paper, 186.0, 3.0)
    rows = []
    for row in block.rows:
        bold = [w for w in row.words if w.bold and w.size_mm > 5.0]
        found = []
        for w in bold:
            wide = text_width_mm(w.text, w.size_mm, True)
            left = w.dx - (wide if w.align == "right" else 0.0)
            found.append((left, left + wide, w.text, w.size_mm))
        rows.append(sorted(found))
    return [row for row in rows if row]


def _many(count: int) -> Case:
    """A drawn case whose first pin is repeated."""
    case = read_case(CASES / "knee-right.json")
    pins = tuple(
        replace(case.pins[0], id=f"pin-{k}", number=k, level_mm=case.pins[0].level_mm + k)
        for k in range(1, count + 1)
    )
    return replace(case, pins=pins, bars=(), last_number=count)


@pytest.mark.parametrize("paper", ["A4", "A3"])
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_diameter_and_a_level_never_read_as_one(path: Path, paper: Paper) -> None:
    rows = _rows(read_case(path), paper)
    assert rows
    for row in rows:
        for (_, right, first, size), (left, _, second, _) in pairwise(row):
            if first.startswith("\u00d8"):
                assert left - right >= 0.4 * DIGIT_EM * size, (first, second)
            assert left > right, (first, second)


@pytest.mark.parametrize("count", [13, 16, 30])
def test_many_pins_are_all_told_with_diameter_and_level(count: int) -> None:
    case = _many(count)
    figures = [one[2] for row in _rows(case, "A4") for one in row]
    assert sorted(int(one) for one in figures[::3]) == list(range(1, count + 1))
    assert len(figures) == 3 * count
    for row in _rows(case, "A4"):
        assert all(left > right for (_, right, *_), (left, *_) in pairwise(row))
        assert row[-1][1] <= 186.0


def test_more_pins_than_have_room_are_in_the_table() -> None:
    block = wall_block(_many(31), pin_lengths(_many(31)), {}, "A4", 186.0, 3.0)
    assert any("31 pins: see the pin table" in w.text for row in block.rows for w in row.words)


def test_a_low_pin_of_the_pelvis_is_told_from_both_spines() -> None:
    case = laid("pelvis-low").case
    block = wall_block(case, pin_lengths(case), {}, "A4", 186.0, 3.0)
    words = [w.text for row in block.rows for w in row.words]
    told = " ".join(words)
    assert "below the right ASIS" in told
    assert "above the right AIIS" in told
    assert "right hip bone" not in told
