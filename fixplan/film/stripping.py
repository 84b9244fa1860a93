"""A picture's file without anything but its pixels: no date, place, name, comment or small copy.

Works on the file's own parts, so that the pixels stay as they are. PNG keeps the chunks that its
pixels need (ISO/IEC 15948, 5.6), JPEG the tables and its colour transform (ITU-T T.81, B.1.1.3).
"""

import re

from fixplan.errors import FilmError

PNG_START = b"\x89PNG\r\n\x1a\n"
PNG_KEPT = {b"IHDR", b"PLTE", b"tRNS", b"IDAT", b"IEND"}
JFIF, ADOBE, COMMENT = 0xE0, 0xEE, 0xFE
APPLICATION = range(0xE0, 0xF0)
SCAN, END = 0xDA, 0xD9
_NEXT_MARK = re.compile(rb"\xff[^\x00\xd0-\xd7\xff]")
"""What ends a scan: a mark that is neither a stuffed byte, a restart nor filling (B.1.1.2)."""


def stripped_png(content: bytes, name: str) -> bytes:
    """A PNG file with the chunks of its pixels alone. Raises FilmError when it is not whole."""
    kept, at = [PNG_START], len(PNG_START)
    while at + 12 <= len(content):
        end = at + 12 + int.from_bytes(content[at : at + 4], "big")
        kind = content[at + 4 : at + 8]
        if kind in PNG_KEPT:
            kept.append(content[at:end])
        if kind == b"IEND" and end <= len(content):
            return b"".join(kept)
        at = end
    raise FilmError(f"{name}: ends before the picture does; copy the file again.")


def stripped_jpeg(content: bytes, name: str) -> bytes:
    """A JPEG file without comments and application parts. Raises FilmError when it is not whole.

    What follows the picture's own end goes too: a second picture, a film, a small copy.
    """
    kept, at = [content[:2]], 2
    while at + 2 <= len(content) and content[at] == 0xFF:
        mark = content[at + 1]
        if mark == END:
            return b"".join((*kept, content[at : at + 2]))
        end = at + 2 + int.from_bytes(content[at + 2 : at + 4], "big")
        if mark == SCAN:
            following = _NEXT_MARK.search(content, end)
            end = len(content) if following is None else following.start()
        if _is_kept(mark, content[at + 4 : end]):
            kept.append(content[at:end])
        at = end
    raise FilmError(f"{name}: ends before the picture does; copy the file again.")


def _is_kept(mark: int, body: bytes) -> bool:
    if mark == COMMENT:
        return False
    if mark not in APPLICATION:
        return True
    return (mark == JFIF and body[:5] == b"JFIF\0") or (mark == ADOBE and body[:5] == b"Adobe")
