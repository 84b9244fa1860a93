"""The pictures that the user chose for the printed sheet, laid into its pages.

Each is blended here with the limb that it lies on, so that what is printed has no transparency.
"""

from collections.abc import Iterator, Sequence
from pathlib import Path

from msgspec.structs import replace
from PySide6.QtCore import QRectF, QSizeF
from PySide6.QtGui import QImage, QPainter, QTransform

from fixplan.case.film_records import Film
from fixplan.case.records import Case
from fixplan.desk.drawn import DrawnSheet
from fixplan.desk.extent import extent_mm
from fixplan.desk.film.item import laid, paint_part
from fixplan.desk.film.keeping import read_kept
from fixplan.desk.film.pyramid import Pyramid, tone_of
from fixplan.film.limits import first_shown
from fixplan.film.scaling import is_mirrored, short_words
from fixplan.sheet.fonts import text_width_mm, wrapped
from fixplan.sheet.ink import INK, PAPER, SMALL_MM
from fixplan.sheet.paint import MM_PER_INCH, paint_shapes
from fixplan.sheet.paper import Page
from fixplan.sheet.shapes import Fill, Picture, Polygon, Printed, Text

LINE_MM, PAD_MM, WIDTH_MM = 3.4, 1.0, 32.0
UNDER = ("limb", "section")
"""Groups that pictures lie on."""


def with_pictures(pages: tuple[Page, ...], case: Case, path: Path | None) -> tuple[Page, ...]:
    """The pages with every picture that is chosen for printing and not hidden, where it shows.

    Raises:
        FilmError: the pixels of one cannot be read.
    """
    chosen = [film for film in case.films if film.is_printed and not film.is_hidden]
    if not chosen:
        return pages
    drawn, made = DrawnSheet(case, pages), list(pages)
    for film in chosen:
        found = laid(film, drawn)
        if found is not None:
            index, owner = _place(film, drawn)
            pyramid = Pyramid(read_kept(path, film)[0])
            made[index] = _with(made[index], owner, film, pyramid, _on_page(found, drawn, index))
    return tuple(made)


def _place(film: Film, drawn: DrawnSheet) -> tuple[int, str]:
    """The page that shows a picture, and the group that it lies on."""
    if film.view == "section":
        return drawn.section_page or 0, "section"
    return 0, "limb"


def _on_page(
    found: tuple[QTransform, QRectF], drawn: DrawnSheet, index: int
) -> tuple[QTransform, QRectF]:
    """The same in millimetres of the page."""
    to_scene, box = found
    left = drawn.page_origin_mm(index)
    return to_scene * QTransform.fromTranslate(-left, 0.0), box.translated(-left, 0.0)


def _with(
    page: Page, owner: str, film: Film, pyramid: Pyramid, found: tuple[QTransform, QRectF]
) -> Page:
    """The page with one more picture over a group of its shapes."""
    to_page, box = found
    image = pyramid.image
    seen = to_page.mapRect(QRectF(0, 0, image.width(), image.height())).intersected(box)
    if seen.isEmpty():
        return page
    pyramid.set_tone(tone_of(film))
    blended = _blended(_below(page, owner), film, pyramid, to_page, seen)
    earlier = page.laid.get(owner, ())
    kept = {**page.laid, owner: (*earlier, _picture(film, blended, seen))}
    top = list(page.groups)[-1]
    kept[top] = (*kept.get(top, ()), *_caption(film, seen, page))
    return replace(page, laid=kept)


def _below(page: Page, owner: str) -> list[Printed]:
    """What is painted before a further picture over a group."""
    below: list[Printed] = []
    for name, shapes in page.groups.items():
        below += (*shapes, *page.laid.get(name, ()))
        if name == owner:
            break
    return below


def _blended(
    below: Sequence[Printed], film: Film, pyramid: Pyramid, to_page: QTransform, seen: QRectF
) -> QImage:
    """What the box shows with the picture over it, without transparency."""
    dots = first_shown().printed_dpi / MM_PER_INCH
    image = QImage(
        max(1, round(seen.width() * dots)),
        max(1, round(seen.height() * dots)),
        QImage.Format.Format_RGB32,
    )
    image.fill(PAPER)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(image.width() / seen.width(), image.height() / seen.height())
    painter.translate(-seen.topLeft())
    paint_shapes(painter, below)
    painter.setOpacity(film.opacity)
    paint_part(painter, pyramid, to_page, seen)
    painter.end()
    return image.convertToFormat(QImage.Format.Format_RGB888)


def _picture(film: Film, image: QImage, seen: QRectF) -> Picture:
    width, stride = image.width(), image.bytesPerLine()
    bits = bytes(image.constBits())
    rows = [bits[y * stride : y * stride + 3 * width] for y in range(image.height())]
    return Picture(
        owner=film.id,
        at=(seen.x(), seen.y()),
        size_mm=(seen.width(), seen.height()),
        width_px=width,
        height_px=image.height(),
        rgb=b"".join(rows),
    )


def _caption(film: Film, seen: QRectF, page: Page) -> Iterator[Printed]:
    """Which picture it is and how far its millimetres can be trusted, at its freest corner.

    It lies on top of all that is drawn, so that it can be read.
    """
    words = f"{film.id.replace('-', ' ').capitalize()}: {short_words(film.scale)}"
    if is_mirrored(film):
        words = f"MIRRORED. {words}"
    lines = wrapped(words, SMALL_MM, min(seen.width(), WIDTH_MM) - 2 * PAD_MM)
    wide = max(text_width_mm(line, SMALL_MM) for line in lines) + 2 * PAD_MM
    field = _freest(seen, QSizeF(wide, LINE_MM * len(lines) + PAD_MM), page)
    left, top, right, bottom = field.left(), field.top(), field.right(), field.bottom()
    yield Polygon(
        owner=film.id,
        points=((left, top), (right, top), (right, bottom), (left, bottom)),
        stroke=None,
        fill=Fill(PAPER),
    )
    for number, line in enumerate(lines, start=1):
        at = (left + PAD_MM, top + number * LINE_MM)
        yield Text(owner=film.id, at=at, text=line, size_mm=SMALL_MM, colour=INK)


def _freest(seen: QRectF, size: QSizeF, page: Page) -> QRectF:
    """The corner of the picture at which the least is drawn over it."""
    wide, high = size.width(), size.height()
    corners = [
        QRectF(x, y, wide, high)
        for y in (seen.bottom() - high, seen.top())
        for x in (seen.left(), seen.right() - wide)
    ]
    over = [
        QRectF(*extent_mm([shape]))
        for owner, shapes in page.groups.items()
        if owner not in UNDER
        for shape in shapes
    ]
    return min(corners, key=lambda corner: sum(corner.intersects(one) for one in over))
