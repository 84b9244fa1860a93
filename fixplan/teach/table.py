"""The marks of a class as CSV: a row for each answer, a column for each part of the mark."""

import csv
import io

from fixplan.teach.many import Row
from fixplan.teach.marking import parts_asked
from fixplan.teach.records import Exercise

FIXED = (
    "file",
    "label",
    "mark_percent",
    "passes",
    "tries",
    "first_mark_percent",
    "minutes",
    "remarks",
    "error",
)
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


class MarkTable:
    """Takes rows one by one; credits in percent of each part's weight."""

    def __init__(self, exercise: Exercise) -> None:
        self._ids = parts_asked(exercise)
        self._text = io.StringIO()
        self._rows = csv.writer(self._text, lineterminator="\n")
        self._rows.writerow((*FIXED, *self._ids))

    def add(self, row: Row) -> None:
        """One more answer."""
        mark = row.mark
        if mark is None:
            fixed = [plain(row.file), plain(row.label), "", "", "", "", "", "", plain(row.error)]
            self._rows.writerow((*fixed, *("" for _ in self._ids)))
            return
        credit = {part.id: f"{100 * part.credit:.1f}" for part in mark.parts}
        fixed = [
            plain(row.file),
            plain(row.label),
            f"{mark.percent:.1f}",
            "yes" if mark.passes else "no",
            str(len(row.marks)),
            f"{row.marks[0].percent:.1f}",
            "" if mark.minutes is None else f"{mark.minutes:.1f}",
            plain(" ".join(mark.remarks)),
            "",
        ]
        self._rows.writerow((*fixed, *(credit.get(name, "") for name in self._ids)))

    def content(self) -> bytes:
        """The table as a file's bytes."""
        return self._text.getvalue().encode("utf-8")


def plain(text: str) -> str:
    """The text so that no spreadsheet takes it for a formula."""
    return f"'{text}" if text.startswith(_FORMULA) else text
