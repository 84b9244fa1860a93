"""The mark after handing in: parts, reasons, sources, the picture with the teacher's answer."""

from PySide6.QtCore import QUrl
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QVBoxLayout, QWidget

from fixplan.desk.why_dialog import PicturePage, WhyDialog
from fixplan.sheet.answer_picture import answer_picture
from fixplan.teach.feedback import Feedback
from fixplan.teach.mark_page import WHY_LINK, mark_html
from fixplan.teach.records import Exercise

PICTURE = "picture:answer"
PICTURE_PX = 880


class MarkDialog(QDialog):
    """The mark of the last try beside those before it."""

    def __init__(self, exercise: Exercise, found: Feedback, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Mark")
        self._found = found
        self.page = PicturePage("Mark")
        self.page.setOpenLinks(False)
        self.page.anchorClicked.connect(self._follow)
        drawn = answer_picture(found.drawn, found.model, found.hidden)
        picture = self.page.add_picture(PICTURE, drawn, PICTURE_PX)
        self.page.setHtml(mark_html(exercise, found, picture))
        column = QVBoxLayout(self)
        column.addWidget(self.page)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        column.addWidget(buttons)
        self.resize(PICTURE_PX + 90, 900)

    def why_of(self, link: str) -> WhyDialog | None:
        """The answer behind a link of the page."""
        finding = self._found.told[int(link.removeprefix(WHY_LINK))].finding
        return None if finding is None else WhyDialog(self._found.case, finding, self)

    def _follow(self, link: QUrl) -> None:
        if link.toString().startswith(WHY_LINK):
            dialog = self.why_of(link.toString())
            if dialog is not None:
                dialog.exec()
