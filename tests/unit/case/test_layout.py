"""JSON that can be compared line by line."""

import json

import pytest

from fixplan.case.layout import laid_out, packed, plain_numbers


def test_short_things_stay_on_one_line() -> None:
    assert laid_out({"b": [[1.5, 2], [3, 4]], "a": "x"}) == '{"a": "x", "b": [[1.5, 2], [3, 4]]}\n'


def test_long_lists_are_written_one_item_a_line() -> None:
    points = [[index + 0.25, index] for index in range(30)]
    lines = laid_out({"points": points}).splitlines()
    assert "    [7.25, 7]," in lines
    assert len(lines) == 34


def test_what_is_laid_out_reads_back() -> None:
    value = {"ü": [{"deep": [{"er": list(range(60))}]}, [], {}, None, True, "\n"]}
    assert json.loads(laid_out(value)) == value


def test_whole_floats_become_integers() -> None:
    assert packed(plain_numbers({"a": (80.0, 80, -0.0, True, 0.5)})) == '{"a":[80,80,0,true,0.5]}'


def test_a_number_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="JSON compliant"):
        laid_out({"a": float("nan")})
