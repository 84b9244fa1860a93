import pytest

from fixplan.sheet.box import Box
from fixplan.sheet.flow import Flow
from fixplan.sheet.rows import Block, Column, head_row, marked_row, table_row, text_row
from fixplan.sheet.shapes import AnyShape, Text

NARROW = Box(10.0, 10.0, 60.0, 40.0)


def _block(owner: str, count: int, head: bool = False) -> Block:
    rows = tuple(text_row(f"{owner} line {k}", 60.0, 3.0) for k in range(count))
    shown = head_row((Column("No.", 20.0), Column("What", 40.0)), 3.0) if head else None
    return Block(owner, owner.upper(), rows, shown)


def _flow(*blocks: Block, columns: int = 1) -> Flow:
    boxes = [(0, NARROW._replace(x=10.0 + 70.0 * k)) for k in range(columns)]
    flow = Flow(boxes, lambda _page: [NARROW])
    for block in blocks:
        flow.add(block)
    return flow


def _texts(shapes: list[AnyShape]) -> list[str]:
    return [shape.text for shape in shapes if isinstance(shape, Text)]


def test_what_fits_stays_in_the_first_column() -> None:
    flow = _flow(_block("a", 3))
    assert flow.last_page == 0
    assert _texts(flow.pages[0]["a"]) == ["A", "a line 0", "a line 1", "a line 2"]


def test_a_long_block_goes_on_with_its_heading_and_head() -> None:
    flow = _flow(_block("a", 14, head=True))
    first, *others = (_texts(groups["a"]) for groups in flow.pages.values())
    assert others
    assert first[0] == "A"
    assert all(texts[0] == "A, continued" for texts in others)
    assert all("What" in texts for texts in (first, *others))
    lines = [text for texts in (first, *others) for text in texts if text.startswith("a line")]
    assert lines == [f"a line {k}" for k in range(14)]


@pytest.mark.parametrize("count", [1, 5, 9, 30])
def test_nothing_runs_over_the_end_of_a_column(count: int) -> None:
    flow = _flow(_block("a", count), _block("b", count), columns=2)
    for groups in flow.pages.values():
        for shapes in groups.values():
            assert all(s.at[1] <= NARROW.bottom for s in shapes if isinstance(s, Text))


def test_a_heading_is_never_left_alone() -> None:
    flow = _flow(_block("a", 7), _block("b", 4))
    for groups in flow.pages.values():
        for shapes in groups.values():
            assert len(_texts(list(shapes))) > 1


def test_a_table_row_is_as_high_as_its_highest_cell() -> None:
    columns = (Column("A", 20.0), Column("B", 20.0))
    low = table_row(columns, ("one", "two"), 3.0)
    high = table_row(columns, ("one", "two\nthree\nfour"), 3.0)
    assert high.height_mm > low.height_mm + 2 * 3.0


def test_a_finding_row_has_mark_lead_rule_and_message() -> None:
    row = marked_row("stop", True, "Stop · Pin 1", "rule.x", ["It is too near."], 90.0, 2.6)
    assert [word.text for word in row.words] == ["Stop · Pin 1", "It is too near.", "rule.x"]
    assert row.marks[0].severity == "stop"
