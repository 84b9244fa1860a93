"""A desk whose tools are broken, pressed and dragged many times: run in a process of its own.

Prints each sentence that the user is told, then "alive".
"""

import gc
import sys
from pathlib import Path

from PySide6.QtCore import QEvent, QPointF, Qt, QTimer
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication, QMessageBox

from fixplan.desk.running import Desk

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier


def broken(*_: object) -> None:
    """What a fault in the program is like."""
    raise ZeroDivisionError("secret")


def read_out() -> None:
    """Close the box that tells, and say what it told."""
    box = QApplication.activeModalWidget()
    if isinstance(box, QMessageBox):
        print(box.text())
        box.buttons()[0].click()


def main(case: str) -> None:
    desk = Desk()
    desk.guard.install()
    window = desk.new_window()
    window.resize(1200, 800)
    window.show()
    window.open_path(Path(case))
    window.edits.add_pin("tibia", 100.0)
    reader = QTimer()
    reader.timeout.connect(read_out)
    reader.start(10)
    port = window.view.viewport()
    for name in ("press", "drag", "hover", "release"):
        for round_ in range(4):
            window.pick_tool("pin")
            setattr(window.view.tool, name, broken)
            for kind, held in (
                (QEvent.Type.MouseButtonPress, LEFT),
                (QEvent.Type.MouseMove, LEFT),
                (QEvent.Type.MouseButtonRelease, Qt.MouseButton.NoButton),
                (QEvent.Type.MouseMove, Qt.MouseButton.NoButton),
            ):
                spot = QPointF(200 + round_, 300)
                button = LEFT if kind != QEvent.Type.MouseMove else Qt.MouseButton.NoButton
                QApplication.sendEvent(
                    port, QMouseEvent(kind, spot, QPointF(spot), button, held, NONE)
                )
                QApplication.processEvents()
            gc.collect()
    reader.stop()
    print("alive")
    window.document.close()


main(sys.argv[1])
