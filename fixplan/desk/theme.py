"""How the desk looks: paper on a grey-blue desk, the sheet's own font, calm cards at the right."""

from PySide6.QtGui import QColor, QFont, QPalette, QPixmapCache
from PySide6.QtWidgets import QApplication

from fixplan.sheet.paint import load_fonts

INK = "#1f2933"
SOFT_INK = "#52606d"
DESK = "#dbe2e7"
CARD = "#fbfcfc"
BAND = "#eef2f4"
LINE = "#c3cad2"
MARK = "#1f5f9e"
TEXT_PT = 10.0
PAINTED_KB = 160 * 1024

STYLE = f"""
QMainWindow, QDialog {{ background: {BAND}; }}
QToolBar {{ background: {BAND}; border: 0; border-bottom: 1px solid {LINE};
            spacing: 2px; padding: 5px 8px; }}
QToolBar QToolButton {{ padding: 5px 9px; border: 1px solid transparent; border-radius: 5px;
                        color: {INK}; }}
QToolBar QToolButton:hover {{ background: #e2e8ec; }}
QToolBar QToolButton:checked {{ background: #ffffff; border-color: {INK}; font-weight: bold; }}
QToolBar QToolButton:disabled {{ color: #9aa5b1; }}
QToolBar QToolButton:focus {{ border-color: {MARK}; }}
QToolBar QToolButton::menu-indicator {{ image: none; width: 0; }}
QToolBar::separator {{ background: {LINE}; width: 1px; margin: 5px 7px; }}
QMenuBar {{ background: {BAND}; }}
QStatusBar {{ background: {BAND}; border-top: 1px solid {LINE}; color: {SOFT_INK}; }}
QStatusBar::item {{ border: 0; }}
QStatusBar QLabel {{ color: {SOFT_INK}; padding: 1px 6px; }}
QSplitter::handle {{ background: {DESK}; }}
#column {{ background: {DESK}; }}
#card {{ background: {CARD}; border: 1px solid {LINE}; border-radius: 7px; }}
#cardTitle {{ font-weight: bold; font-size: {TEXT_PT + 1.5}pt; color: {INK}; }}
#fold {{ border: 0; padding: 1px; }}
#fold:focus {{ border: 1px solid {MARK}; border-radius: 3px; }}
#soft {{ color: {SOFT_INK}; }}
#strip {{ background: #fff6e0; border: 0; border-bottom: 1px solid #d9b44a; }}
#strip QLabel {{ color: {INK}; padding: 4px 2px; }}
#start {{ background: {DESK}; }}
QScrollArea, QScrollArea > QWidget > QWidget {{ background: transparent; border: 0; }}
QListView {{ background: {CARD}; border: 0; }}
QPushButton {{ padding: 5px 12px; border: 1px solid #9aa5b1; border-radius: 5px;
               background: #ffffff; color: {INK}; }}
QPushButton:hover {{ background: {BAND}; }}
QPushButton:focus {{ border: 1px solid {MARK}; }}
QPushButton:default {{ border: 1px solid {INK}; font-weight: bold; }}
QPushButton:disabled {{ color: #9aa5b1; border-color: {LINE}; background: {BAND}; }}
QScrollBar:vertical {{ background: transparent; width: 10px; margin: 0; }}
QScrollBar::handle:vertical {{ background: #b4bec7; border-radius: 4px; min-height: 28px; }}
QScrollBar::handle:vertical:hover {{ background: #9aa5b1; }}
QScrollBar::add-line:vertical, QScrollBar::sub-line:vertical {{ height: 0; }}
QScrollBar::add-page:vertical, QScrollBar::sub-page:vertical {{ background: transparent; }}
QListWidget {{ background: #ffffff; border: 1px solid {LINE}; border-radius: 4px; }}
QListWidget::item {{ padding: 2px 4px; }}
QTableWidget {{ background: #ffffff; gridline-color: {LINE}; border: 1px solid {LINE}; }}
QDialogButtonBox {{ dialogbuttonbox-buttons-have-icons: 0; }}
QToolTip {{ background: #ffffff; color: {INK}; border: 1px solid {LINE}; padding: 3px; }}
"""


def dress(application: QApplication) -> None:
    """Give the application the desk's style, palette and font. Raises LibraryError."""
    application.setStyle("Fusion")
    application.setPalette(_palette())
    font = QFont(load_fonts())
    font.setPointSizeF(TEXT_PT)
    application.setFont(font)
    application.setStyleSheet(STYLE)
    QPixmapCache.setCacheLimit(PAINTED_KB)


def _palette() -> QPalette:
    """A light palette of our own, so that a dark system theme does not mix with white paper."""
    palette = QPalette()
    roles = {
        QPalette.ColorRole.Window: BAND,
        QPalette.ColorRole.Base: "#ffffff",
        QPalette.ColorRole.AlternateBase: BAND,
        QPalette.ColorRole.Button: "#f7f9fa",
        QPalette.ColorRole.WindowText: INK,
        QPalette.ColorRole.Text: INK,
        QPalette.ColorRole.ButtonText: INK,
        QPalette.ColorRole.ToolTipBase: "#ffffff",
        QPalette.ColorRole.ToolTipText: INK,
        QPalette.ColorRole.PlaceholderText: "#7b8794",
        QPalette.ColorRole.Highlight: MARK,
        QPalette.ColorRole.HighlightedText: "#ffffff",
        QPalette.ColorRole.Link: MARK,
    }
    for role, colour in roles.items():
        palette.setColor(role, QColor(colour))
    for role in (QPalette.ColorRole.Text, QPalette.ColorRole.ButtonText):
        palette.setColor(QPalette.ColorGroup.Disabled, role, QColor("#9aa5b1"))
    palette.setColor(QPalette.ColorGroup.Disabled, QPalette.ColorRole.WindowText, QColor("#9aa5b1"))
    return palette
