"""The page "Rules and sources": searched while one plans, and written as HTML."""

from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from fixplan.case.safe_write import write_safely
from fixplan.desk import dialogs
from fixplan.desk.feature import Feature
from fixplan.desk.settings import Settings
from fixplan.desk.sheet_hold import Attempt
from fixplan.teach.reasons import found_entries, found_grounds
from fixplan.teach.rules_page import entry_html, grounds_html, whole_page

HTML_FILTER = "Page for a browser (*.html)"
NOTHING = "<p>Nothing holds all of these words.</p>"


class DeskFeature(Feature):
    """Shows the page; it stays beside the desk."""

    _shown: "RulesDialog | None" = None

    def rules_and_sources(self) -> None:
        """Show the page, and give its search the keys."""
        if self._shown is None:
            room = self.room
            self._shown = RulesDialog(room.settings, room.attempt, room.window)
        self._shown.show()
        self._shown.activateWindow()
        self._shown.search.setFocus()

    def why_control(self) -> None:
        """Tell what the control with the keys is for; without one, the next that is clicked."""
        from fixplan.desk.control_why import explain_clicked, explain_focused

        if not explain_focused(self.room.window):
            explain_clicked(self.room.window)


class RulesDialog(QDialog):
    """Every rule with its sources, and a search among all their words."""

    def __init__(self, settings: Settings, attempt: Attempt, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Rules and sources")
        self._settings = settings
        self.search = QLineEdit()
        self.search.setPlaceholderText("Words of a rule, an author, a bone, an id")
        self.search.setAccessibleName("Search")
        self.search.setClearButtonEnabled(True)
        self.count = QLabel()
        self.page = QTextBrowser()
        self.page.setOpenExternalLinks(True)
        self.page.setAccessibleName("Rules and sources")
        self.write = QPushButton("Write as HTML…")
        self.write.setAutoDefault(False)
        self.write.setAccessibleDescription("All rules and sources as a page for a browser")
        self.write.clicked.connect(lambda: attempt(self._write))
        head = QHBoxLayout()
        for widget in (self.search, self.count, self.write):
            head.addWidget(widget)
        column = QVBoxLayout(self)
        column.addLayout(head)
        column.addWidget(self.page)
        self.search.textChanged.connect(lambda words: attempt(lambda: self._show(words)))
        width = self.fontMetrics().averageCharWidth()
        self.resize(110 * width, 42 * self.fontMetrics().height())
        self._show("")

    def _show(self, words: str) -> None:
        found = found_entries(words)
        others = found_grounds(words)
        rules = f"{len(found)} rule{'' if len(found) == 1 else 's'}"
        numbers = f"{len(others)} other number{'' if len(others) == 1 else 's'}"
        self.count.setText(f"{rules}, {numbers}")
        entries = "".join(entry_html(one) for one in found)
        self.page.setHtml(f"{entries}{grounds_html(others)}" or NOTHING)

    def _write(self) -> None:
        suggested = self._settings.folder / "rules-and-sources.html"
        path = dialogs.ask_save_path(self, "Write the page", suggested, ".html", HTML_FILTER)
        if path is not None:
            write_safely(path, whole_page().encode("utf-8"))
