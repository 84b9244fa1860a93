"""What the first and last bytes of a picture say: its kind, its size, whether its end is there.

Formats as in ISO/IEC 15948 (PNG), ITU-T T.81 (JPEG), TIFF 6.0 and DICOM PS3.10. Nothing is decoded.
"""

import struct
from pathlib import Path
from typing import Literal

import msgspec

from fixplan.errors import FilmError
from fixplan.film.limits import film_limits

Kind = Literal["PNG", "JPEG", "TIFF", "DICOM"]
ENDINGS: dict[Kind, tuple[str, ...]] = {
    "PNG": (".png",),
    "JPEG": (".jpg", ".jpeg"),
    "TIFF": (".tif", ".tiff"),
    "DICOM": (".dcm", ".dicom", ""),
}
HEAD_BYTES = 1 << 20
TAIL_BYTES = 64
_JPEG_SIZES = {0xC0, 0xC1, 0xC2, 0xC3, 0xC5, 0xC6, 0xC7, 0xC9, 0xCA, 0xCB, 0xCD, 0xCE, 0xCF}
_TIFF_WIDTH, _TIFF_HEIGHT = 256, 257


class Header(msgspec.Struct, frozen=True):
    """What kind of picture a file holds; its size in pixels where the first bytes tell it.

    `is_misnamed`: the file's ending is that of another kind.
    """

    kind: Kind
    width_px: int | None
    height_px: int | None
    is_misnamed: bool


def read_header(path: Path) -> Header:
    """The kind and size of a picture.

    Raises:
        FilmError: the file cannot be read, is no picture, is cut off, or claims a size that no
            film has.
    """
    return _judged(path, *_ends_of(path))


def header_of(content: bytes, name: str) -> Header:
    """The same of a picture that is at hand as bytes; `name` names it in the error."""
    return _judged(Path(name), content[:HEAD_BYTES], content[-TAIL_BYTES:], len(content))


def _judged(path: Path, head: bytes, tail: bytes, size: int) -> Header:
    kind = _kind(head)
    if kind is None:
        raise FilmError(f"{path.name}: is no PNG, JPEG, TIFF or DICOM picture; choose one.")
    wide, high = _SIZES[kind](head) or (None, None)
    _judge_size(path, wide, high, size)
    if _is_cut_off(kind, tail):
        raise FilmError(f"{path.name}: ends before the picture does; copy the file again.")
    return Header(kind, wide, high, path.suffix.lower() not in ENDINGS[kind])


def _ends_of(path: Path) -> tuple[bytes, bytes, int]:
    try:
        size = path.stat().st_size
        with path.open("rb") as file:
            head = file.read(HEAD_BYTES)
            file.seek(max(0, size - TAIL_BYTES))
            tail = file.read()
    except OSError as problem:
        raise FilmError(
            f"{path.name}: cannot be read ({problem.strerror}); look where the picture is."
        ) from problem
    if size == 0:
        raise FilmError(f"{path.name}: is empty; copy the file again.")
    return head, tail, size


def _judge_size(path: Path, wide: int | None, high: int | None, size: int) -> None:
    limits = film_limits()
    if size > limits.most_file_bytes:
        raise FilmError(f"{path.name}: has {size // 10**6} MB; export a smaller picture.")
    if wide is None or high is None:
        return
    if wide == 0 or high == 0:
        raise FilmError(f"{path.name}: claims {wide} x {high} pixels; choose another picture.")
    if wide * high > limits.most_pixels:
        raise FilmError(
            f"{path.name}: claims {wide} x {high} pixels, more than "
            f"{limits.most_pixels // 10**6} million; export a smaller picture."
        )


def _kind(head: bytes) -> Kind | None:
    if head.startswith(b"\x89PNG\r\n\x1a\n"):
        return "PNG"
    if head.startswith(b"\xff\xd8\xff"):
        return "JPEG"
    if head[:4] in (b"II*\x00", b"MM\x00*"):
        return "TIFF"
    return "DICOM" if head[128:132] == b"DICM" else None


def _png_size(head: bytes) -> tuple[int, int] | None:
    if head[12:16] != b"IHDR" or len(head) < 24:
        return None
    wide, high = struct.unpack(">II", head[16:24])
    return wide, high


def _jpeg_size(head: bytes) -> tuple[int, int] | None:
    at = 2
    while at + 9 <= len(head) and head[at] == 0xFF:
        mark, length = head[at + 1], int.from_bytes(head[at + 2 : at + 4], "big")
        if mark in _JPEG_SIZES:
            high, wide = struct.unpack(">HH", head[at + 5 : at + 9])
            return wide, high
        at += 2 + length
    return None


def _tiff_size(head: bytes) -> tuple[int, int] | None:
    order = "<" if head[:2] == b"II" else ">"
    (at,) = struct.unpack(order + "I", head[4:8]) if len(head) >= 8 else (len(head),)
    if at + 2 > len(head):
        return None
    (count,) = struct.unpack(order + "H", head[at : at + 2])
    found: dict[int, int] = {}
    for n in range(count):
        entry = head[at + 2 + 12 * n : at + 14 + 12 * n]
        if len(entry) < 12:
            break
        tag, kind = struct.unpack(order + "HH", entry[:4])
        value = entry[8:10] if kind == 3 else entry[8:12]
        found[tag] = int.from_bytes(value, "little" if order == "<" else "big")
    if _TIFF_WIDTH in found and _TIFF_HEIGHT in found:
        return found[_TIFF_WIDTH], found[_TIFF_HEIGHT]
    return None


def _no_size(head: bytes) -> None:  # noqa: ARG001 (a DICOM file tells its size further in)
    return None


def _is_cut_off(kind: Kind, tail: bytes) -> bool:
    if kind == "PNG":
        return b"IEND" not in tail
    return kind == "JPEG" and b"\xff\xd9" not in tail


_SIZES = {"PNG": _png_size, "JPEG": _jpeg_size, "TIFF": _tiff_size, "DICOM": _no_size}
