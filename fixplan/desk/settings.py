"""What the desk remembers between two starts: last cases, paper, window, cautions seen."""

from hashlib import sha256
from pathlib import Path

from PySide6.QtCore import QByteArray, QSettings, QStandardPaths

from fixplan.desk.theme import ColourChoice
from fixplan.limb.library import house_dir, resources_dir
from fixplan.sheet.blocks import NAMES, SheetBlocks
from fixplan.sheet.paper import Paper

RECENT_KEPT = 10


class Settings:
    """Kept in `desk.ini` in the user's own folder of this program."""

    def __init__(self) -> None:
        path = house_dir() / "desk.ini"
        self._kept = QSettings(str(path), QSettings.Format.IniFormat)

    def recent(self) -> list[Path]:
        """The last cases that are still there, newest first."""
        listed = self._kept.value("recent", [])
        names = [listed] if isinstance(listed, str) else listed if isinstance(listed, list) else []
        return [Path(str(name)) for name in names if Path(str(name)).is_file()]

    def add_recent(self, path: Path) -> None:
        """Put a case at the head of the list."""
        whole = path.resolve()
        others = [one for one in self.recent() if one != whole]
        self._kept.setValue("recent", [str(one) for one in [whole, *others][:RECENT_KEPT]])

    @property
    def folder(self) -> Path:
        """Where the last case was."""
        recent = self.recent()
        return recent[0].parent if recent else Path.home()

    def folder_to_save_in(self, path: Path | None) -> Path:
        """The folder of a case; for one that is new or came with the program, the user's own.

        That is where the user last saved, else the folder for documents.
        """
        if path is not None and not path.resolve().is_relative_to(resources_dir().parent):
            return path.parent
        kept = Path(str(self._kept.value("saved in", "")))
        return kept if kept.is_absolute() and kept.is_dir() else _documents()

    def keep_saved_in(self, folder: Path) -> None:
        """Offer this folder for the next new case."""
        self._kept.setValue("saved in", str(folder.resolve()))

    @property
    def paper(self) -> Paper:
        """The paper that the desk shows."""
        return "A4" if self._kept.value("paper") == "A4" else "A3"

    def keep_paper(self, paper: Paper) -> None:
        """Show this paper next time."""
        self._kept.setValue("paper", paper)

    @property
    def colours(self) -> ColourChoice:
        """Whether the desk is light or dark."""
        kept = self._kept.value("colours")
        return "light" if kept == "light" else "dark" if kept == "dark" else "system"

    def keep_colours(self, choice: ColourChoice) -> None:
        """Show the desk like this next time."""
        self._kept.setValue("colours", choice)

    @property
    def blocks(self) -> SheetBlocks:
        """The blocks of the sheet that were chosen last; all unless some were left out."""
        left_out = str(self._kept.value("left out", "")).split("|")
        return SheetBlocks(frozenset(name for name in NAMES if name not in left_out))

    def keep_blocks(self, blocks: SheetBlocks) -> None:
        """Show these blocks next time; one that a later version adds is shown too."""
        self._kept.setValue("left out", "|".join(n for n in NAMES if not blocks.has(n)))

    @property
    def is_snapping(self) -> bool:
        """Whether places snap to whole millimetres."""
        return str(self._kept.value("snap", "true")) != "false"

    def keep_snapping(self, is_on: bool) -> None:
        """Snap next time, or not."""
        self._kept.setValue("snap", "true" if is_on else "false")

    def has_seen(self, cautions: tuple[str, ...]) -> bool:
        """Whether these very cautions have been read."""
        return str(self._kept.value("cautions", "")) == _digest(cautions)

    def keep_seen(self, cautions: tuple[str, ...]) -> None:
        """These cautions have been read."""
        self._kept.setValue("cautions", _digest(cautions))

    def has_left(self, copy: Path) -> bool:
        """Whether the user has put off the question about this recovery copy."""
        return copy.name in str(self._kept.value("left", "")).split("|")

    def keep_left(self, copy: Path) -> None:
        """Do not ask about this recovery copy again by oneself."""
        names = [name for name in str(self._kept.value("left", "")).split("|") if name]
        self._kept.setValue("left", "|".join([*names, copy.name][-50:]))

    @property
    def geometry(self) -> QByteArray | None:
        """Size and place of the last window."""
        kept = self._kept.value("geometry")
        return kept if isinstance(kept, QByteArray) else None

    def keep_geometry(self, geometry: QByteArray) -> None:
        """Open the next window like this."""
        self._kept.setValue("geometry", geometry)


def _documents() -> Path:
    """The user's folder for documents, or home where there is none."""
    place = QStandardPaths.StandardLocation.DocumentsLocation
    found = Path(QStandardPaths.writableLocation(place))
    return found if found.is_dir() else Path.home()


def _digest(texts: tuple[str, ...]) -> str:
    return sha256("\n".join(texts).encode()).hexdigest()[:16]
