"""A tool that collects clicks on a picture, or moves it; each ends in one step of the undo menu."""

from collections.abc import Callable, Sequence
from math import atan2, degrees
from typing import ClassVar

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QPointF

from fixplan.desk.bench import Bench
from fixplan.desk.drawn import Place
from fixplan.desk.film.item import FilmItem
from fixplan.desk.tools.base import Marks, Tool
from fixplan.errors import EditError
from fixplan.film.edits import place_film
from fixplan.film.scaling import matrix_of, placing_of
from fixplan.geometry.fits import turned
from fixplan.sheet.shapes import Point

Array = npt.NDArray[np.float64]
Clicked = Callable[[list[Place], list[tuple[float, float]]], None]


class PictureTool(Tool):
    """A tool that Esc ends; `ended` is asked for the tool that comes after."""

    ended: Callable[[], None] | None = None

    def leave(self) -> bool:
        """Esc with nothing running."""
        if self.ended is not None:
            self.ended()
        return self.ended is not None


class ClicksTool(PictureTool):
    """Clicks on a picture: so many, or any number until Enter. `prompts` say what each is for.

    It ends when its clicks have been used. `is_whole`: meanwhile the picture is shown uncut.
    """

    name: ClassVar[str] = "picture"
    hint: ClassVar[str] = "Click on the picture; Backspace takes a click back, Esc ends"

    def __init__(
        self,
        bench: Bench,
        item: FilmItem,
        prompts: Sequence[str],
        clicked: Clicked,
        *,
        until_enter: bool = False,
        is_whole: bool = False,
    ) -> None:
        super().__init__(bench)
        self.item = item
        self._prompts = tuple(prompts)
        self._clicked = clicked
        self._until_enter = until_enter
        self._is_whole = is_whole
        self._places: list[Place] = []
        self._hovered: Point | None = None

    def press(self, place: Place) -> None:
        """One more click."""
        self._places.append(place)
        if not self._until_enter and len(self._places) == len(self._prompts):
            self.finish()

    def hover(self, place: Place) -> None:
        """The line follows the mouse."""
        self.item.show_whole(self._is_whole)
        self._hovered = place.at

    def finish(self) -> bool:
        """Use the clicks. False when there is none."""
        if not self._places:
            return False
        if not self._until_enter and len(self._places) < len(self._prompts):
            raise EditError(f"Still to click: {self.words}.")
        places, self._places = self._places, []
        self._clicked(places, [self.item.pixel_at(place.at) for place in places])
        self.leave()
        return True

    def step_back(self) -> bool:
        """Take the last click back."""
        if not self._places:
            return False
        self._places.pop()
        return True

    def cancel(self) -> bool:
        """Forget the clicks."""
        self.item.show_whole(False)
        ran = bool(self._places)
        self._places = []
        return ran

    @property
    def words(self) -> str:
        """What the next click is for."""
        at = min(len(self._places), len(self._prompts) - 1)
        return self._prompts[at]

    def marks(self) -> Marks:
        """The clicks so far, and what to click next."""
        trail = [place.at for place in self._places]
        if self._hovered is not None and trail:
            trail.append(self._hovered)
        return Marks(trail=tuple(trail), words=self.words)


class MoveTool(PictureTool):
    """Drags the picture; with Shift turns it about its middle. Arrow keys move it by a step."""

    name: ClassVar[str] = "picture"
    hint: ClassVar[str] = "Drag the picture; with Shift it turns; arrow keys move it; Esc ends"

    def __init__(self, bench: Bench, item: FilmItem) -> None:
        super().__init__(bench)
        self.item = item
        self._from: Place | None = None
        self._before = matrix_of(item.film)
        self._back = item.to_pixels

    def press(self, place: Place) -> None:
        """Take hold."""
        self._from = place
        self._before, self._back = matrix_of(self.item.film), self.item.to_pixels

    def drag(self, place: Place) -> None:
        """Move or turn, shown at once."""
        if self._from is None:
            return
        film, start = self.item.film, self._from
        made = self._turned(start, place) if place.is_shifted else self._moved(start, place)
        case = place_film(self.bench.document.case, film.id, placing_of(made))
        self.bench.document.preview(case)

    def release(self, place: Place) -> None:  # noqa: ARG002 (the shape of a tool)
        """Let go."""
        if self._from is not None:
            self._from = None
            document = self.bench.document
            document.commit("Move a picture", document.shown)

    def cancel(self) -> bool:
        """Put it back."""
        ran, self._from = self._from is not None, None
        if ran:
            self.bench.document.cancel_preview()
        return ran

    def nudge(self, right: int, down: int, step_mm: float) -> bool:
        """Move by a step on paper's directions."""
        matrix = matrix_of(self.item.film)
        matrix[:, 2] += (right * step_mm, down * step_mm)
        document, film = self.bench.document, self.item.film
        case = place_film(document.case, film.id, placing_of(matrix))
        document.commit("Move a picture", case, merge_key=f"move {film.id}")
        return True

    def marks(self) -> Marks:
        """What the mouse does."""
        return Marks(words="drag the picture; Shift turns it")

    def _moved(self, start: Place, place: Place) -> Array:
        """The placing shifted with the mouse: the pixel taken hold of stays under it."""
        before, now = (self._mm_of(one.at) for one in (start, place))
        made: Array = self._before.copy()
        made[:, 2] += now - before
        return made

    def _turned(self, start: Place, place: Place) -> Array:
        film = self.item.film
        middle = (film.width_px / 2, film.height_px / 2)
        centre = self._before @ np.array((*middle, 1.0))
        (x0, y0), (x1, y1) = (self._mm_of(one.at) - centre for one in (start, place))
        return turned(self._before, degrees(atan2(y1, x1) - atan2(y0, x0)), middle)

    def _mm_of(self, at: Point) -> Array:
        """A scene point on paper's directions in the segment, by where the picture lay at first."""
        pixel = self._back.map(QPointF(*at))
        found: Array = self._before @ np.array((pixel.x(), pixel.y(), 1.0))
        return found
