"""What a control is for, beside it: the one with the keys, or the next one that is clicked."""

from PySide6.QtCore import QPoint
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QAbstractButton, QApplication, QWhatsThis, QWidget

from fixplan.teach.control_why import control_html


def explain_focused(window: QWidget) -> bool:
    """Tell what the control with the keys is for; False where there is none that has an answer."""
    widget = QApplication.focusWidget()
    while widget is not None and widget is not window:
        html = html_of(widget)
        if html:
            at = widget.mapToGlobal(QPoint(0, widget.height()))
            QWhatsThis.showText(at, html, widget)
            return True
        widget = widget.parentWidget()
    return False


def explain_clicked(window: QWidget) -> None:
    """The next click tells what it is on, tools and menu entries too."""
    for widget in window.findChildren(QWidget):
        html = html_of(widget)
        if html:
            widget.setWhatsThis(html)
    for action in window.findChildren(QAction):
        html = control_html((action.objectName(), action.text()), action.toolTip())
        action.setWhatsThis(html)
    QWhatsThis.enterWhatsThisMode()


def html_of(widget: QWidget) -> str:
    """What a control is for; empty for one that is only a frame round others."""
    text = widget.text() if isinstance(widget, QAbstractButton) else ""
    tip = widget.toolTip() or widget.accessibleDescription()
    return control_html((widget.objectName(), widget.accessibleName(), text), tip)
