"""The rows of the findings panel: what each says, and how it is painted."""

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from PySide6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRect,
    QRectF,
    QSize,
    Qt,
)
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPen
from PySide6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem

from fixplan.checks.finding import Finding
from fixplan.desk.guard import guarded, guarded_with
from fixplan.desk.theme import colours
from fixplan.sheet.marks import severity_mark
from fixplan.sheet.paint import paint_shapes

ROW_ROLE = Qt.ItemDataRole.UserRole + 1
WRAP = int(Qt.TextFlag.TextWordWrap)
UNCUT = WRAP | int(Qt.TextFlag.TextDontClip)
EDGE_PX = 1
PAD, BAR, GAP = 9, 5, 3
ROW_SPACE = 6
MARK_PX = 15
WAITING_OPACITY = 0.45
Index = QModelIndex | QPersistentModelIndex
Key = tuple[str, tuple[str, ...]]


class Row(NamedTuple):
    """A finding in the list. `is_new`: not there before the last change.

    `waits`: told as it was before what moves now. `about`: the subject in the list's own words.
    """

    finding: Finding
    is_new: bool = False
    waits: bool = False
    about: str = ""

    @property
    def heading(self) -> str:
        """Severity and state as words, then the subject."""
        finding = self.finding
        states = {
            "new": self.is_new,
            "accepted": finding.accepted is not None,
            "as before this move": self.waits,
        }
        words = [finding.severity.capitalize(), *(word for word, holds in states.items() if holds)]
        return f"{', '.join(words)} · {self.about or finding.subject}"


def key_of(finding: Finding) -> Key:
    """What makes a finding the same one after a change."""
    return (finding.rule, finding.subjects)


def subject_words(finding: Finding, pins: Mapping[str, int]) -> str:
    """What a finding is about; of pins that it sets against each other, all are named alike.

    `pins`: the number of each pin by its id.
    """
    numbers = sorted(pins[one] for one in finding.subjects if one in pins)
    if len(numbers) == 2 and finding.subject in (f"Pin {number}" for number in numbers):
        return f"Pins {numbers[0]} and {numbers[1]}"
    return finding.subject


def lines_of(finding: Finding) -> list[str]:
    """What stands under the heading."""
    lines = [finding.message]
    if finding.advice:
        lines.append(f"{finding.advice[0].upper()}{finding.advice[1:]}")
    if finding.accepted is not None:
        lines.append(f"Accepted: {finding.accepted}")
    if finding.reopened:
        lines.append(f"Open again: {finding.reopened}")
    return lines


class FindingRows(QAbstractListModel):
    """The findings of the shown case, in the order of the check."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[Row, ...] = ()

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What is listed."""
        return tuple(row.finding for row in self._rows)

    @property
    def rows(self) -> tuple[Row, ...]:
        """What is listed, with what is said of each."""
        return self._rows

    def put(self, rows: Sequence[Row]) -> None:
        """List other findings; rows that are alike stay where they are."""
        listed = tuple(rows)
        if len(listed) == len(self._rows):
            before, self._rows = self._rows, listed
            for row, (old, new) in enumerate(zip(before, listed, strict=True)):
                if old != new:
                    self.dataChanged.emit(self.index(row), self.index(row))
            return
        self.beginResetModel()
        self._rows = listed
        self.endResetModel()

    def finding(self, index: Index) -> Finding | None:
        """The finding of a row."""
        return self._rows[index.row()].finding if index.isValid() else None

    @guarded_with(0)
    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 (Qt's signature)
        """One row a finding."""
        return 0 if parent.isValid() else len(self._rows)

    @guarded_with(None)
    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Words for the screen and for a screen reader."""
        if not index.isValid():
            return None
        row = self._rows[index.row()]
        if role == ROW_ROLE:
            return row
        if role == Qt.ItemDataRole.DisplayRole:
            return row.heading
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{row.heading}. {' '.join(lines_of(row.finding))}"
        return None


class FindingDelegate(QStyledItemDelegate):
    """Paints a finding: its mark, its severity as a word, its message, at the list's width."""

    def __init__(self, view: QListView) -> None:
        super().__init__(view)
        self._view = view

    @guarded_with(QSize())
    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """As high as the words need."""
        row = index.data(ROW_ROLE)
        finding = row.finding
        width = self._view.viewport().width()
        inner = width - EDGE_PX - ROW_SPACE - 2 * PAD - BAR
        font = _font_of(option)
        height = _height(_bold(font), row.heading, inner - MARK_PX - 6)
        for line in lines_of(finding):
            height += GAP + _height(font, line, inner)
        return QSize(width, height + 2 * PAD + ROW_SPACE + EDGE_PX)

    @guarded
    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint the card."""
        row = index.data(ROW_ROLE)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        card = _rect_of(option).adjusted(EDGE_PX, EDGE_PX, -ROW_SPACE, -ROW_SPACE)
        painter.setOpacity(WAITING_OPACITY if row.waits else 1.0)
        self._paint_card(painter, card, row, _is_selected(option))
        self._paint_words(painter, card, row, _font_of(option))
        painter.restore()

    def _paint_card(self, painter: QPainter, card: QRect, row: Row, is_selected: bool) -> None:
        finding = row.finding
        look = colours()
        colour = QColor(look.severity[finding.severity])
        edge = look.mark if is_selected else look.line
        painter.setPen(QPen(QColor(edge), 1.6 if is_selected else 1))
        painter.setBrush(QColor(look.band if is_selected else look.field))
        painter.drawRoundedRect(QRectF(card), 4, 4)
        if finding.is_open or finding.severity == "note":
            painter.fillRect(QRectF(card.left(), card.top() + 2, BAR, card.height() - 4), colour)

    def _paint_words(self, painter: QPainter, card: QRect, row: Row, font: QFont) -> None:
        finding = row.finding
        inner = card.adjusted(PAD + BAR, PAD, -PAD, -PAD)
        _paint_mark(painter, finding, inner.left() + MARK_PX / 2, inner.top() + MARK_PX / 2 + 1)
        bold = _bold(font)
        painter.setFont(bold)
        painter.setPen(QColor(colours().severity[finding.severity]))
        heading = inner.adjusted(MARK_PX + 6, 0, 0, 0)
        painter.drawText(heading, UNCUT, row.heading)
        top = inner.top() + _height(bold, row.heading, heading.width())
        painter.setFont(font)
        for number, line in enumerate(lines_of(finding)):
            painter.setPen(QColor(colours().ink if number == 0 else colours().soft))
            height = _height(font, line, inner.width())
            painter.drawText(QRect(inner.left(), top + GAP, inner.width(), height), UNCUT, line)
            top += GAP + height


def _paint_mark(painter: QPainter, finding: Finding, x: float, y: float) -> None:
    """The sheet's own mark, at the screen's size."""
    radius_mm = 2.0
    painter.save()
    painter.translate(x, y)
    scale = MARK_PX / (2 * radius_mm)
    painter.scale(scale, scale)
    is_open = finding.accepted is None
    paint_shapes(painter, severity_mark("", finding.severity, (0.0, 0.0), radius_mm, is_open))
    painter.restore()


def _height(font: QFont, text: str, width: int) -> int:
    return QFontMetrics(font).boundingRect(QRect(0, 0, max(width, 40), 4000), WRAP, text).height()


def _bold(font: QFont) -> QFont:
    bold = QFont(font)
    bold.setBold(True)
    return bold


def _font_of(option: QStyleOptionViewItem) -> QFont:
    font: QFont = option.font
    return font


def _rect_of(option: QStyleOptionViewItem) -> QRect:
    rect: QRect = option.rect
    return rect


def _is_selected(option: QStyleOptionViewItem) -> bool:
    state: QStyle.StateFlag = option.state
    return bool(state & QStyle.StateFlag.State_Selected)
