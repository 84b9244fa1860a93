"""What the sheet shows, chosen at the desk; printing it."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QDialog, QLabel

from fixplan.desk import sheet_choice
from fixplan.desk.printing import print_pages, set_printer
from fixplan.desk.settings import Settings
from fixplan.desk.sheet_choice import SheetChoice
from fixplan.sheet.blocks import ALL, SheetBlocks


def _dialog(hand, qtbot, monkeypatch, act) -> SheetChoice:
    """Runs the command; `act` stands for the user's hand in the dialog."""
    shown = []

    def answered(dialog) -> int:
        shown.append(dialog)
        qtbot.addWidget(dialog)
        return act(dialog)

    monkeypatch.setattr(SheetChoice, "exec", answered)
    hand.window.actions_by_name["choose_blocks"].trigger()
    (dialog,) = shown
    return dialog


def _pictures(dialog) -> list[str]:
    names = [label.accessibleName() for label in dialog.pages.findChildren(QLabel)]
    return [name for name in names if name.startswith("Page")]


def test_a_block_left_out_leaves_preview_sheet_and_next_start(hand, qtbot, monkeypatch) -> None:
    hand.pin(level=190.0)
    assert any("table:trip" in page.groups for page in hand.window.bench.drawn.pages)

    def act(dialog) -> int:
        before = len(_pictures(dialog))
        for name in ("trip", "kit", "other-kit", "pauses", "counts", "signatures", "pins", "bars"):
            qtbot.keyClick(dialog.boxes[name], Qt.Key.Key_Space)
        dialog.paper.setCurrentIndex(dialog.paper.findData("A4"))
        qtbot.waitUntil(lambda: "2 pages" in dialog.said.text() or before > 2)
        return QDialog.DialogCode.Accepted

    _dialog(hand, qtbot, monkeypatch, act)
    pages = hand.window.bench.drawn.pages
    assert not any("table:trip" in page.groups for page in pages)
    assert not Settings().blocks.has("trip")
    assert Settings().blocks.has("section")


def test_cancel_changes_nothing(hand, qtbot, monkeypatch) -> None:
    hand.pin(level=190.0)
    case = hand.case

    def act(dialog) -> int:
        dialog.boxes["trip"].setChecked(False)
        return QDialog.DialogCode.Rejected

    _dialog(hand, qtbot, monkeypatch, act)
    assert hand.window.bench.blocks == ALL
    assert hand.case is case


def test_the_order_of_vessel_and_frame_is_the_cases(hand, qtbot, monkeypatch) -> None:
    hand.pin(level=190.0)

    def act(dialog) -> int:
        dialog.order.setCurrentIndex(dialog.order.findData("shunt, frame, repair"))
        return QDialog.DialogCode.Accepted

    _dialog(hand, qtbot, monkeypatch, act)
    assert hand.case.vascular_order == "shunt, frame, repair"
    hand.window.bench.document.undo()
    assert hand.case.vascular_order == "no repair"


def test_the_preview_can_be_grey(hand, qtbot, monkeypatch) -> None:
    hand.pin(level=190.0)
    seen = []

    def act(dialog) -> int:
        dialog.grey.setChecked(True)
        dialog.show_pages()
        label = next(x for x in dialog.pages.findChildren(QLabel) if x.pixmap().width())
        seen.append(label.pixmap().toImage().isGrayscale())
        return QDialog.DialogCode.Rejected

    _dialog(hand, qtbot, monkeypatch, act)
    assert seen == [True]


@pytest.mark.parametrize(("how", "sheets"), [("A4", 1), ("A3", 1), ("A3 on two A4", 2)])
def test_each_way_of_printing_fills_its_paper(hand, tmp_path, how, sheets) -> None:
    hand.pin(level=190.0)
    paper = sheet_choice.PRINTED_AS[how]
    pages = hand.window.files.pages(paper, blocks=SheetBlocks(frozenset()))
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "printed.pdf"))
    set_printer(printer, how)
    print_pages(pages, printer, how=how)
    pdf = (tmp_path / "printed.pdf").read_bytes()
    assert pdf.count(b"/Type /Page\n") == sheets * len(pages)
