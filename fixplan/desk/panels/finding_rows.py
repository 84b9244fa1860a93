"""The rows of the findings panel: what each says, and how it is painted."""

from collections.abc import Sequence
from typing import Any

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
from fixplan.desk.theme import BAND, INK, LINE, MARK, SOFT_INK
from fixplan.sheet.ink import SEVERITY_INK
from fixplan.sheet.marks import severity_mark
from fixplan.sheet.paint import paint_shapes

FINDING_ROLE = Qt.ItemDataRole.UserRole + 1
WRAP = int(Qt.TextFlag.TextWordWrap)
PAD, BAR, GAP = 9, 5, 3
ROW_SPACE = 6
MARK_PX = 15
Index = QModelIndex | QPersistentModelIndex


def heading_of(finding: Finding) -> str:
    """Severity as a word, then the subject."""
    state = "accepted" if finding.accepted is not None else ""
    word = finding.severity.capitalize()
    return f"{word}{f', {state}' if state else ''} · {finding.subject}"


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
        self._findings: tuple[Finding, ...] = ()

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What is listed."""
        return self._findings

    def put(self, findings: Sequence[Finding]) -> None:
        """List other findings; rows that are alike stay where they are."""
        listed = tuple(findings)
        if len(listed) == len(self._findings):
            before, self._findings = self._findings, listed
            for row, (old, new) in enumerate(zip(before, listed, strict=True)):
                if old != new:
                    self.dataChanged.emit(self.index(row), self.index(row))
            return
        self.beginResetModel()
        self._findings = listed
        self.endResetModel()

    def finding(self, index: Index) -> Finding | None:
        """The finding of a row."""
        return self._findings[index.row()] if index.isValid() else None

    @guarded_with(0)
    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008 (Qt's signature)
        """One row a finding."""
        return 0 if parent.isValid() else len(self._findings)

    @guarded_with(None)
    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """Words for the screen and for a screen reader."""
        finding = self.finding(index)
        if finding is None:
            return None
        if role == FINDING_ROLE:
            return finding
        if role == Qt.ItemDataRole.DisplayRole:
            return heading_of(finding)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{heading_of(finding)}. {' '.join(lines_of(finding))}"
        return None


class FindingDelegate(QStyledItemDelegate):
    """Paints a finding: its mark, its severity as a word, its message, at the list's width."""

    def __init__(self, view: QListView) -> None:
        super().__init__(view)
        self._view = view

    @guarded_with(QSize())
    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """As high as the words need."""
        finding = index.data(FINDING_ROLE)
        width = self._view.viewport().width()
        inner = width - 2 * PAD - BAR - ROW_SPACE
        font = _font_of(option)
        height = _height(_bold(font), heading_of(finding), inner - MARK_PX - 6)
        for line in lines_of(finding):
            height += GAP + _height(font, line, inner)
        return QSize(width, height + 2 * PAD + ROW_SPACE)

    @guarded
    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint the card."""
        finding = index.data(FINDING_ROLE)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        card = _rect_of(option).adjusted(1, 1, -ROW_SPACE, -ROW_SPACE)
        self._paint_card(painter, card, finding, _is_selected(option))
        self._paint_words(painter, card, finding, _font_of(option))
        painter.restore()

    def _paint_card(
        self, painter: QPainter, card: QRect, finding: Finding, is_selected: bool
    ) -> None:
        colour = QColor(SEVERITY_INK[finding.severity])
        painter.setPen(QPen(QColor(MARK if is_selected else LINE), 1.6 if is_selected else 1))
        painter.setBrush(QColor(BAND if is_selected else "#ffffff"))
        painter.drawRoundedRect(QRectF(card), 4, 4)
        if finding.is_open or finding.severity == "note":
            painter.fillRect(QRectF(card.left(), card.top() + 2, BAR, card.height() - 4), colour)

    def _paint_words(self, painter: QPainter, card: QRect, finding: Finding, font: QFont) -> None:
        inner = card.adjusted(PAD + BAR, PAD, -PAD, -PAD)
        _paint_mark(painter, finding, inner.left() + MARK_PX / 2, inner.top() + MARK_PX / 2 + 1)
        bold = _bold(font)
        painter.setFont(bold)
        painter.setPen(QColor(SEVERITY_INK[finding.severity]))
        heading = inner.adjusted(MARK_PX + 6, 0, 0, 0)
        painter.drawText(heading, WRAP, heading_of(finding))
        top = inner.top() + _height(bold, heading_of(finding), heading.width())
        painter.setFont(font)
        for number, line in enumerate(lines_of(finding)):
            painter.setPen(QColor(INK if number == 0 else SOFT_INK))
            height = _height(font, line, inner.width())
            painter.drawText(QRect(inner.left(), top + GAP, inner.width(), height), WRAP, line)
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
