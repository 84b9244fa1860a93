"""How the desk looks: paper on a grey-blue desk, the sheet's own font, calm cards at the right.

The desk is light or dark, as the user or the system has it; the sheet is always paper.
"""

from typing import Literal, NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QFont, QPalette, QPixmapCache
from PySide6.QtWidgets import QApplication

from fixplan.case.scalars import Severity
from fixplan.limb.library import resources_dir
from fixplan.sheet.ink import SEVERITY_INK
from fixplan.sheet.paint import load_fonts

ColourChoice = Literal["system", "light", "dark"]
TEXT_PT = 10.0
PAINTED_KB = 160 * 1024


class Colours(NamedTuple):
    """The colours of everything round the sheet.

    `desk` lies under the sheet, `band` behind bars and windows, `field` where something is typed,
    `trough` and `fill` are a bar's, `tick` the mark in a ticked box, `severity` the words and marks
    of findings.
    """

    ink: str
    soft: str
    faint: str
    desk: str
    card: str
    band: str
    field: str
    button: str
    hover: str
    line: str
    mark: str
    grip: str
    strip: str
    strip_line: str
    trough: str
    fill: str
    tick: str
    severity: dict[Severity, str]


LIGHT = Colours(
    ink="#1f2933",
    soft="#52606d",
    faint="#9aa5b1",
    desk="#dbe2e7",
    card="#fbfcfc",
    band="#eef2f4",
    field="#ffffff",
    button="#f7f9fa",
    hover="#e2e8ec",
    line="#c3cad2",
    mark="#1f5f9e",
    grip="#b4bec7",
    strip="#fff6e0",
    strip_line="#d9b44a",
    trough="#e4e9ed",
    fill="#46525e",
    tick="tick_on_light.png",
    severity=SEVERITY_INK,
)
DARK = Colours(
    ink="#e6eaee",
    soft="#b3bdc7",
    faint="#7d8893",
    desk="#171b1f",
    card="#272d33",
    band="#20252a",
    field="#1a1f24",
    button="#313840",
    hover="#363e46",
    line="#48525c",
    mark="#7fb2e5",
    grip="#59646f",
    strip="#463a1c",
    strip_line="#8f7630",
    trough="#3a434c",
    fill="#aeb9c3",
    tick="tick_on_dark.png",
    severity={
        "stop": "#ff9a92",
        "caution": "#e9bd63",
        "note": "#9dbfe0",
        "not assessed": "#b3bdc7",
    },
)


class _Worn:
    """What the application wears now."""

    colours: Colours = LIGHT


def colours() -> Colours:
    """The colours of the desk now; to be asked for at each painting."""
    return _Worn.colours


def _mark(name: str) -> str:
    """The path of a small picture, as a style sheet wants it."""
    return (resources_dir() / "marks" / name).as_posix()


def _style(c: Colours) -> str:
    return f"""
QMainWindow, QDialog {{ background: {c.band}; }}
QToolBar {{ background: {c.band}; border: 0; border-bottom: 1px solid {c.line};
            spacing: 2px; padding: 5px 8px; }}
QToolBar QToolButton {{ padding: 5px 9px; border: 1px solid transparent; border-radius: 5px;
                        color: {c.ink}; }}
QToolBar QToolButton:hover {{ background: {c.hover}; }}
QToolBar QToolButton:checked {{ background: {c.field}; border-color: {c.ink}; font-weight: bold; }}
QToolBar QToolButton:disabled {{ color: {c.faint}; }}
QToolBar QToolButton:focus {{ border-color: {c.mark}; }}
QToolBar QToolButton::menu-indicator {{ image: none; width: 0; }}
QToolBar::separator {{ background: {c.line}; width: 1px; margin: 5px 7px; }}
QMenuBar {{ background: {c.band}; }}
QStatusBar {{ background: {c.band}; border-top: 1px solid {c.line}; color: {c.soft}; }}
QStatusBar::item {{ border: 0; }}
QStatusBar QLabel {{ color: {c.soft}; padding: 1px 6px; }}
QSplitter::handle {{ background: {c.desk}; }}
#column {{ background: {c.desk}; }}
#card {{ background: {c.card}; border: 1px solid {c.line}; border-radius: 7px; }}
#cardTitle {{ font-weight: bold; font-size: {TEXT_PT + 1.5}pt; color: {c.ink}; }}
#fold {{ border: 0; padding: 1px; }}
#fold:focus {{ border: 1px solid {c.mark}; border-radius: 3px; }}
#soft {{ color: {c.soft}; }}
#strip {{ background: {c.strip}; border: 0; border-bottom: 1px solid {c.strip_line}; }}
#message {{ background: {c.strip}; border: 1px solid {c.strip_line}; border-radius: 6px; }}
#message QLabel {{ color: {c.ink}; padding: 2px; }}
QCheckBox::indicator, QRadioButton::indicator {{ width: 13px; height: 13px; background: {c.field};
    border: 1px solid {c.soft}; }}
QCheckBox::indicator {{ border-radius: 3px; }}
QRadioButton::indicator {{ border-radius: 7px; }}
QCheckBox::indicator:focus, QRadioButton::indicator:focus {{ border-color: {c.mark}; }}
QCheckBox::indicator:checked {{ background: {c.mark}; border-color: {c.mark};
    image: url("{_mark(c.tick)}"); }}
QRadioButton::indicator:checked {{ border-color: {c.mark}; background: qradialgradient(cx: 0.5,
    cy: 0.5, radius: 0.5, fx: 0.5, fy: 0.5, stop: 0 {c.mark}, stop: 0.55 {c.mark},
    stop: 0.65 {c.field}, stop: 1 {c.field}); }}
QCheckBox::indicator:disabled, QRadioButton::indicator:disabled {{ border-color: {c.line};
    background: {c.band}; }}
#strip QLabel {{ color: {c.ink}; padding: 4px 2px; }}
#start {{ background: {c.desk}; }}
QScrollArea, QScrollArea > QWidget > QWidget {{ background: transparent; border: 0; }}
QListView {{ background: {c.card}; border: 0; }}
QPushButton {{ padding: 5px 12px; border: 1px solid {c.faint}; border-radius: 5px;
               background: {c.field}; color: {c.ink}; }}
QPushButton:hover {{ background: {c.band}; }}
QPushButton:focus {{ border: 1px solid {c.mark}; }}
QPushButton:default {{ border: 1px solid {c.ink}; font-weight: bold; }}
QPushButton:disabled {{ color: {c.faint}; border-color: {c.line}; background: {c.band}; }}
QScrollBar:vertical {{ background: transparent; width: 10px; margin: 0; }}
QScrollBar::handle:vertical {{ background: {c.grip}; border-radius: 4px; min-height: 28px; }}
QScrollBar::handle:vertical:hover {{ background: {c.faint}; }}
QScrollBar::add-line:vertical, QScrollBar::sub-line:vertical {{ height: 0; }}
QScrollBar::add-page:vertical, QScrollBar::sub-page:vertical {{ background: transparent; }}
QListWidget {{ background: {c.field}; border: 1px solid {c.line}; border-radius: 4px; }}
QListWidget::item {{ padding: 2px 4px; }}
QTableWidget {{ background: {c.field}; gridline-color: {c.line}; border: 1px solid {c.line}; }}
QDialogButtonBox {{ dialogbuttonbox-buttons-have-icons: 0; }}
QToolTip {{ background: {c.field}; color: {c.ink}; border: 1px solid {c.line}; padding: 3px; }}
"""


def dress(application: QApplication, choice: ColourChoice = "light") -> None:
    """Give the application the desk's style, palette and font. Raises LibraryError."""
    _Worn.colours = DARK if _is_dark(application, choice) else LIGHT
    application.setStyle("Fusion")
    application.setPalette(_palette(_Worn.colours))
    font = QFont(load_fonts())
    font.setPointSizeF(TEXT_PT)
    application.setFont(font)
    application.setStyleSheet(_style(_Worn.colours))
    QPixmapCache.setCacheLimit(PAINTED_KB)


def wear(choice: ColourChoice) -> None:
    """Dress the running application. Raises LibraryError."""
    application = QApplication.instance()
    if isinstance(application, QApplication):
        dress(application, choice)


def _is_dark(application: QApplication, choice: ColourChoice) -> bool:
    if choice == "system":
        return application.styleHints().colorScheme() == Qt.ColorScheme.Dark
    return choice == "dark"


def _palette(c: Colours) -> QPalette:
    """A palette of our own, so that a system theme does not mix with it."""
    palette = QPalette()
    roles = {
        QPalette.ColorRole.Window: c.band,
        QPalette.ColorRole.Base: c.field,
        QPalette.ColorRole.AlternateBase: c.band,
        QPalette.ColorRole.Button: c.button,
        QPalette.ColorRole.WindowText: c.ink,
        QPalette.ColorRole.Text: c.ink,
        QPalette.ColorRole.ButtonText: c.ink,
        QPalette.ColorRole.ToolTipBase: c.field,
        QPalette.ColorRole.ToolTipText: c.ink,
        QPalette.ColorRole.PlaceholderText: c.faint,
        QPalette.ColorRole.Highlight: c.mark,
        QPalette.ColorRole.HighlightedText: c.field,
        QPalette.ColorRole.Link: c.mark,
    }
    for role, colour in roles.items():
        palette.setColor(role, QColor(colour))
    off = QPalette.ColorGroup.Disabled
    for role in (
        QPalette.ColorRole.Text,
        QPalette.ColorRole.ButtonText,
        QPalette.ColorRole.WindowText,
    ):
        palette.setColor(off, role, QColor(c.faint))
    return palette
