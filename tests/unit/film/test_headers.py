"""What is told of a picture before it is decoded; pictures written by Pillow, another library."""

import struct
import zlib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from fixplan.errors import FilmError
from fixplan.film.headers import read_header


@pytest.mark.parametrize(
    ("name", "kind", "mode"),
    [
        ("a.png", "PNG", "L"),
        ("b.png", "PNG", "1"),
        ("c.png", "PNG", "I;16"),
        ("d.jpg", "JPEG", "RGB"),
        ("e.jpeg", "JPEG", "CMYK"),
        ("f.tif", "TIFF", "L"),
    ],
)
def test_kind_and_size_by_another_librarys_files(tmp_path: Path, name, kind, mode) -> None:
    path = tmp_path / name
    Image.new(mode, (321, 123)).save(path)
    found = read_header(path)
    assert (found.kind, found.width_px, found.height_px) == (kind, 321, 123)
    assert not found.is_misnamed


def test_a_wrong_ending_is_noticed(tmp_path: Path) -> None:
    path = tmp_path / "film.jpg"
    Image.new("L", (5, 5)).save(path, format="PNG")
    assert read_header(path).is_misnamed


@pytest.mark.parametrize("name", ["a.png", "a.jpg"])
def test_a_cut_off_picture_is_refused(tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    rows = np.random.default_rng(1).integers(0, 255, (200, 200), dtype=np.uint8)
    Image.fromarray(rows).save(path)
    path.write_bytes(path.read_bytes()[:-500])
    with pytest.raises(FilmError, match=r"ends before the picture does; copy the file again\.$"):
        read_header(path)


def png_claiming(wide: int, high: int) -> bytes:
    def chunk(name: bytes, body: bytes) -> bytes:
        return (
            struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        )

    head = struct.pack(">IIBBBBB", wide, high, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", b"") + chunk(b"IEND", b"")


def test_a_kilobyte_that_claims_4_gigabytes_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "bomb.png"
    path.write_bytes(png_claiming(65536, 65536))
    assert path.stat().st_size < 1024
    with pytest.raises(FilmError, match="claims 65536 x 65536 pixels, more than 250 million"):
        read_header(path)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is empty"),
        (b"%PDF-1.7 and so on", "is no PNG, JPEG, TIFF or DICOM picture"),
        (png_claiming(0, 5), "claims 0 x 5 pixels"),
    ],
)
def test_other_bad_files_are_told_in_one_sentence(tmp_path: Path, content, words) -> None:
    path = tmp_path / "film.png"
    path.write_bytes(content)
    with pytest.raises(FilmError, match=words):
        read_header(path)


def test_a_missing_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(FilmError, match=r"gone\.png: cannot be read"):
        read_header(tmp_path / "gone.png")
