"""Shapes to a QPainter, and pages to PDF, SVG and PNG; the screen uses the same `paint_shapes`.

The painter's unit is the page millimetre. Text goes at 0.1 mm, because a font's pixel size is
whole; kerning and ligatures are off, so that widths are those of `fonts.py`.
"""

import functools
from collections.abc import Iterable, Sequence

from PySide6.QtCore import (
    QBuffer,
    QByteArray,
    QIODevice,
    QLineF,
    QMarginsF,
    QPointF,
    QRectF,
    QSize,
    QSizeF,
    Qt,
)
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontDatabase,
    QGuiApplication,
    QImage,
    QPagedPaintDevice,
    QPageSize,
    QPainter,
    QPainterPath,
    QPdfWriter,
    QPen,
    QPolygonF,
)
from PySide6.QtSvg import QSvgGenerator

from fixplan.errors import LibraryError
from fixplan.limb.library import resources_dir
from fixplan.sheet.fonts import FAMILY, TEXT_UNIT_MM, text_width_mm
from fixplan.sheet.hatch import hatch_dots, hatch_lines
from fixplan.sheet.ink import DASHES_MM
from fixplan.sheet.paper import Page
from fixplan.sheet.shapes import (
    Disc,
    Fill,
    Line,
    Picture,
    Point,
    Polygon,
    Printed,
    Stroke,
    Text,
)
from fixplan.sheet.svg_text import mended_svg

MM_PER_INCH = 25.4
PDF_DPI = 1200
SVG_DPI = 254


def application_without_window() -> QGuiApplication:
    """The running application, or a new one that opens no window; keep it while painting."""
    running = QGuiApplication.instance()
    return running if isinstance(running, QGuiApplication) else QGuiApplication(["fixplan"])


@functools.cache
def load_fonts() -> str:
    """Makes the bundled fonts known to Qt; returns the family. Needs a running application.

    Raises LibraryError when a font file is missing or unreadable.
    """
    for name in ("DejaVuSansCondensed", "DejaVuSansCondensed-Bold", "DejaVuSansCondensed-Oblique"):
        path = resources_dir() / "fonts" / f"{name}.ttf"
        if QFontDatabase.addApplicationFont(str(path)) < 0:
            raise LibraryError(f"{path}: the font cannot be read; install the program again.")
    return FAMILY


@functools.cache
def _font(size_units: int, bold: bool, italic: bool) -> QFont:
    font = QFont(load_fonts())
    font.setPixelSize(size_units)
    font.setBold(bold)
    font.setItalic(italic)
    font.setKerning(False)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    for feature in ("liga", "clig"):
        font.setFeature(QFont.Tag(feature), 0)
    return font


@functools.cache
def _colour(name: str) -> QColor:
    return QColor(name)


@functools.lru_cache(maxsize=256)
def _pen(stroke: Stroke) -> QPen:
    pen = QPen(_colour(stroke.colour), stroke.width_mm)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    dashes = DASHES_MM.get(stroke.dash)
    if dashes is not None:
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        pen.setDashPattern([length / stroke.width_mm for length in dashes])
    return pen


def _set_ink(painter: QPainter, stroke: Stroke | None, fill: Fill | None) -> None:
    painter.setPen(Qt.PenStyle.NoPen if stroke is None else _pen(stroke))
    tint = fill.tint if fill is not None else None
    painter.setBrush(Qt.BrushStyle.NoBrush if tint is None else QBrush(_colour(tint)))


def _polygon(points: Iterable[Point]) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in points])


def _paint_outline(painter: QPainter, shape: Polygon) -> None:
    if not shape.holes:
        painter.drawPolygon(_polygon(shape.points))
        return
    path = QPainterPath()
    for ring in (shape.points, *shape.holes):
        path.addPolygon(_polygon(ring))
        path.closeSubpath()
    painter.drawPath(path)


def _paint_hatch(painter: QPainter, shape: Polygon, fill: Fill) -> None:
    lines = [QLineF(*a, *b) for a, b in hatch_lines(shape)]
    if lines:
        painter.setPen(_pen(Stroke(fill.colour, 0.13)))
        painter.drawLines(lines)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QBrush(_colour(fill.colour)))
    for x, y in hatch_dots(shape):
        painter.drawEllipse(QPointF(x, y), 0.2, 0.2)


def _paint_polygon(painter: QPainter, shape: Polygon) -> None:
    if shape.fill is None or shape.fill.hatch == "none":
        _set_ink(painter, shape.stroke, shape.fill)
        _paint_outline(painter, shape)
        return
    _set_ink(painter, None, shape.fill)
    _paint_outline(painter, shape)
    _paint_hatch(painter, shape, shape.fill)
    _set_ink(painter, shape.stroke, None)
    _paint_outline(painter, shape)


def _paint_disc(painter: QPainter, shape: Disc) -> None:
    _set_ink(painter, shape.stroke, shape.fill)
    painter.drawEllipse(QPointF(*shape.centre), shape.radius_mm, shape.radius_mm)


def _paint_line(painter: QPainter, shape: Line) -> None:
    painter.setPen(_pen(shape.stroke))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPolyline(_polygon(shape.points))


_SHIFT = {"left": 0.0, "centre": -0.5, "right": -1.0}


def _paint_text(painter: QPainter, shape: Text) -> None:
    width_mm = text_width_mm(shape.text, shape.size_mm, shape.bold, shape.italic)
    painter.save()
    painter.translate(*shape.at)
    painter.rotate(shape.turn_deg)
    painter.scale(TEXT_UNIT_MM, TEXT_UNIT_MM)
    painter.setFont(_font(round(shape.size_mm / TEXT_UNIT_MM), shape.bold, shape.italic))
    painter.setPen(_colour(shape.colour))
    painter.drawText(QPointF(_SHIFT[shape.align] * width_mm / TEXT_UNIT_MM, 0.0), shape.text)
    painter.restore()


def _paint_picture(painter: QPainter, shape: Picture) -> None:
    image = QImage(
        shape.rgb,
        shape.width_px,
        shape.height_px,
        3 * shape.width_px,
        QImage.Format.Format_RGB888,
    )
    painter.drawImage(QRectF(*shape.at, *shape.size_mm), image)


def paint_shapes(painter: QPainter, shapes: Iterable[Printed]) -> None:
    """Paints shapes in the order given; one painter unit is one millimetre of the page."""
    for shape in shapes:
        if isinstance(shape, Text):
            _paint_text(painter, shape)
        elif isinstance(shape, Polygon):
            _paint_polygon(painter, shape)
        elif isinstance(shape, Line):
            _paint_line(painter, shape)
        elif isinstance(shape, Picture):
            _paint_picture(painter, shape)
        else:
            _paint_disc(painter, shape)


def page_image(page: Page, dpi: float = 200.0) -> QImage:
    """The page as a picture of that many dots per inch, on white."""
    dots = dpi / MM_PER_INCH
    size = QSize(round(page.width_mm * dots), round(page.height_mm * dots))
    image = QImage(size, QImage.Format.Format_RGB32)
    image.setDotsPerMeterX(round(1000 * dots))
    image.setDotsPerMeterY(round(1000 * dots))
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    painter.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing)
    painter.scale(dots, dots)
    paint_shapes(painter, page.printed())
    painter.end()
    return image


def _buffer() -> QBuffer:
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    return buffer


def _bytes(buffer: QBuffer) -> bytes:
    content: QByteArray = buffer.data()
    return bytes(content.data())


def png_bytes(page: Page, dpi: float = 200.0) -> bytes:
    """One page as PNG."""
    buffer = _buffer()
    page_image(page, dpi).save(buffer, "PNG")  # type: ignore[call-overload]  # stub wants bytes
    return _bytes(buffer)


def page_rgb(page: Page, dpi: float) -> tuple[int, int, bytes]:
    """Width, height and the bytes of a page's picture: red, green, blue, row by row, no gaps."""
    image = page_image(page, dpi).convertToFormat(QImage.Format.Format_RGB888)
    width, height, stride = image.width(), image.height(), image.bytesPerLine()
    content = bytes(image.constBits())
    rows = [content[line * stride : line * stride + 3 * width] for line in range(height)]
    return width, height, b"".join(rows)


def pdf_bytes(pages: Sequence[Page], title: str = "", *, is_archival: bool = False) -> bytes:
    """All pages as one PDF, with real text and the font embedded; `is_archival`: PDF/A-1b."""
    buffer = _buffer()
    writer = QPdfWriter(buffer)
    if is_archival:
        writer.setPdfVersion(QPagedPaintDevice.PdfVersion.PdfVersion_A1b)
    writer.setTitle(title)
    writer.setCreator("fixplan")
    writer.setResolution(PDF_DPI)
    writer.setPageMargins(QMarginsF(0, 0, 0, 0))
    painter = QPainter()
    for index, page in enumerate(pages):
        size = QSizeF(page.width_mm, page.height_mm)
        writer.setPageSize(QPageSize(size, QPageSize.Unit.Millimeter))
        if index == 0:
            painter.begin(writer)
        else:
            writer.newPage()
        painter.resetTransform()
        painter.scale(PDF_DPI / MM_PER_INCH, PDF_DPI / MM_PER_INCH)
        paint_shapes(painter, page.printed())
    painter.end()
    return _without_trapped(_bytes(buffer)) if is_archival else _bytes(buffer)


_TRAPPED = b' pdf:Trapped="False"'


def _without_trapped(pdf: bytes) -> bytes:
    """Without a word that the XMP of a PDF/A-1 does not know (ISO 19005-1, 6.7.9).

    Blanks stand in its place, so that every object stays where it is.
    """
    return pdf.replace(_TRAPPED, b" " * len(_TRAPPED))


def svg_bytes(page: Page, title: str = "") -> bytes:
    """One page as SVG whose user unit is the millimetre.

    Each text carries its width, so that a viewer without the font still keeps it in its place.
    """
    buffer = _buffer()
    generator = QSvgGenerator()
    generator.setOutputDevice(buffer)
    generator.setTitle(title)
    generator.setResolution(SVG_DPI)
    dots = SVG_DPI / MM_PER_INCH
    generator.setSize(QSize(round(page.width_mm * dots), round(page.height_mm * dots)))
    generator.setViewBox(QRectF(0, 0, page.width_mm, page.height_mm))
    painter = QPainter(generator)
    paint_shapes(painter, page.printed())
    painter.end()
    texts = [shape for shape in page.printed() if isinstance(shape, Text)]
    return mended_svg(_bytes(buffer).decode(), texts).encode()
