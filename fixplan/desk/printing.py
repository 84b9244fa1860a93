"""The sheet on a printer, by the same painter as everywhere: the system's dialog, a preview."""

from functools import partial
from typing import Literal

from PySide6.QtCore import QMarginsF, QRectF
from PySide6.QtGui import QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrintDialog, QPrinter, QPrintPreviewDialog
from PySide6.QtWidgets import QDialog, QWidget

from fixplan.errors import FixplanError
from fixplan.sheet.paint import MM_PER_INCH, paint_shapes
from fixplan.sheet.paper import PAPERS, Page, Paper

SIZES = {"A4": QPageSize.PageSizeId.A4, "A3": QPageSize.PageSizeId.A3}
PrintedAs = Literal["A4", "A3", "A3 on two A4"]
PRINTED_AS: dict[PrintedAs, Paper] = {"A4": "A4", "A3": "A3", "A3 on two A4": "A3"}
"""The paper that each way of printing composes the sheet for."""


def set_printer(printer: QPrinter, how: PrintedAs) -> None:
    """Set a printer to the paper that is put in, without margins of its own."""
    paper: Paper = "A3" if how == "A3" else "A4"
    lies = paper == "A3"
    printer.setPageLayout(
        QPageLayout(
            QPageSize(SIZES[paper]),
            QPageLayout.Orientation.Landscape if lies else QPageLayout.Orientation.Portrait,
            QMarginsF(0, 0, 0, 0),
        )
    )
    printer.setFullPage(True)


def ask_printer(paper: Paper, parent: QWidget | None) -> QPrinter | None:
    """A printer set to the paper, or None."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    set_printer(printer, paper)
    dialog = QPrintDialog(printer, parent)
    return printer if dialog.exec() == QDialog.DialogCode.Accepted else None


def preview_pages(pages: tuple[Page, ...], how: PrintedAs, parent: QWidget | None) -> None:
    """Show the pages as they will come out; its print button leads to the system's dialog."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    set_printer(printer, how)
    dialog = QPrintPreviewDialog(printer, parent)
    dialog.setWindowTitle(f"Print on {how}")
    dialog.paintRequested.connect(partial(print_pages, pages, how=how))
    dialog.resize(1000, 800)
    dialog.exec()


def print_pages(
    pages: tuple[Page, ...], printer: QPrinter, *, how: PrintedAs | None = None
) -> None:
    """Send the pages to the printer. Raises FixplanError when it does not take them.

    "A3 on two A4" prints the left and the right half of each page on a sheet of its own.
    """
    painter = QPainter()
    if not painter.begin(printer):
        raise FixplanError(
            f"The printer {printer.printerName() or ''} does not answer; choose another one."
        )
    dots = printer.resolution() / MM_PER_INCH
    for number, (page, from_mm) in enumerate(_sheets(pages, how)):
        if number:
            printer.newPage()
        painter.resetTransform()
        painter.scale(dots, dots)
        if how == "A3 on two A4":
            painter.setClipRect(QRectF(0.0, 0.0, PAPERS["A4"][0], page.height_mm))
        painter.translate(-from_mm, 0.0)
        paint_shapes(painter, page.printed())
    painter.end()


def _sheets(pages: tuple[Page, ...], how: PrintedAs | None) -> list[tuple[Page, float]]:
    """Each page with what of it begins a sheet of paper, mm from its left edge."""
    halves = (0.0, PAPERS["A4"][0]) if how == "A3 on two A4" else (0.0,)
    return [(page, from_mm) for page in pages for from_mm in halves]
