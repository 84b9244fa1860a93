"""The sheet on a printer, by the same painter as everywhere."""

from PySide6.QtCore import QMarginsF
from PySide6.QtGui import QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QDialog, QWidget

from fixplan.errors import FixplanError
from fixplan.sheet.paint import MM_PER_INCH, paint_shapes
from fixplan.sheet.paper import Page, Paper

SIZES = {"A4": QPageSize.PageSizeId.A4, "A3": QPageSize.PageSizeId.A3}


def ask_printer(paper: Paper, parent: QWidget | None) -> QPrinter | None:
    """A printer set to the paper, or None."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    lies = paper == "A3"
    printer.setPageLayout(
        QPageLayout(
            QPageSize(SIZES[paper]),
            QPageLayout.Orientation.Landscape if lies else QPageLayout.Orientation.Portrait,
            QMarginsF(0, 0, 0, 0),
        )
    )
    printer.setFullPage(True)
    dialog = QPrintDialog(printer, parent)
    return printer if dialog.exec() == QDialog.DialogCode.Accepted else None


def print_pages(pages: tuple[Page, ...], printer: QPrinter) -> None:
    """Send the pages to the printer. Raises FixplanError when it does not take them."""
    painter = QPainter()
    if not painter.begin(printer):
        raise FixplanError(
            f"The printer {printer.printerName() or ''} does not answer; choose another one."
        )
    dots = printer.resolution() / MM_PER_INCH
    for number, page in enumerate(pages):
        if number:
            printer.newPage()
        painter.resetTransform()
        painter.scale(dots, dots)
        paint_shapes(painter, page.shapes())
    painter.end()
