"""House rules: files and functions stay small enough to read at one sitting."""

import ast
from pathlib import Path
from statistics import median, quantiles

ROOT = Path(__file__).parents[1]
MODULES = sorted((ROOT / "fixplan").rglob("*.py"))
LONGEST_FILE = 500
FUNCTION_MEDIAN, FUNCTION_P90 = 10, 30
BANNED_NAMES = ("manager", "helper", "util", "data", "handler", "info")


def functions() -> list[ast.FunctionDef | ast.AsyncFunctionDef]:
    return [
        node
        for path in MODULES
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    ]


def body_lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines of a function's body without its docstring."""
    body = function.body[1:] if ast.get_docstring(function) else function.body
    return (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0


def test_no_file_is_longer_than_500_lines() -> None:
    lengths = {path: len(path.read_text(encoding="utf-8").splitlines()) for path in MODULES}
    assert {path.name: n for path, n in lengths.items() if n > LONGEST_FILE} == {}


def test_functions_are_short() -> None:
    lengths = [body_lines(function) for function in functions()]
    assert median(lengths) < FUNCTION_MEDIAN
    assert quantiles(lengths, n=10)[-1] < FUNCTION_P90


def test_modules_carry_words_of_the_trade() -> None:
    named = [path.stem for path in MODULES]
    assert [stem for stem in named if set(stem.split("_")) & set(BANNED_NAMES)] == []
