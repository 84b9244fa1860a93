"""Copy, paste and duplicate; the clipboard carries a thing to other windows too."""

from PySide6.QtCore import QByteArray, QMimeData
from PySide6.QtWidgets import QApplication

from fixplan.case.copying import Copied, copied, decoded, encoded, pasted
from fixplan.case.naming import field_of
from fixplan.desk.bench import Bench
from fixplan.desk.subjects import title_of
from fixplan.errors import EditError

MIME = "application/x-fixplan-thing+json"


class CopyCommands:
    """Each raises EditError when it cannot."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench

    def copy(self) -> None:
        """Put the selected pin, bar or outline on the clipboard."""
        held = QMimeData()
        held.setData(MIME, QByteArray(encoded(self._selected())))
        QApplication.clipboard().setMimeData(held)

    def paste(self) -> None:
        """Add what is on the clipboard."""
        self._add("Paste", _on_clipboard())

    def paste_mirrored(self) -> None:
        """Add what is on the clipboard with medial and lateral changed over."""
        self._add("Paste mirrored", _on_clipboard(), is_mirrored=True)

    def duplicate(self) -> None:
        """Add a copy of the selected thing; the clipboard stays as it is."""
        self._add("Duplicate", self._selected())

    def _selected(self) -> Copied:
        subject = self._bench.selection.subject
        if subject is None:
            raise EditError("Nothing is selected; select a pin, bar or outline to copy.")
        return copied(self._bench.document.case, subject)

    def _add(self, words: str, thing: Copied, *, is_mirrored: bool = False) -> None:
        document = self._bench.document
        case = pasted(document.case, thing, is_mirrored=is_mirrored)
        added = getattr(case, field_of(thing))[-1]
        document.commit(f"{words} {title_of(added)}", case)
        self._bench.selection.select(added.id)


def _on_clipboard() -> Copied:
    held: QMimeData | None = QApplication.clipboard().mimeData()  # None once it was cleared
    return decoded(b"" if held is None else bytes(held.data(MIME).data()))
