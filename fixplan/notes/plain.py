"""The plan as plain text and as Markdown."""

import re
from collections.abc import Iterator
from textwrap import wrap

from fixplan.notes.section import Section, Told
from fixplan.notes.sections import closing_lines, sections_of, title_of

WIDTH = 88
_MARKED = re.compile(r"([\\`*_\[\]<>|#])")


def as_text(told: Told) -> str:
    """The plan as text of at most 88 characters a line."""
    lines = [title_of(told.case)]
    for section in sections_of(told):
        lines += ["", section.heading.upper(), *_text_lines(section)]
    lines += ["", *closing_lines(told)]
    return "\n".join(part for line in lines for part in _wrapped(line)) + "\n"


def as_markdown(told: Told) -> str:
    """The plan as Markdown, pins and bars as tables."""
    lines = [f"# {_plain(title_of(told.case))}"]
    for section in sections_of(told):
        lines += ["", f"## {section.heading}", "", *_marked_lines(section)]
    lines += ["", "---", "", *(f"{_plain(line)}  " for line in closing_lines(told))]
    return "\n".join(lines) + "\n"


def _wrapped(line: str) -> list[str]:
    indent = line[: len(line) - len(line.lstrip())]
    return wrap(line, WIDTH, subsequent_indent=f"{indent}  ") or [""]


def _text_lines(section: Section) -> Iterator[str]:
    for row in section.rows:
        pairs = zip(section.columns[1:], row[1:], strict=True)
        yield f"{row[0]}: {'; '.join(column.told.format(cell) for column, cell in pairs if cell)}."
    for number, line in enumerate(section.lines, start=1):
        yield f"{number}. {line}" if section.is_counted else line


def _marked_lines(section: Section) -> Iterator[str]:
    if section.rows:
        yield _table_row(tuple(column.head for column in section.columns))
        yield "|" + " --- |" * len(section.columns)
        yield from (_table_row(row) for row in section.rows)
    for number, line in enumerate(section.lines, start=1):
        indent = "  " if line.startswith(" ") else ""
        mark = f"{number}." if section.is_counted else "-"
        yield f"{indent}{mark} {_plain(line.strip())}"


def _table_row(cells: tuple[str, ...]) -> str:
    return "| " + " | ".join(_plain(cell) for cell in cells) + " |"


def _plain(text: str) -> str:
    """Text that Markdown leaves as it is."""
    return _MARKED.sub(r"\\\1", text)
