"""Cases of one patient that name each other's files, told from the folder of the case itself."""

from os.path import relpath
from pathlib import Path, PurePosixPath

from msgspec.structs import replace

from fixplan.case.file import read_case
from fixplan.case.records import Case
from fixplan.case.sound import sound, sound_case
from fixplan.errors import EditError

MM_PER_CM = 10.0


def linked_paths(case: Case, own_path: Path) -> tuple[Path, ...]:
    """The files of the linked cases, whether or not they are there."""
    return tuple(own_path.parent / PurePosixPath(name) for name in case.linked)


def read_linked(own_path: Path, name: str) -> Case:
    """The case in a linked file.

    Raises:
        CaseFileError: the file is not there or holds no case.
    """
    return read_case(own_path.parent / PurePosixPath(name))


def link(case: Case, own_path: Path, other_path: Path) -> Case:
    """Name another case of the same patient.

    Raises:
        EditError: it is the case itself, is named already, or lies where no name leads to it.
    """
    own, other = own_path.resolve(), other_path.resolve()
    if own == other:
        raise EditError(f"{other.name}: this is the case itself; choose another case to link.")
    try:
        name = Path(relpath(other, own.parent)).as_posix()
    except ValueError as problem:
        raise EditError(
            f"{other.name}: lies on another drive; keep linked cases in one folder."
        ) from problem
    if name in case.linked:
        raise EditError(f"{other.name}: is linked already.")
    bigger = replace(case, linked=(*case.linked, name))
    return sound_case(sound(bigger, "The case"))


def size_differences(case: Case, other: Case) -> str:
    """How the sizes of two cases of one patient differ, in words; empty where they agree.

    What only one of them gives is no difference.
    """
    here, there = case.size, other.size
    said = []
    if here.stature_mm and there.stature_mm and here.stature_mm != there.stature_mm:
        said.append(f"stature {_cm(here.stature_mm)} here, {_cm(there.stature_mm)} there")
    if "not given" not in (here.sex, there.sex) and here.sex != there.sex:
        said.append(f"{here.sex} here, {there.sex} there")
    if here.mass_kg and there.mass_kg and here.mass_kg != there.mass_kg:
        said.append(f"{here.mass_kg:g} kg here, {there.mass_kg:g} kg there")
    return "; ".join(said)


def _cm(stature_mm: float) -> str:
    return f"{stature_mm / MM_PER_CM:.0f} cm"


def unlink(case: Case, name: str) -> Case:
    """Forget a linked case; its file stays. Raises EditError when it is not linked."""
    if name not in case.linked:
        raise EditError(f"{name} is not linked; nothing to take away.")
    return replace(case, linked=tuple(other for other in case.linked if other != name))
