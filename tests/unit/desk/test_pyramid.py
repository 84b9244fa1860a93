"""Halves of a picture: means of four pixels, in grey and colour, of odd and of tiny sizes."""

import numpy as np
import pytest
from PySide6.QtGui import QImage

from fixplan.desk.film.pyramid import Pyramid, halved

GREY, COLOUR = QImage.Format.Format_Grayscale8, QImage.Format.Format_RGB32


def picture(wide: int, high: int, form: QImage.Format) -> tuple[QImage, np.ndarray]:
    channels = 1 if form == GREY else 4
    stride = -(-wide * channels // 4) * 4
    rows = np.random.default_rng(3).integers(0, 255, (high, stride), dtype=np.uint8)
    image = QImage(rows.tobytes(), wide, high, stride, form).copy()
    return image, rows[:, : wide * channels].reshape(high, wide, channels)


@pytest.mark.parametrize("form", [GREY, COLOUR])
@pytest.mark.parametrize(("wide", "high"), [(8, 6), (7, 5), (250, 301)])
def test_a_half_holds_means_of_four(wide: int, high: int, form: QImage.Format) -> None:
    image, rows = picture(wide, high, form)
    half = halved(image)
    assert (half.width(), half.height()) == (wide // 2, high // 2)
    whole = rows[: high // 2 * 2, : wide // 2 * 2].astype(float)
    want = whole.reshape(high // 2, 2, wide // 2, 2, -1).mean(axis=(1, 3))
    for y in range(0, half.height(), 7):
        for x in range(0, half.width(), 5):
            colour = half.pixelColor(x, y)
            told = [colour.red()] if form == GREY else [colour.blue(), colour.green(), colour.red()]
            assert told == pytest.approx(want[y, x][: len(told)], abs=0.51)


def test_one_pixel_stays_one() -> None:
    image, _ = picture(1, 900, GREY)
    assert (Pyramid(image).at(1).width(), Pyramid(image).at(1).height()) == (1, 450)
