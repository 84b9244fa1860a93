"""Draws resources/pictures/desk.png, the window in the README, with a sample case open.

QT_QPA_PLATFORM=offscreen python tests/tools/make_desk_picture.py
"""

import os
import tempfile
from pathlib import Path

from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

ROOT = Path(__file__).parents[2]
SIZE = (1500, 930)


def main() -> None:
    """Writes the file, with no settings of the user's."""
    home = tempfile.mkdtemp()
    os.environ |= {"XDG_CONFIG_HOME": home, "XDG_STATE_HOME": home, "FIXPLAN_HOUSE": ""}
    from fixplan.desk.running import Desk

    desk = Desk()
    window = desk.new_window()
    window.resize(*SIZE)
    window.show()
    window.open_path(ROOT / "sample_cases" / "bicondylar-plateau.json")
    window.selection.select(window.document.case.pins[-1].id)
    for _ in range(5):
        QApplication.processEvents()
    picture = window.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    picture.save(str(ROOT / "resources" / "pictures" / "desk.png"))


if __name__ == "__main__":
    main()
