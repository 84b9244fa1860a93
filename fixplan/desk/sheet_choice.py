"""What the sheet shows: its blocks chosen with a live preview, and printing with preview."""

from collections.abc import Callable
from typing import get_args

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QImage, QPixmap
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QGroupBox,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from fixplan.case.edits import change_case
from fixplan.case.scalars import VascularOrder
from fixplan.desk.feature import Feature, Room
from fixplan.desk.printing import PRINTED_AS, PrintedAs, preview_pages
from fixplan.sheet.blocks import NAMES, TITLES, BlockName, SheetBlocks
from fixplan.sheet.paint import page_image
from fixplan.sheet.paper import Page, Paper

PREVIEW_DPI = 52.0
VASCULAR_WORDS: dict[VascularOrder, str] = {
    "no repair": "no vessel is repaired",
    "shunt, frame, repair": "shunt, then frame, then repair",
    "frame, repair": "frame, then repair",
}
Compose = Callable[[Paper, SheetBlocks, VascularOrder], tuple[Page, ...]]


class DeskFeature(Feature):
    """The choice of blocks, kept for the next start, and printing with preview."""

    def __init__(self, room: Room) -> None:
        super().__init__(room)
        room.bench.set_blocks(room.settings.blocks)

    def choose_blocks(self) -> None:
        """Ask what the sheet shows, and keep the answer."""
        document = self.room.bench.document
        dialog = SheetChoice(
            self._pages,
            self.room.bench.paper,
            self.room.bench.blocks,
            document.case.vascular_order,
            self.room.window,
        )
        if dialog.exec() != QDialog.DialogCode.Accepted:
            return
        self.room.settings.keep_blocks(dialog.blocks)
        self.room.bench.set_blocks(dialog.blocks)
        case = change_case(document.case, vascular_order=dialog.vascular_order)
        document.commit("Change the order of vessel and frame", case)

    def _pages(self, paper: Paper, blocks: SheetBlocks, order: VascularOrder) -> tuple[Page, ...]:
        case = change_case(self.room.bench.document.case, vascular_order=order)
        return self.room.files.pages(paper, blocks=blocks, case=case)

    def print_a4(self) -> None:
        """Print on A4, after a preview."""
        self._print("A4")

    def print_a3(self) -> None:
        """Print on A3, after a preview."""
        self._print("A3")

    def print_two_a4(self) -> None:
        """Print the A3 sheet as two A4 to be hung side by side, after a preview."""
        self._print("A3 on two A4")

    def _print(self, how: PrintedAs) -> None:
        pages = self.room.files.pages(PRINTED_AS[how])
        self.room.attempt(lambda: preview_pages(pages, how, self.room.window))


class SheetChoice(QDialog):
    """Boxes for the blocks at the left, the pages as they would be printed at the right."""

    def __init__(
        self,
        compose: Compose,
        paper: Paper,
        blocks: SheetBlocks,
        order: VascularOrder,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle("What the sheet shows")
        self._compose = compose
        self.boxes: dict[BlockName, QCheckBox] = {}
        self.paper = _combo("Paper", [("A4 standing", "A4"), ("A3 lying", "A3")], paper)
        shown = [(VASCULAR_WORDS[one], one) for one in get_args(VascularOrder)]
        self.order = _combo("Order of vessel and frame", shown, order)
        self.grey = QCheckBox("As a black-and-white &printer shows it")
        self.said = QLabel()
        self.said.setAccessibleName("Number of pages")
        self.pages = QWidget()
        self._row = QHBoxLayout(self.pages)
        self._row.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(0)
        self._later.timeout.connect(self.show_pages)
        self._lay(blocks)
        self.resize(1180, 760)
        self.show_pages()

    @property
    def blocks(self) -> SheetBlocks:
        """The blocks that are ticked."""
        return SheetBlocks(frozenset(n for n, box in self.boxes.items() if box.isChecked()))

    @property
    def vascular_order(self) -> VascularOrder:
        """How vessel and frame follow each other."""
        order: VascularOrder = self.order.currentData()
        return order

    def show_pages(self) -> None:
        """Draw the pages anew."""
        while self._row.count():
            taken = self._row.takeAt(0)
            old = None if taken is None else taken.widget()
            if old is not None:
                old.setParent(None)
                old.deleteLater()
        pages = self._compose(self.paper.currentData(), self.blocks, self.vascular_order)
        for number, page in enumerate(pages, 1):
            self._row.addWidget(self._picture(page, f"Page {number} of {len(pages)}"))
        detail = len(pages) - 1
        sides = "the wall side alone" if not detail else f"wall side and {detail} detail"
        self.said.setText(f"{len(pages)} page{'s' if detail else ''}: {sides}")

    def _picture(self, page: Page, name: str) -> QLabel:
        ratio = self.devicePixelRatioF()
        image = page_image(page, PREVIEW_DPI * ratio)
        if self.grey.isChecked():
            image = image.convertToFormat(QImage.Format.Format_Grayscale8)
        pixmap = QPixmap.fromImage(image)
        pixmap.setDevicePixelRatio(ratio)
        label = QLabel()
        label.setPixmap(pixmap)
        label.setAccessibleName(name)
        label.setFrameShape(QLabel.Shape.Box)
        return label

    def _lay(self, blocks: SheetBlocks) -> None:
        left = QVBoxLayout()
        left.addWidget(self._blocks_group(blocks))
        for words, widget in (("&Paper", self.paper), ("&Vessel and frame", self.order)):
            label = QLabel(words)
            label.setBuddy(widget)
            left.addWidget(label)
            left.addWidget(widget)
            widget.currentIndexChanged.connect(self._later.start)
        left.addWidget(self.grey)
        self.grey.toggled.connect(self._later.start)
        left.addStretch(1)
        left.addWidget(self.said)
        left.addWidget(self._buttons())
        area = QScrollArea()
        area.setAccessibleName("Preview")
        area.setWidgetResizable(True)
        area.setWidget(self.pages)
        row = QHBoxLayout(self)
        row.addLayout(left)
        row.addWidget(area, 1)

    def _blocks_group(self, blocks: SheetBlocks) -> QGroupBox:
        group = QGroupBox("Beside what is on every sheet")
        column = QVBoxLayout(group)
        for name in NAMES:
            box = self.boxes[name] = QCheckBox(TITLES[name])
            box.setChecked(blocks.has(name))
            box.toggled.connect(self._later.start)
            column.addWidget(box)
        return group

    def _buttons(self) -> QDialogButtonBox:
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.button(QDialogButtonBox.StandardButton.Ok).setText("Keep")
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        return buttons


def _combo(name: str, items: list[tuple[str, str]], shown: str) -> QComboBox:
    combo = QComboBox()
    combo.setAccessibleName(name)
    for words, value in items:
        combo.addItem(words, value)
    combo.setCurrentIndex(max(combo.findData(shown), 0))
    return combo
