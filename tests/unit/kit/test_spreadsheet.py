"""Trays as CSV: what a spreadsheet may do to the file, and one sentence for what cannot be read."""

import pytest

from fixplan.errors import TraysError
from fixplan.kit.spreadsheet import COLUMNS, csv_of, trays_from_csv
from fixplan.kit.trays import Tray, shipped_trays

HEAD = "tray,kind,family,part,count,diameter_mm,length_mm,takes_mm,bar_mm\n"
PIN = "Leg A,large leg,K,half-pin,4,5,150,,\n"


def read(text: str | bytes) -> tuple[Tray, ...]:
    return trays_from_csv(text.encode() if isinstance(text, str) else text, "trays.csv")


def told(text: str | bytes) -> str:
    with pytest.raises(TraysError) as problem:
        read(text)
    words = str(problem.value)
    assert len(words.splitlines()) == 1
    assert words.startswith("trays.csv: ")
    return words


def test_what_is_written_reads_back_alike() -> None:
    trays = shipped_trays().trays
    assert read(csv_of(trays)) == trays


def test_columns_may_stand_in_any_order_and_be_left_out() -> None:
    (tray,) = read("count,tray,part,length_mm,diameter_mm\n4,Leg A,half-pin,150,5\n")
    assert tray.kind == "Leg A"
    assert tray.stock[0].length_mm == 150


@pytest.mark.parametrize("ends", ["\r\n", "\r", "\n"])
def test_any_line_end_and_a_byte_order_mark_read_alike(ends: str) -> None:
    plain = read(HEAD + PIN)
    assert read(b"\xef\xbb\xbf" + (HEAD + PIN).replace("\n", ends).encode()) == plain


def test_mixed_line_ends_read_alike() -> None:
    mixed = HEAD.replace("\n", "\r\n") + PIN.replace("\n", "\r") + "Leg A,,,bar,2,11,200,,\n"
    assert [line.part for line in read(mixed)[0].stock] == ["half-pin", "bar"]


@pytest.mark.parametrize("separator", [";", "\t"])
def test_semicolons_and_tabs_part_cells_too(separator: str) -> None:
    assert read((HEAD + PIN).replace(",", separator)) == read(HEAD + PIN)


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("Leg A,,K,half-pin,4,0.5 cm,150,,", "row 2, column diameter_mm: '0.5 cm' is not in mm"),
        ("Leg A,,K,half-pin,4,5,6in,,", "row 2, column length_mm: '6in' is not in mm"),
        ("Leg A,,K,half-pin,-4,5,150,,", "row 2, column count: -4 is negative"),
        ("Leg A,,K,half-pin,4.5,5,150,,", "row 2, column count: '4.5' is no whole number"),
        ("Leg A,,K,half-pin,many,5,150,,", "row 2, column count: 'many' is no whole number"),
        ("Leg A,,K,half-pin,,5,150,,", "row 2, column count: '' is no whole number"),
        ('Leg A,,K,half-pin,4,"4,5",150,,', "column diameter_mm: '4,5' has a decimal comma"),
        ("Leg A,,K,half-pin,4,4,50,150,", "row 2, column part: a pin or bar takes nothing"),
        ("Leg A,,K,drill,1,4,150,5,", "row 2, column part: a drill has no length here"),
        ("Leg A,,K,half-pin,4,nan,150,,", "row 2, column diameter_mm: 'nan' is no size"),
        ("Leg A,,K,half-pin,4,1e3,150,,", "row 2, column diameter_mm: '1e3' is no size"),
        ("Leg A,,K,half-pin,4,5,99999,,", "row 2, column length_mm: '99999' is no size from 0"),
        ("Leg A,,K,halfpin,4,5,150,,", "row 2, column part: 'halfpin' is no part"),
        (",,K,half-pin,4,5,150,,", "row 2, column tray: no tray is named"),
        ("Leg A,,K,half-pin,4,5,,,", "row 2, column part: a pin or bar needs a length"),
        ("Leg A,,K,pin-to-bar clamp,4,,,,11", "row 2, column part: a clamp needs what it joins"),
        ("Leg A,,K,pin-to-bar clamp,4,,,6-4,11", "takes_mm runs from 6 down to 4"),
        ("Leg A,,K,half-pin,4,5,150,,,x", "row 2, column 10: the row has 10 cells, the table 9"),
        ("Leg A,,K,half-pin,4,2,5,150,,", "row 2, column 10: the row has 10 cells"),
        ("Leg A,,K,bar,4,1.1,30,,", "row 2, column part: a bar has a diameter_mm of 2 to 20"),
        ("Leg A,,K,half-pin,4,5,15,,", "a half-pin has a length_mm of 20 to 500, not 15; correct"),
    ],
)
def test_a_wrong_cell_is_told_by_row_and_column(row: str, words: str) -> None:
    assert words in told(f"{HEAD}{row}\n")


def test_a_column_in_another_unit_is_refused() -> None:
    words = told("tray,part,count,diameter_cm,length_mm\nLeg A,half-pin,4,0.5,150\n")
    assert "row 1, column 4: diameter_cm is no column" in words
    assert "diameter_mm" in words


def test_a_strange_a_doubled_and_a_missing_column_are_told() -> None:
    assert "colour is no column" in told("tray,part,count,colour\n")
    assert "count is there twice" in told("tray,part,count,count\n")
    assert "the column count is missing" in told("tray,part\n")


def test_a_tray_told_in_two_ways_is_refused() -> None:
    words = told(HEAD + PIN + "Leg A,small arm,K,bar,4,11,150,,\n")
    assert "row 3, column kind: the tray Leg A is told otherwise in row 2" in words
    assert "leg a and Leg A differ in capitals alone" in told(HEAD + PIN + PIN.lower())


def test_a_part_that_stands_twice_in_a_tray_is_refused() -> None:
    words = told(HEAD + PIN + PIN)
    assert "row 3, column part: the same part of Leg A stands in row 2; add the counts up" in words


def test_a_hundred_thousand_rows_are_told_and_not_waited_for() -> None:
    rows = "".join(f"Leg {n},,K,half-pin,4,5,150,,\n" for n in range(100_000))
    assert "holds more than 20000 rows" in told(HEAD + rows)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "has no row of column names"),
        (b"\n\n", "has no row of column names"),
        (b"\xff\xfe" + "tray".encode("utf-16-le"), "not UTF-8"),
        (b"tray;part;count\nM\xfcller;bar;1\n", "not UTF-8"),
        (b'tray,part,count\n"Leg A,bar,1\n', "not sound CSV"),
        (b"x" * 4_000_001, "larger than 4 MB"),
    ],
)
def test_what_is_no_table_is_told(content: bytes, words: str) -> None:
    assert words in told(content)


def test_every_column_is_in_the_template() -> None:
    head = csv_of(shipped_trays().trays).decode("utf-8-sig").splitlines()[0]
    assert head == ",".join(COLUMNS)
