"""A fault inside an event handler is told in a sentence; the program and the work go on."""

import ast
import os
import subprocess
import sys
from pathlib import Path

import pytest

import fixplan.desk

ROOT = Path(__file__).parents[2]
DESK = Path(fixplan.desk.__file__).parent


def test_faults_in_mouse_handlers_leave_the_program_alive(tmp_path):
    home = {"XDG_CONFIG_HOME": str(tmp_path), "XDG_STATE_HOME": str(tmp_path), "FIXPLAN_HOUSE": ""}
    case = ROOT / "sample_cases" / "open-tibial-shaft.json"
    done = subprocess.run(
        [sys.executable, "-X", "faulthandler", str(ROOT / "tests/gui/faulty_desk.py"), str(case)],
        env={**os.environ, **home},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    *told, last = done.stdout.splitlines()
    assert last == "alive"
    assert 1 <= len(told) <= 4
    assert all("Something went wrong inside the program" in line for line in told)
    assert all("recovery copy" in line for line in told)
    assert not any("secret" in line for line in told)


def _overrides():
    """Every method in the desk that Qt calls: its name is in Qt's own spelling."""
    for path in sorted(DESK.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef) and node.bases:
                for part in node.body:
                    if isinstance(part, ast.FunctionDef) and part.name not in PURE:
                        is_qts = part.name != part.name.lower() or part.name in SMALL
                        if is_qts and not part.name.startswith("_"):
                            yield pytest.param(part, id=f"{path.stem}.{node.name}.{part.name}")


SMALL = ("event", "paint")
PURE = ("id", "redo", "undo")


@pytest.mark.parametrize("method", list(_overrides()))
def test_every_method_that_qt_calls_is_guarded(method):
    guards = [ast.unparse(one) for one in method.decorator_list]
    assert any(one.startswith("guarded") for one in guards)
