"""House rules: which folder may import which, who may import Qt and shapely, and how much."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "fixplan"
LAYERS = (
    "limb",
    "case",
    "geometry",
    "frame",
    "checks",
    "kit",
    "trips",
    "teach",
    "film",
    "sheet",
    "notes",
    "desk",
    "cli",
)
EVERYWHERE = {"errors", ""}
MODULES = sorted(PACKAGE.rglob("*.py"))
RECORD_MODULES = {"scalars", "records"} | {
    path.stem for path in (PACKAGE / "case").glob("*_records.py")
}
QT_MODULES = {PACKAGE / "sheet" / "paint.py"}


def name_of(path: Path) -> str:
    """The dotted name of a module's file."""
    return ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


def layer_of(name: str) -> str:
    """The folder (or top-level module) of a dotted name within the package."""
    return name.split(".")[1] if "." in name else ""


def imports_of(path: Path) -> Iterator[tuple[int, str]]:
    """Line and dotted name of every import in a file, wherever in the file it stands."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}:{node.lineno} imports relatively"
            yield from ((node.lineno, f"{node.module}.{alias.name}") for alias in node.names)


def strays(path: Path) -> list[str]:
    """Imports of the package that run against the order of the layers."""
    own = layer_of(name_of(path))
    if own not in LAYERS:
        return []
    allowed = {*LAYERS[: LAYERS.index(own) + 1], *EVERYWHERE}
    return [
        f"{path.relative_to(ROOT)}:{line} imports {name}"
        for line, name in imports_of(path)
        if name.split(".")[0] == "fixplan"
        and layer_of(name) not in allowed
        and name != "fixplan.__version__"
    ]


def is_qt(path: Path) -> bool:
    return path in QT_MODULES or (PACKAGE / "desk") in path.parents


def outsiders(package: str, allowed: set[Path]) -> list[str]:
    """Places that import an outside package although they may not."""
    return [
        f"{path.relative_to(ROOT)}:{line}"
        for path in MODULES
        if path not in allowed
        for line, name in imports_of(path)
        if name.split(".")[0] == package
    ]


def test_every_folder_has_its_place_in_the_order() -> None:
    folders = {path.parent.relative_to(PACKAGE).parts[0] for path in PACKAGE.glob("*/**/*.py")}
    assert folders <= set(LAYERS)
    assert {path.stem for path in PACKAGE.glob("*.py")} <= {"__init__", "__main__", "cli", "errors"}


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_a_module_imports_its_own_folder_or_an_earlier_one(path: Path) -> None:
    assert strays(path) == []


def test_only_geometry_imports_shapely() -> None:
    assert outsiders("shapely", set((PACKAGE / "geometry").rglob("*.py"))) == []


def test_only_the_desk_and_the_painter_import_qt() -> None:
    assert outsiders("PySide6", {path for path in MODULES if is_qt(path)}) == []


def test_only_outside_libraries_that_are_declared_are_imported() -> None:
    allowed = {
        *sys.stdlib_module_names,
        "fixplan",
        "PySide6",
        "shapely",
        "numpy",
        "msgspec",
        "pydicom",
    }
    strange = {
        f"{path.relative_to(ROOT)}:{line} {name}"
        for path in MODULES
        for line, name in imports_of(path)
        if name.split(".")[0] not in allowed
    }
    assert strange == set()


@pytest.mark.parametrize("stem", sorted(RECORD_MODULES))
def test_records_hold_no_arrays(stem: str) -> None:
    names = [name for _, name in imports_of(PACKAGE / "case" / f"{stem}.py")]
    own = {name.split(".")[2] for name in names if name.startswith("fixplan.")}
    roots = {name.split(".")[0] for name in names}
    assert roots <= {"typing", "msgspec", "fixplan"}
    assert own <= RECORD_MODULES


def test_everything_but_desk_and_painter_imports_without_qt() -> None:
    names = [name_of(path) for path in MODULES if not is_qt(path) and path.stem != "__main__"]
    script = (
        "import importlib, sys\n"
        "sys.modules['PySide6'] = None\n"
        "for name in sys.argv[1:]: importlib.import_module(name)\n"
    )
    told = subprocess.run(
        [sys.executable, "-c", script, *names], capture_output=True, text=True, check=False
    )
    assert told.returncode == 0, told.stderr


@pytest.mark.parametrize("command", ["check", "schema"])
def test_check_and_schema_import_no_qt(command: str) -> None:
    cases = sorted(map(str, (ROOT / "sample_cases").glob("*.json")))[:1]
    script = (
        "import sys\n"
        "from fixplan.cli import main\n"
        "code = main(sys.argv[1:])\n"
        "assert code in (0, 1), code\n"
        "assert not [name for name in sys.modules if name.startswith('PySide6')]\n"
    )
    arguments = [command, *(cases if command == "check" else [])]
    told = subprocess.run(
        [sys.executable, "-c", script, *arguments], capture_output=True, text=True, check=False
    )
    assert told.returncode == 0, told.stderr
    assert told.stdout
