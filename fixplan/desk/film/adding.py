"""Bringing a picture in: opened, pasted or dropped; its pixels are kept beside the case."""

from pathlib import Path
from shutil import copyfile

from PySide6.QtWidgets import QFileDialog, QWidget

from fixplan.case.film_records import Film, FilmView, Placing
from fixplan.desk import dialogs
from fixplan.desk.bench import Bench
from fixplan.desk.drawn import DrawnSheet
from fixplan.desk.film.keeping import keep_beside
from fixplan.desk.film.pictures import Decoded
from fixplan.errors import EditError, FilmError
from fixplan.film.built import MIRROR
from fixplan.film.edits import next_film_id
from fixplan.film.limits import first_shown

VIEWS: dict[str, FilmView] = {
    "Front view": "front",
    "Side view": "side",
    "Section at its level": "section",
}
FILTER = "Pictures (*.png *.jpg *.jpeg *.tif *.tiff *.dcm *.dicom);;All files (*)"
SUFFIXES = (".png", ".jpg", ".jpeg", ".tif", ".tiff", ".dcm", ".dicom")
BURNT_IN = (
    "Look for names, numbers and dates burnt into the picture, and black them out before the case "
    "leaves this computer (Pictures, Black out). The file's own words are left behind."
)


def ask_picture(parent: QWidget, folder: Path) -> Path | None:
    """A picture's file, or None."""
    chosen, _ = QFileDialog.getOpenFileName(parent, "Add a picture", str(folder), FILTER)
    return Path(chosen) if chosen else None


def ask_view(parent: QWidget) -> FilmView | None:
    """The view that a picture is for, or None."""
    chosen = dialogs.ask_choice(parent, "Add a picture", "It goes under the", tuple(VIEWS))
    return None if chosen is None else VIEWS[chosen]


def lay_first(bench: Bench, decoded: Decoded, view: FilmView) -> Film:
    """Keep a picture beside the case and lay it in the middle of a view. Gives it.

    Raises:
        FilmError: the case has no file yet, or the view shows nothing.
        CaseFileError: the picture cannot be written there.
    """
    document = bench.document
    if document.path is None:
        raise FilmError("Save the case first; its pictures are kept beside its file.")
    drawn = bench.drawn
    segment, level = _segment(drawn, view)
    film_id = next_film_id(document.case)
    placing = _first_placing(drawn, view, segment, decoded)
    file, digest = keep_beside(document.path, film_id, decoded.content, decoded.ending)
    return Film(
        id=film_id,
        view=view,
        segment=segment,
        level_mm=level,
        file=file,
        digest=digest,
        width_px=decoded.image.width(),
        height_px=decoded.image.height(),
        placing=placing,
        scale=decoded.scale,
        opacity=first_shown().opacity,
        note="; ".join(decoded.remarks)[:200],
    )


def take_along(bench: Bench, old: Path, new: Path) -> None:
    """Copy the pictures beside a case that was saved in another folder.

    Raises:
        FilmError: one cannot be copied.
    """
    for film in bench.document.case.films:
        source, target = old.parent / film.file, new.parent / film.file
        if not source.exists() or target.exists():
            continue
        try:
            copyfile(source, target)
        except OSError as problem:
            raise FilmError(
                f"{film.file}: cannot be copied beside {new.name} ({problem.strerror}); copy it."
            ) from problem


def _segment(drawn: DrawnSheet, view: FilmView) -> tuple[str, float | None]:
    """The segment that a new picture belongs to: of the section, of the injury, else the first."""
    if view == "section":
        if drawn.section is None:
            raise EditError("There is no section yet; place a pin first.")
        return drawn.section.segment, drawn.section.level_mm
    case = drawn.case
    bones = [fracture.bone for fracture in case.fractures] + [pin.bone for pin in case.pins]
    known = [drawn.limb.bones[bone].segment for bone in bones if bone in drawn.limb.bones]
    return (known[0] if known else next(iter(drawn.limb.segments))), None


def _first_placing(drawn: DrawnSheet, view: FilmView, segment: str, decoded: Decoded) -> Placing:
    """In the middle of what the view shows of the segment, at its own scale or filling the view."""
    turn = MIRROR[view] * (-1 if drawn.case.side == "left" else 1)
    if view == "section":
        section = drawn.section
        if section is None:
            raise EditError("There is no section yet; place a pin first.")
        box, page_scale = section.inner, section.scale
        x, y = section.from_page(box.x + box.width / 2, box.y + box.height / 2)
        middle = (turn * x, -y)
    else:
        frame = drawn.view_frame(view)
        box, page_scale = frame.box, frame.scale
        at = (box.x + box.width / 2, box.y + box.height / 2)
        u, level = drawn.drawn_in(frame, segment, at)
        middle = (turn * u, level)
    wide, high = decoded.image.width(), decoded.image.height()
    share = first_shown().first_width_share
    fill = share * min(box.width / wide, box.height / high) / page_scale
    scale = decoded.scale.mm_per_px if decoded.scale is not None else float(fill)
    shift = (float(middle[0]) - scale * wide / 2, float(middle[1]) - scale * high / 2)
    return (scale, 0.0, shift[0], 0.0, scale, shift[1])
