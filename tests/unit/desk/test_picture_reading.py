"""A picture that is brought in: what is said of it, and spoilt ones, by real decoding."""

import struct
import zlib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from fixplan.desk.film.pictures import read_picture
from fixplan.errors import FilmError


def test_what_is_said_does_not_name_the_file(tmp_path: Path) -> None:
    """It is kept in the case, and a file may be named after the patient."""
    path = tmp_path / "quentinella.png"
    Image.new("L", (30, 20), 9).save(path, "JPEG")
    found = read_picture(path)
    assert found.remarks == ("The file is a JPEG picture, whatever its ending says",)


def chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def png(wide: int, high: int, rows: bytes) -> bytes:
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", wide, high, 8, 0, 0, 0, 0))
    start = b"\x89PNG\r\n\x1a\n"
    return start + head + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")


@pytest.mark.qt_log_ignore("JPEG", "directory")  # Qt says it too
@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("short.png", png(200, 200, bytes(201 * 20))),
        ("bomb.png", png(60000, 60000, bytes(1000))),
        ("no-rows.png", png(50, 50, b"")),
        ("noise.tif", b"II*\x00" + bytes(range(256)) * 4),
        ("noise.jpg", b"\xff\xd8\xff\xe0" + bytes(range(200)) + b"\xff\xd9"),
        ("noise.dcm", bytes(128) + b"DICM" + bytes(range(256)) * 4),
    ],
)
def test_a_spoilt_one_is_told_in_one_sentence(tmp_path: Path, name: str, content: bytes) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(FilmError, match=name) as told:
        read_picture(path)
    assert len(str(told.value).splitlines()) == 1


@pytest.mark.parametrize("mode", ["1", "L", "I;16", "RGB", "RGBA", "P", "LA"])
def test_every_kind_of_png_is_grey_or_colour_without_transparency(
    tmp_path: Path, mode: str
) -> None:
    path = tmp_path / "a.png"
    grey = np.tile(np.arange(0, 200, 2, dtype=np.uint8), (40, 1))
    image = Image.fromarray(grey)
    if mode == "I;16":
        image = Image.fromarray(grey.astype(np.uint16) * 256)
    elif mode != "L":
        image = image.convert(mode)
    image.save(path)
    found = read_picture(path).image
    assert not found.hasAlphaChannel()
    assert found.depth() in (8, 32)
    if mode != "1":
        assert found.pixelColor(60, 5).red() == pytest.approx(120, abs=1)
