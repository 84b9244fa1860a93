"""Windows to read in: cautions, keys, conventions, what the program is."""

import msgspec
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from fixplan import __version__
from fixplan.checks.rules import rule_set_version
from fixplan.limb.library import load_toml, read_bytes

EDGE_PX = 40
"""What a window's own frame may take of the screen."""


class ReadingDialog(QDialog):
    """A page to read."""

    def __init__(self, title: str, markdown: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.page = QTextBrowser()
        self.page.setOpenExternalLinks(True)
        self.page.setMarkdown(markdown)
        self.page.setAccessibleName(title)
        self.column = QVBoxLayout(self)
        self.column.addWidget(self.page)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        self.close_button = buttons.button(QDialogButtonBox.StandardButton.Close)
        self.close_button.setText("Close")
        buttons.rejected.connect(self.reject)
        self.column.addWidget(buttons)
        self.fill(92, 34)

    def fill(self, letters: int, lines: int) -> None:
        """Room for so many letters and lines, as far as the screen goes; the buttons stay in it."""
        font, room = self.fontMetrics(), self.screen().availableSize()
        wide = min(letters * font.averageCharWidth(), room.width() - EDGE_PX)
        tall = min(lines * font.height(), room.height() - EDGE_PX)
        self.resize(wide, tall)


def read_help(name: str) -> str:
    """A page of resources/help. Raises LibraryError."""
    return read_bytes(f"help/{name}.md").decode("utf-8")


def cautions_page(cautions: tuple[str, ...]) -> str:
    """The cautions as a page."""
    return "\n".join(["## Before you plan", "", *(f"- {text}" for text in cautions)])


def about_page(cautions: tuple[str, ...]) -> str:
    """Version, licence and cautions."""
    lines = "\n".join(f"- {text}" for text in cautions)
    return (
        f"## fixplan {__version__}\n\nRule set {rule_set_version()}. Apache License 2.0.\n\n"
        f"{lines}\n\nUses Qt for Python (LGPL 3), shapely and numpy (BSD), msgspec (BSD), and the "
        "DejaVu fonts (their own free licence, in resources/fonts)."
    )


def cautions() -> tuple[str, ...]:
    """The cautions that are always shown. Raises LibraryError."""
    return tuple(one.text for one in load_toml("cautions.toml", _CautionFile).caution)


class _Caution(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    id: str
    text: str


class _CautionFile(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    schema: int
    caution: tuple[_Caution, ...]


def show_page(page: str, parent: QWidget) -> None:
    """Show a page of help, `cautions` or `about`. Raises LibraryError."""
    titles = {
        "keys": "Keys and mouse",
        "conventions": "Conventions of the drawing",
        "cautions": "Before you plan",
        "about": "About fixplan",
        "hold_against_experiments": "Firmness beside experiments",
    }
    if page == "cautions":
        text = cautions_page(cautions())
    elif page == "about":
        text = about_page(cautions())
    else:
        text = read_help(page)
    ReadingDialog(titles[page], text, parent).exec()
