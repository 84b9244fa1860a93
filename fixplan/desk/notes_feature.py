"""The case notes at the desk: the plan in every form that a hospital takes."""

from pathlib import Path

from PySide6.QtWidgets import QMainWindow

from fixplan.case.file import snapshot_id
from fixplan.desk.feature import Feature


class DeskFeature(Feature):
    """Commands that lead from the plan to the case notes."""

    def write_notes(self) -> None:
        """Ask for form and patient, and write the plan."""
        from fixplan.desk.notes_dialog import NotesDialog

        room = self.room
        document = room.bench.document
        dialog = NotesDialog(
            document.case,
            document.findings,
            self._place(),
            room.bench.paper,
            room.window,
            path=document.path,
        )
        dialog.exec()
        if dialog.written:
            self._tell(dialog.written)

    def hand_over(self) -> None:
        """What changed since another version, what was agreed, and pages for who takes over."""
        from fixplan.desk.handover_dialog import HandoverDialog

        HandoverDialog(self.room.bench, self._named_place(), self.room.window).exec()

    def mark_built(self) -> None:
        """Built as drawn or otherwise, and the parts that were used."""
        from fixplan.desk.built_dialog import BuiltDialog

        BuiltDialog(self.room.bench, self._named_place(), self.room.window).exec()

    def build_steps(self) -> None:
        """The build order over the whole screen, one step at a time. Raises EditError."""
        from fixplan.desk.theatre_view import TheatreView

        document = self.room.bench.document
        view = TheatreView(document.case, document.findings, self.room.window)
        view.setGeometry(
            self.room.window.screen().geometry()
        )  # also where no manager of windows is
        view.showFullScreen()

    def _named_place(self) -> tuple[Path, str]:
        """Folder and stem, from the plan's id where there is no file yet."""
        folder, stem = self._place()
        return folder, stem or f"plan-{snapshot_id(self.room.bench.document.case)}"

    def _place(self) -> tuple[Path, str]:
        """Folder and stem to suggest: the case file's own, never the label."""
        path = self.room.bench.document.path
        return (self.room.settings.folder, "") if path is None else (path.parent, path.stem)

    def _tell(self, written: tuple[Path, ...]) -> None:
        names = ", ".join(path.name for path in written)
        if isinstance(self.room.window, QMainWindow):
            words = f"Written: {names} in {written[0].parent}"
            self.room.window.statusBar().showMessage(words, 15000)
