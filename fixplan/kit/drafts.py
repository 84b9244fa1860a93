"""Trays while they are edited: text as typed, which need not make sense yet."""

from collections.abc import Iterable, Iterator, Sequence

import msgspec
from msgspec.structs import replace

from fixplan.errors import TraysError
from fixplan.kit.cells import STOCK_COLUMNS, cells_of, stock_from_cells
from fixplan.kit.trays import Stock, Tray, sound, tray_from

Row = dict[str, str]
HEADINGS = {
    "part": "Part",
    "name": "Own name",
    "count": "Count",
    "diameter_mm": "\u00d8 mm",
    "length_mm": "Length mm",
    "thread_mm": "Thread mm",
    "takes_mm": "For mm",
    "bar_mm": "On bars mm",
    "material": "Material",
}


class TrayDraft(msgspec.Struct, frozen=True, kw_only=True):
    """One tray as typed; a row is the text of its cells by column."""

    name: str = ""
    kind: str = ""
    family: str = ""
    place: str = ""
    is_single: bool = False
    is_out: bool = False
    back_at: str = ""
    rows: tuple[Row, ...] = ()


def drafts_of(trays: Iterable[Tray]) -> tuple[TrayDraft, ...]:
    """Trays as text to edit."""
    return tuple(
        TrayDraft(
            name=tray.name,
            kind=tray.kind,
            family=tray.family,
            place=tray.place,
            is_single=tray.is_single,
            is_out=tray.is_out,
            back_at=tray.back_at,
            rows=tuple(cells_of(line) for line in tray.stock),
        )
        for tray in trays
    )


def trays_of(drafts: Sequence[TrayDraft]) -> tuple[Tray, ...]:
    """The trays that were typed. Raises TraysError naming tray, line and column."""
    if not drafts:
        raise TraysError("There is no tray; add one.")
    return sound(tuple(_tray(draft, at) for at, draft in enumerate(drafts, start=1)), "These trays")


def with_name_of_its_own(draft: TrayDraft, drafts: Iterable[TrayDraft]) -> TrayDraft:
    """The draft under a name that no other has: "Leg A 2"."""
    taken = {one.name.casefold() for one in drafts}
    names = (f"{draft.name} {n}" for n in range(2, len(taken) + 3))
    name = draft.name if draft.name.casefold() not in taken else ""
    return replace(draft, name=name or next(x for x in names if x.casefold() not in taken))


def empty_row() -> Row:
    """A line that is still to be filled in."""
    return dict.fromkeys(STOCK_COLUMNS, "")


def _tray(draft: TrayDraft, at: int) -> Tray:
    if not draft.name.strip():
        raise TraysError(f"Tray {at} has no name; fill it in.")
    where = draft.name.strip()
    stock = tuple(_lines(draft, where))
    head = msgspec.structs.asdict(draft)
    head.pop("rows")
    typed = {field: told.strip() if isinstance(told, str) else told for field, told in head.items()}
    typed["kind"] = typed["kind"] or where
    return replace(tray_from(typed, where), stock=stock)


def _lines(draft: TrayDraft, where: str) -> Iterator[Stock]:
    seen: dict[Stock, int] = {}
    for number, row in enumerate(draft.rows, start=1):
        if not any(text.strip() for text in row.values()):
            continue
        line = _line(row, where, number)
        bare = replace(line, count=0)
        if bare in seen:
            raise TraysError(
                f"{where}: line {number} is the same part as line {seen[bare]}; add the counts up"
            )
        seen[bare] = number
        yield line


def _line(row: Row, where: str, number: int) -> Stock:
    """A line of stock; columns are called as in the editor."""
    try:
        return stock_from_cells(row, where, number)
    except TraysError as problem:
        words = str(problem).replace(f"row {number}, column", f"line {number},", 1)
        for column, heading in HEADINGS.items():
            words = words.replace(f"line {number}, {column}:", f"line {number}, {heading}:", 1)
        raise TraysError(words) from problem
