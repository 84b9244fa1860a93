"""The pages as files. Qt is read in only when something is written."""

from collections.abc import Sequence
from pathlib import Path

from fixplan.case.safe_write import write_safely
from fixplan.errors import FixplanError
from fixplan.sheet.paper import Page


def _numbered(path: Path, count: int) -> list[Path]:
    """`OUT-1` ... `OUT-n` where one page is not all."""
    if count == 1:
        return [path]
    return [path.with_name(f"{path.stem}-{number}{path.suffix}") for number in range(1, count + 1)]


def write_sheet(
    pages: Sequence[Page], path: Path, title: str = "", dpi: float = 200.0
) -> tuple[Path, ...]:
    """Writes the pages to .pdf (one file), .svg or .png (one a page); returns the files written.

    Raises FixplanError for another ending, or what the safe writer raises.
    """
    from fixplan.sheet.paint import pdf_bytes, png_bytes, svg_bytes

    ending = path.suffix.lower()
    if ending == ".pdf":
        contents = {path: pdf_bytes(pages, title)}
    elif ending == ".svg":
        contents = {p: svg_bytes(page, title) for p, page in _zip(path, pages)}
    elif ending == ".png":
        contents = {p: png_bytes(page, dpi) for p, page in _zip(path, pages)}
    else:
        raise FixplanError(f"{path}: a sheet ends in .pdf, .svg or .png; choose one of these.")
    for file, content in contents.items():
        write_safely(file, content)
    return tuple(contents)


def _zip(path: Path, pages: Sequence[Page]) -> list[tuple[Path, Page]]:
    return list(zip(_numbered(path, len(pages)), pages, strict=True))
