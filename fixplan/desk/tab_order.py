"""Where Tab goes: through groups of widgets in the order of thought, in each as the eye reads.

The order is worked out when Tab is pressed, so that cards may come, go and be laid out anew.
"""

from collections.abc import Iterable

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QRadioButton,
    QScrollArea,
    QWidget,
)

ROW_PX = 10


def tab_stops(group: QWidget) -> list[QWidget]:
    """The widgets in a group that take the keys, in reading order."""
    found = [group, *group.findChildren(QWidget)]
    stops = [(_place(one, group), one) for one in found if _takes_tab(one)]
    rows: list[list[tuple[QPoint, QWidget]]] = []
    for at, one in sorted(stops, key=lambda pair: pair[0].y()):
        if rows and at.y() - rows[-1][0][0].y() < ROW_PX:
            rows[-1].append((at, one))
        else:
            rows.append([(at, one)])
    return [one for row in rows for _, one in sorted(row, key=lambda pair: pair[0].x())]


def step_focus(groups: Iterable[QWidget], *, is_forward: bool) -> bool:
    """Give the keys to the next stop, round and round; False when there is none."""
    stops = [stop for group in groups if group.isVisible() for stop in tab_stops(group)]
    if not stops:
        return False
    now = _holder(QApplication.focusWidget(), stops)
    step = 1 if is_forward else -1
    start = stops.index(now) + step if now is not None else (0 if is_forward else -1)
    give_keys(stops[start % len(stops)], is_forward=is_forward)
    return True


def give_keys(stop: QWidget, *, is_forward: bool = True) -> None:
    """Give the keys to a widget and bring it into sight."""
    reason = Qt.FocusReason.TabFocusReason
    stop.setFocus(reason if is_forward else Qt.FocusReason.BacktabFocusReason)
    parent = stop.parentWidget()
    while parent is not None:
        if isinstance(parent, QScrollArea):
            parent.ensureWidgetVisible(stop)
        parent = parent.parentWidget()


def _takes_tab(one: QWidget) -> bool:
    takes = bool(one.focusPolicy() & Qt.FocusPolicy.TabFocus)
    plain = not isinstance(one, QScrollArea) and one.focusProxy() is None
    return takes and plain and one.isVisible() and one.isEnabled() and not _is_other_radio(one)


def _is_other_radio(one: QWidget) -> bool:
    """Of radio buttons only the chosen one is a stop; arrow keys go to the others."""
    if not isinstance(one, QRadioButton) or one.isChecked():
        return False
    group = one.group()
    buttons: list[QAbstractButton] = [] if group is None else group.buttons()
    return any(other.isChecked() for other in buttons)


def _place(one: QWidget, group: QWidget) -> QPoint:
    return one.mapTo(group, QPoint(0, one.height() // 2)) if one is not group else QPoint(0, 0)


def _holder(now: QWidget | None, stops: list[QWidget]) -> QWidget | None:
    """The stop that has the keys, or that holds what has them."""
    while now is not None and now not in stops:
        now = now.parentWidget()
    return now
