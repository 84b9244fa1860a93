"""The answer to "Why?" for a finding or a part of a mark: words, and a diagram of the live case."""

from PySide6.QtCore import QUrl
from PySide6.QtGui import QTextDocument
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QTextBrowser, QVBoxLayout, QWidget

from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.sheet.paint import MM_PER_INCH, page_image
from fixplan.sheet.paper import Page
from fixplan.sheet.why_picture import why_picture
from fixplan.teach.rules_page import why_html

PICTURE_PX = 760
SHARPER = 2.0
PICTURE = "picture:why"


class PicturePage(QTextBrowser):
    """HTML that may hold pictures made from shapes."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setOpenExternalLinks(True)
        self.setAccessibleName(name)

    def add_picture(self, name: str, page: Page, width_px: int = PICTURE_PX) -> str:
        """Keep a picture under a name; returns the HTML that shows it."""
        dpi = SHARPER * width_px * MM_PER_INCH / page.width_mm
        image = page_image(page, dpi)
        self.document().addResource(QTextDocument.ResourceType.ImageResource, QUrl(name), image)
        return f'<p><img src="{name}" width="{width_px}"></p>'


class WhyDialog(QDialog):
    """Why there is a finding."""

    def __init__(self, case: Case, finding: Finding, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Why?")
        self.page = PicturePage("Why?")
        drawn = why_picture(case, finding)
        picture = "" if drawn is None else self.page.add_picture(PICTURE, drawn)
        self.page.setHtml(why_html(finding, picture))
        column = QVBoxLayout(self)
        column.addWidget(self.page)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        column.addWidget(buttons)
        self.resize(PICTURE_PX + 90, 860)
