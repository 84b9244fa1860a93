"""Where a picture's pixels are kept: beside the case, or inside it where the user asks for it."""

from hashlib import sha256
from pathlib import Path

from msgspec.structs import replace
from PySide6.QtGui import QImage

from fixplan.case.film_pixels import as_inside, inside_bytes
from fixplan.case.film_records import Film
from fixplan.case.safe_write import write_safely
from fixplan.desk.film.pictures import decoded, png_bytes
from fixplan.errors import FilmError
from fixplan.film.headers import header_of, read_header
from fixplan.film.limits import film_limits


def keep_beside(case_path: Path, film_id: str, content: bytes, ending: str) -> tuple[str, str]:
    """Write a picture's pixels beside the case; gives the file's name and digest.

    Raises:
        CaseFileError: the folder cannot be written to.
    """
    name = f"{case_path.stem}-{film_id}{ending}"
    count = 1
    while (case_path.parent / name).exists():
        count += 1
        name = f"{case_path.stem}-{film_id}-{count}{ending}"
    write_safely(case_path.parent / name, content)
    return name, sha256(content).hexdigest()


def kept_bytes(case_path: Path | None, film: Film) -> bytes:
    """The file of a kept picture, from the case or from beside it.

    Raises:
        FilmError: it is not there, is not whole, or claims a size that no film has.
    """
    if film.inside:
        content = inside_bytes(film)
        header_of(content, film.file)
        return content
    if case_path is None:
        raise FilmError(f"{film.file}: its folder is not known; save the case beside it.")
    path = case_path.parent / film.file
    read_header(path)
    try:
        return path.read_bytes()
    except OSError as problem:
        raise FilmError(
            f"{path.name}: cannot be read ({problem.strerror}); look where the picture is."
        ) from problem


def read_kept(case_path: Path | None, film: Film) -> tuple[QImage, str]:
    """A kept picture, and a sentence when it is not what it was (empty when it is).

    Raises:
        FilmError: it is not there, or cannot be decoded.
    """
    content = kept_bytes(case_path, film)
    image, _ = decoded(content, film.file)
    if (image.width(), image.height()) != (film.width_px, film.height_px):
        raise FilmError(
            f"{film.file}: has {image.width()} x {image.height()} pixels, not the "
            f"{film.width_px} x {film.height_px} of the case; add the picture again."
        )
    if film.digest and sha256(content).hexdigest() != film.digest:
        return image, f"{film.file}: has changed since it was laid here; check that it still fits."
    return image, ""


def kept_size_bytes(case_path: Path | None, film: Film) -> int | None:
    """How large a picture's file is; None when it is not there."""
    if film.inside:
        return len(film.inside) // 4 * 3
    try:
        return None if case_path is None else (case_path.parent / film.file).stat().st_size
    except OSError:
        return None


def size_words(size_bytes: int) -> str:
    """So many kB or MB, as text in a case: base64 takes four letters for three bytes."""
    grown = size_bytes * 4 / 3
    return f"{grown / 1e6:.1f} MB" if grown >= 1e6 else f"{max(grown / 1e3, 0.1):.1f} kB"


def inside_words(film: Film, letters: int) -> str:
    """What it means to keep a picture inside the case, before it is done."""
    return (
        f"The case file grows by {letters / 1e6:.1f} MB, and whoever gets it gets the picture. "
        f"Black out names first. The file {film.file} stays beside the case until you delete it."
    )


def taken_inside(case_path: Path | None, film: Film) -> Film:
    """The picture with its file inside the case; the file beside it stays.

    Raises:
        FilmError: it cannot be read, has changed, or is too large for a case.
    """
    content = kept_bytes(case_path, film)
    if len(content) > film_limits().most_inside_bytes:
        raise FilmError(
            f"{film.file}: has {len(content) / 1e6:.0f} MB, more than the "
            f"{film_limits().most_inside_bytes / 1e6:.0f} MB that a case keeps; leave it beside."
        )
    return replace(film, inside=as_inside(content), digest=sha256(content).hexdigest())


def taken_out(case_path: Path | None, film: Film) -> Film:
    """The picture with its file beside the case again, and no longer in it.

    Raises:
        FilmError: the case has no file yet, or its text is not whole.
        CaseFileError: the picture cannot be written there.
    """
    if case_path is None:
        raise FilmError("Save the case first; the picture is then written beside its file.")
    content = inside_bytes(film)
    beside = case_path.parent / film.file
    if beside.is_file() and sha256(beside.read_bytes()).hexdigest() == film.digest:
        return replace(film, inside="")
    name, digest = keep_beside(case_path, film.id, content, Path(film.file).suffix)
    return replace(film, inside="", file=name, digest=digest)


def write_over(case_path: Path | None, film: Film, image: QImage) -> Film:
    """The picture with other pixels in place of the kept ones, of which no copy is left.

    A file beside the case that holds the old pixels of a picture inside goes as well.

    Raises:
        CaseFileError: the file cannot be written.
        FilmError: there is nowhere to write to.
    """
    content = png_bytes(image)
    digest = sha256(content).hexdigest()
    name = Path(film.file).with_suffix(".png").as_posix()
    if case_path is not None:
        old, new = case_path.parent / film.file, case_path.parent / name
        if not film.inside or old.is_file():
            write_safely(new, content)
            if new != old:
                old.unlink(missing_ok=True)
    elif not film.inside:
        raise FilmError(f"{film.file}: its folder is not known; save the case beside it.")
    inside = as_inside(content) if film.inside else ""
    return replace(film, file=name, digest=digest, inside=inside)
