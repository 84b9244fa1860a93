"""Draws resources/pictures/sheet.png, the picture in the README, from a sample case.

QT_QPA_PLATFORM=offscreen python tests/tools/make_picture.py
"""

from pathlib import Path

from fixplan.checks.run import open_case
from fixplan.sheet import paint
from fixplan.sheet.pages import compose
from fixplan.sheet.writing import write_sheet

ROOT = Path(__file__).parents[2]
DPI = 84.0


def main() -> None:
    """Writes the file."""
    application = paint.application_without_window()
    opened = open_case(ROOT / "sample_cases" / "open-tibial-shaft.json")
    (page, *_) = compose(opened.case, opened.findings, "A3")
    write_sheet([page], ROOT / "resources" / "pictures" / "sheet.png", dpi=DPI)
    del application


if __name__ == "__main__":
    main()
