"""Opening, saving, exporting and recovering the case of one window. Raises; the window tells."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from PySide6.QtWidgets import QWidget

from fixplan.case.file import snapshot_id
from fixplan.case.records import Case
from fixplan.case.recovery import read_copy
from fixplan.desk import dialogs
from fixplan.desk.bench import Bench
from fixplan.desk.recovery import Abandoned
from fixplan.desk.settings import Settings
from fixplan.errors import CaseChangedError, FixplanError
from fixplan.sheet.blocks import SheetBlocks
from fixplan.sheet.pages import compose
from fixplan.sheet.paper import Page, Paper

ENDINGS = {"pdf": "PDF", "svg": "SVG", "png": "PNG, 200 dots per inch"}
PAPER_ORDER: dict[Paper, tuple[Paper, Paper]] = {"A4": ("A4", "A3"), "A3": ("A3", "A4")}


class CaseFiles:
    """The files behind one window's case."""

    def __init__(self, bench: Bench, settings: Settings, parent: QWidget) -> None:
        self._bench = bench
        self._document = bench.document
        self._settings = settings
        self._parent = parent
        self.saver: Callable[[], bool] | None = None
        """What saves instead of a case's file while an exercise is sat; False: not saved."""

    @property
    def name(self) -> str:
        """What the case is called: its label, its file, or that it has neither."""
        path = self._document.path
        return self._document.case.label or (path.stem if path is not None else "New case")

    @property
    def title(self) -> str:
        """The file's name, with the label beside it; Qt marks a changed one at [*]."""
        path = self._document.path
        named = "not saved yet" if path is None else path.name
        label = self._document.case.label
        return f"{named}[*] ({label})" if label else f"{named}[*]"

    def may_leave(self) -> bool:
        """Ask about unsaved changes; False: stay. Raises CaseFileError when saving fails."""
        if not self._document.is_changed:
            return True
        answer = dialogs.ask_unsaved(self._parent, self.name)
        if answer == "save":
            return self.save()
        return answer == "discard"

    def start(self, case: Case) -> None:
        """Begin a new case."""
        self._document.close()
        self._document.start(case)

    def open(self, path: Path) -> None:
        """Open a case file. Raises CaseFileError; the case that was open then stays."""
        self._document.open(path)
        self._settings.add_recent(path)

    def save(self) -> bool:
        """Save to the case's own file, asking for one the first time. Raises FixplanError."""
        if self.saver is not None:
            return self.saver()
        path = self._document.path
        return self.save_as() if path is None else self._write(path)

    def save_as(self) -> bool:
        """Ask for a file and save. Raises CaseFileError."""
        suggested = self._folder() / f"{self._file_stem()}.json"
        path = dialogs.ask_save_path(
            self._parent, "Save the case", suggested, ".json", dialogs.CASE_FILTER
        )
        return path is not None and self._write(path)

    def _write(self, path: Path) -> bool:
        try:
            self._document.save(path)
        except CaseChangedError as problem:
            answer = dialogs.ask_changed_on_disk(self._parent, str(problem))
            if answer == "cancel":
                return False
            if answer == "as":
                return self.save_as()
            self._document.save(path, over_others=True)
        self._settings.add_recent(path)
        self._settings.keep_saved_in(path.parent)
        return True

    def pages(
        self, paper: Paper, *, blocks: SheetBlocks | None = None, case: Case | None = None
    ) -> tuple[Page, ...]:
        """The sheet as it is printed now, with the chosen blocks unless others are given.

        `case` stands in for the open one where a choice is being looked at that changes no finding.
        Raises FilmError when a picture that is to be printed cannot be read.
        """
        from fixplan.desk.film.printed import with_pictures

        now = datetime.now().astimezone()
        document = self._document
        drawn = document.case if case is None else case
        pages = compose(
            drawn,
            document.findings,
            paper,
            printed_at=f"{now:%Y-%m-%d %H:%M %Z}",
            now=now,
            section_at=self._bench.section_at,
            blocks=self._bench.blocks if blocks is None else blocks,
        )
        return with_pictures(pages, drawn, document.path)

    def export(self, ending: str) -> tuple[Path, ...]:
        """Ask for a file and paper, and write the sheet. Raises FixplanError."""
        from fixplan.sheet.writing import write_sheet

        first, second = PAPER_ORDER[self._bench.paper]
        kinds = {f"{paper} {ENDINGS[ending]} (*.{ending})": paper for paper in (first, second)}
        suggested = self._folder() / f"{self._file_stem()}-sheet.{ending}"
        chosen = dialogs.ask_save_kind(
            self._parent, "Write the sheet", suggested, f".{ending}", tuple(kinds)
        )
        if chosen is None:
            return ()
        path, kind = chosen
        if path.suffix.lower() != f".{ending}":
            raise FixplanError(f"{path.name}: this sheet ends in .{ending}; give it that ending.")
        return write_sheet(self.pages(kinds[kind]), path, title=self.name)

    def recover(self, copy: Abandoned) -> None:
        """Go on with a recovered case, which counts as changed. Raises CaseFileError."""
        kept = read_copy(copy.path)
        path = Path(kept.origin) if kept.origin else None
        self._document.restore(kept.case, path, kept.origin_hash or None)
        self._document.write_recovery_now()
        copy.discard()

    def _folder(self) -> Path:
        return self._settings.folder_to_save_in(self._document.path)

    def _file_stem(self) -> str:
        """A name for a file: the case's own, else side, limb and plan.

        Never the label, into which somebody may have typed a name.
        """
        case, path = self._document.case, self._document.path
        return f"{case.side}-{case.limb}-{snapshot_id(case)}" if path is None else path.stem
