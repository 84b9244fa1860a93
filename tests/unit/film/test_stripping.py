"""A kept picture's file holds its pixels and nothing else, whatever stood around them."""

from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from fixplan.errors import FilmError
from fixplan.film.stripping import stripped_jpeg, stripped_png

NAME = b"A name that must not stay"


def jpeg(**how: object) -> bytes:
    exif = Image.Exif()
    exif[0x010E] = NAME.decode()
    out = BytesIO()
    rows = np.random.default_rng(2).integers(0, 255, (90, 120, 3), dtype=np.uint8)
    Image.fromarray(rows).save(out, "JPEG", exif=exif, comment=NAME, **how)
    return out.getvalue()


def pixels(content: bytes) -> np.ndarray:
    with Image.open(BytesIO(content)) as found:
        return np.asarray(found)


@pytest.mark.parametrize("how", [{}, {"progressive": True}, {"restart_marker_blocks": 2}])
@pytest.mark.parametrize("tail", [b"", jpeg(), b"\x00ftypmp42" + NAME + b"\xff\xd9"])
def test_of_a_jpeg_the_first_picture_alone_stays(how: dict[str, object], tail: bytes) -> None:
    """A telephone appends a second picture or a film, with words of its own."""
    given = jpeg(**how)
    kept = stripped_jpeg(given + tail, "x.jpg")
    assert NAME in given
    assert NAME not in kept
    assert np.array_equal(pixels(kept), pixels(given))
    assert stripped_jpeg(kept, "x.jpg") == kept


@pytest.mark.parametrize("share", [0.1, 0.5, 0.99])
def test_a_jpeg_that_is_cut_off_is_told(share: float) -> None:
    given = jpeg(progressive=True)
    with pytest.raises(FilmError, match=r"x\.jpg: ends before the picture does"):
        stripped_jpeg(given[: int(share * len(given))], "x.jpg")


def test_of_a_png_what_follows_its_end_goes() -> None:
    out = BytesIO()
    Image.new("L", (20, 10), 7).save(out, "PNG")
    assert stripped_png(out.getvalue() + NAME, "x.png") == out.getvalue()
