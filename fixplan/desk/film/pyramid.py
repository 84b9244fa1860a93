"""A picture at halves of its size, with its tone, so that a large one is painted quickly."""

from math import floor, log2

import numpy as np
from PySide6.QtGui import QImage

from fixplan.case.film_records import Film

LEAST_PX = 256
Tone = tuple[bool, float, float]


def tone_of(film: Film) -> Tone:
    """What a picture's tone depends on."""
    return (film.is_inverted, film.brightness, film.contrast)


class Pyramid:
    """The picture, and each half of it down to about 256 pixels; halves are made when asked for."""

    def __init__(self, image: QImage) -> None:
        self._plain = [image]
        self._toned: dict[int, QImage] = {}
        self._tone: Tone = (False, 0.0, 1.0)

    @property
    def image(self) -> QImage:
        """The picture itself."""
        return self._plain[0]

    def set_tone(self, tone: Tone) -> None:
        """Show another tone from now on."""
        if tone != self._tone:
            self._tone = tone
            self._toned = {}

    def level_for(self, screen_px_per_px: float) -> int:
        """The coarsest half that still has a pixel for each pixel of the screen."""
        if screen_px_per_px >= 1.0:
            return 0
        wanted = floor(log2(1.0 / max(screen_px_per_px, 1e-6)))
        side = max(self.image.width(), self.image.height())
        return min(wanted, max(0, floor(log2(max(side, 1) / LEAST_PX))))

    def at(self, level: int) -> QImage:
        """The picture at a half, with its tone."""
        found = self._toned.get(level)
        if found is None:
            found = self._toned[level] = toned(self._half(level), self._tone)
        return found

    def _half(self, level: int) -> QImage:
        while len(self._plain) <= level:
            self._plain.append(halved(self._plain[-1]))
        return self._plain[level]


def halved(image: QImage) -> QImage:
    """Half as wide and high, each pixel the mean of four; five times as quick as Qt's scaling."""
    wide, high = image.width() // 2, image.height() // 2
    if not wide or not high:
        return image.scaled(max(1, wide), max(1, high))
    channels = image.depth() // 8
    rows = np.frombuffer(image.constBits(), dtype=np.uint8).reshape(image.height(), -1)
    kept = rows[: 2 * high, : 2 * wide * channels].reshape(2 * high, 2 * wide, channels)
    total = kept[0::2, 0::2].astype(np.uint16)
    for down, right in ((0, 1), (1, 0), (1, 1)):
        total += kept[down::2, right::2]
    mean = ((total + 2) >> 2).astype(np.uint8)
    made = QImage(mean.tobytes(), wide, high, wide * channels, image.format())
    return made.copy()


def toned(image: QImage, tone: Tone) -> QImage:
    """Inverted, then contrast about the middle grey, then brightness."""
    is_inverted, brightness, contrast = tone
    if tone == (False, 0.0, 1.0):
        return image
    grey = np.arange(256) / 255.0
    shown = (1.0 - grey if is_inverted else grey) - 0.5
    table = np.rint(255 * np.clip(shown * contrast + 0.5 + brightness, 0, 1)).astype(np.uint8)
    bits = np.frombuffer(image.constBits(), dtype=np.uint8)
    made = table[bits]
    if image.depth() == 32:
        made[3::4] = 255
    return QImage(
        made.tobytes(), image.width(), image.height(), image.bytesPerLine(), image.format()
    ).copy()
