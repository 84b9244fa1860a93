"""Reading a picture that is brought in, and blacking out words in it."""

from pathlib import Path
from typing import NamedTuple

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QRect
from PySide6.QtGui import QColor, QImage, QImageIOHandler, QImageReader, QImageWriter, QPainter

from fixplan.case.film_records import FilmScale
from fixplan.errors import FilmError
from fixplan.film.dicom import read_dicom
from fixplan.film.headers import Header, read_header
from fixplan.film.limits import film_limits
from fixplan.film.scaling import scale_from_spacing
from fixplan.film.stripping import stripped_jpeg, stripped_png

GREY, COLOUR = QImage.Format.Format_Grayscale8, QImage.Format.Format_RGB32
GREYS = (QImage.Format.Format_Grayscale8, QImage.Format.Format_Grayscale16)
QUICK = 92
"""Quality that Qt takes for little compression of a PNG, which is lossless in any case."""


class Decoded(NamedTuple):
    """A picture as read: its pixels, its kept form, and what is to be said of it.

    `content` are the bytes to keep, `ending` their file's ending; `spacing_mm` a pixel at the
    detector, where the file tells it.
    """

    image: QImage
    content: bytes
    ending: str
    scale: FilmScale | None
    spacing_mm: float | None
    remarks: tuple[str, ...]


def read_picture(path: Path) -> Decoded:
    """A picture of any kind that can be laid under the drawing.

    Raises:
        FilmError: it cannot be read, decoded, or is larger than a film.
    """
    header = read_header(path)
    remarks = _misnamed(header)
    if header.kind == "DICOM":
        return _from_dicom(path, remarks)
    given = path.read_bytes()
    image, is_turned = decoded(given, path.name)
    content, ending = _kept_bytes(given, path.name, header, image, is_turned=is_turned)
    return Decoded(image, content, ending, None, None, remarks)


def picture_of_clipboard(image: QImage) -> Decoded:
    """A pasted picture. Raises FilmError when the clipboard holds none."""
    if image.isNull():
        raise FilmError("The clipboard holds no picture; copy one first.")
    plain = _plain(image)
    return Decoded(plain, png_bytes(plain), ".png", None, None, ())


def blacked_out(image: QImage, boxes: tuple[QRect, ...]) -> QImage:
    """The picture with boxes of black pixels; nothing of what was there is left."""
    made = image.copy()
    painter = QPainter(made)
    for box in boxes:
        painter.fillRect(box, QColor("black"))
    painter.end()
    return made


def png_bytes(image: QImage) -> bytes:
    """A picture's pixels as a PNG file, without any words of its own."""
    store = QByteArray()
    buffer = QBuffer(store)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    bare = QImage(
        image.constBits(), image.width(), image.height(), image.bytesPerLine(), image.format()
    )
    writer = QImageWriter(buffer, b"PNG")
    writer.setQuality(QUICK)
    if not writer.write(bare):
        raise FilmError("The picture cannot be written as PNG; use a smaller one.")
    return bytes(store.data())


def _misnamed(header: Header) -> tuple[str, ...]:
    """Said without the file's name, which may be a patient's: what is said is kept in the case."""
    if not header.is_misnamed:
        return ()
    return (f"The file is a {header.kind} picture, whatever its ending says",)


def decoded(content: bytes, name: str) -> tuple[QImage, bool]:
    """A picture with its turn applied; whether it had one. Raises FilmError naming it."""
    most = film_limits().most_pixels
    QImageReader.setAllocationLimit(most * 4 // 2**20 + 1)
    store = QByteArray(content)
    buffer = QBuffer(store)
    buffer.open(QIODevice.OpenModeFlag.ReadOnly)
    reader = QImageReader(buffer)
    reader.setDecideFormatFromContent(True)
    reader.setAutoTransform(True)
    is_turned = reader.transformation() != QImageIOHandler.Transformation.TransformationNone
    image = reader.read()
    if image.isNull():
        raise FilmError(f"{name}: cannot be decoded; export it again as PNG or JPEG.")
    return _plain(image), is_turned


def _plain(image: QImage) -> QImage:
    """Grey with 8 bits or colour without transparency, over white."""
    is_grey = image.format() in GREYS or image.depth() == 1 or image.allGray()
    if image.hasAlphaChannel():
        paper = QImage(image.size(), COLOUR)
        paper.fill(QColor("white"))
        painter = QPainter(paper)
        painter.drawImage(0, 0, image)
        painter.end()
        image = paper
    return image.convertToFormat(GREY if is_grey else COLOUR)


def _kept_bytes(
    given: bytes, name: str, header: Header, image: QImage, *, is_turned: bool
) -> tuple[bytes, str]:
    if header.kind == "PNG":
        return stripped_png(given, name), ".png"
    if header.kind == "JPEG" and not is_turned:
        return stripped_jpeg(given, name), ".jpg"
    return png_bytes(image), ".png"


def _from_dicom(path: Path, remarks: tuple[str, ...]) -> Decoded:
    found = read_dicom(path)
    rows, columns = found.pixels.shape
    image = QImage(found.pixels.tobytes(), columns, rows, columns, GREY).copy()
    scale = scale_from_spacing(found.spacing_mm, found.spacing_kind)
    at_detector = found.spacing_kind in ("at the detector", "of the scanned film")
    spacing = found.spacing_mm[0] if found.spacing_mm is not None and at_detector else None
    said = (*remarks, *found.remarks)
    return Decoded(image, png_bytes(image), ".png", scale, spacing, said)
