"""Scale and fit of a picture, bones measured on it, words blacked out: each by clicks."""

from collections.abc import Callable
from math import hypot

from PySide6.QtCore import QPoint, QRect
from PySide6.QtWidgets import QInputDialog, QWidget

from fixplan.case.film_records import Film, FilmScale, PinOnFilm
from fixplan.case.records import Pin
from fixplan.desk import dialogs
from fixplan.desk.bench import Bench
from fixplan.desk.dialogs import ask_sure
from fixplan.desk.drawn import Place
from fixplan.desk.film.clicks import ClicksTool
from fixplan.desk.film.item import FilmItem
from fixplan.desk.film.keeping import write_over
from fixplan.desk.film.pictures import blacked_out
from fixplan.desk.subjects import thing_of
from fixplan.errors import EditError
from fixplan.film.built import MIRROR, offsets, words
from fixplan.film.edits import change_film, click_pin, film_of, measure_bone, scale_film
from fixplan.film.limits import film_limits
from fixplan.film.scaling import (
    fit_to_face,
    fit_to_landmarks,
    placing_of,
    scale_from_ball,
    scale_from_points,
    with_scale,
)
from fixplan.limb.landmarks import Landmark

Pixels = list[tuple[float, float]]
MEASURES = {
    "length, joint line to joint line": "length_mm",
    "width at mid-shaft": "width_mm",
    "canal at mid-shaft": "canal_mm",
}


OUT_OF_PLANE = "This film does not show levels of the pin's own segment; nothing is told from it."
BLACKED = "These pixels are overwritten in the kept picture and cannot be brought back."
BLACKED_INSIDE = (
    "These pixels are overwritten in the case and cannot be brought back: the case is saved at "
    "once with its backup, and the list of what can be undone is emptied."
)


def ask_mm(parent: QWidget, title: str, words: str, value: float) -> float | None:
    """A length in mm, or None."""
    found, is_given = QInputDialog.getDouble(parent, title, words, value, 0.1, 2000.0, 1)
    return found if is_given else None


class Fitting:
    """Each step takes a tool in hand by `take`; what the clicks give is committed as one step."""

    def __init__(
        self,
        bench: Bench,
        parent: QWidget,
        take: Callable[[ClicksTool], None],
        say: Callable[[str], None],
    ) -> None:
        self._bench, self._parent, self._take, self._say = bench, parent, take, say

    def scale_from_two_points(self, item: FilmItem) -> None:
        """Two clicks, then their distance."""

        def clicked(_: list[Place], pixels: Pixels) -> None:
            distance = ask_mm(
                self._parent, "Scale from two points", "Distance between the points, mm", 100.0
            )
            if distance is not None:
                self._scale(item, scale_from_points(pixels[0], pixels[1], distance))

        self._take(ClicksTool(self._bench, item, ("first point", "second point"), clicked))

    def scale_from_ball(self, item: FilmItem, spacing_mm: float | None) -> None:
        """Clicks round a marker ball's edge, then its diameter."""

        def clicked(_: list[Place], pixels: Pixels) -> None:
            ball = ask_mm(
                self._parent,
                "Scale from a marker ball",
                "True diameter of the ball, mm",
                film_limits().ball_mm,
            )
            if ball is not None:
                self._scale(item, scale_from_ball(pixels, ball, spacing_mm))

        words = ("the ball's edge, three times or more; then Enter",)
        self._take(ClicksTool(self._bench, item, words, clicked, until_enter=True))

    def match_landmarks(self, item: FilmItem, landmarks: tuple[Landmark, ...]) -> None:
        """One click for each of some landmarks of the schematic."""
        film = item.film
        if film.view == "section":
            raise EditError("A slice has no landmarks here; scale it from two points instead.")
        turn = self._turn(film.view)
        across = "x_mm" if film.view == "front" else "y_mm"
        places = [(turn * getattr(one, across), one.level_mm) for one in landmarks]
        a, b, _, d, e, _ = film.placing
        mirrored = a * e - b * d < 0

        def clicked(_: list[Place], pixels: Pixels) -> None:
            matrix, scale = fit_to_landmarks(pixels, places, mirrored=mirrored)
            self._match(item, placing_of(matrix), scale, "Match landmarks")

        prompts = tuple(one.name for one in landmarks)
        self._take(ClicksTool(self._bench, item, prompts, clicked))

    def match_face(self, item: FilmItem) -> None:
        """Three pairs: a point of the photograph, then where it is on the limb."""
        film = item.film
        turn = self._turn(film.view)

        def clicked(places: list[Place], pixels: Pixels) -> None:
            targets = [self._on_paper(item, place, turn) for place in places[1::2]]
            matrix, scale = fit_to_face(pixels[::2], targets)
            self._match(item, placing_of(matrix), scale, "Match a photograph")

        prompts = tuple(
            words
            for n in (1, 2, 3)
            for words in (f"point {n} on the photograph", f"where point {n} is on the limb")
        )
        self._take(ClicksTool(self._bench, item, prompts, clicked))

    def measure(self, item: FilmItem, bone: str) -> None:
        """Two clicks give a bone's length or width, which wins over the guess from stature."""
        scale = item.film.scale
        if scale is None:
            raise EditError("The picture has no scale; scale it first.")
        chosen = dialogs.ask_choice(
            self._parent, "Measure a bone", f"Of the {bone}", tuple(MEASURES)
        )
        if chosen is None:
            return

        def clicked(_: list[Place], pixels: Pixels) -> None:
            (x0, y0), (x1, y1) = pixels
            mm = hypot(x1 - x0, y1 - y0) * scale.mm_per_px
            document = self._bench.document
            case = measure_bone(document.case, bone, **{MEASURES[chosen]: round(mm, 1)})
            document.commit(f"Measure the {bone}", case)

        self._take(ClicksTool(self._bench, item, ("first end", "second end"), clicked))

    def black_out(self, item: FilmItem) -> None:
        """Two corners; what lies between is gone for good from the kept picture."""

        def clicked(_: list[Place], pixels: Pixels) -> None:
            film = film_of(self._bench.document.case, item.film.id)
            words = BLACKED_INSIDE if film.inside else BLACKED
            if ask_sure(self._parent, "Black out", words, "Black them out"):
                (x0, y0), (x1, y1) = pixels
                ends = QPoint(round(x0), round(y0)), QPoint(round(x1), round(y1))
                self._blacken(item, film, QRect(*ends).normalized())

        corners = ("one corner", "other corner")
        self._take(ClicksTool(self._bench, item, corners, clicked, is_whole=True))

    def _blacken(self, item: FilmItem, film: Film, box: QRect) -> None:
        """Of a picture inside the case, undo and the file's earlier version lose the pixels too."""
        document = self._bench.document
        made = write_over(document.path, film, blacked_out(item.pyramid.image, (box,)))
        fields = {"file": made.file, "digest": made.digest, "inside": made.inside}
        case = change_film(document.case, film.id, **fields)
        if not film.inside:
            document.commit("Black out a part of a picture", case)
            return
        document.commit_for_good(case)
        if document.path is not None:
            for _ in ("the file", "its backup"):
                document.save(document.path)

    def click_built(self, item: FilmItem) -> None:
        """Entry and tip of the selected pin, as it was built."""
        pin = thing_of(self._bench.document.case, self._bench.selection.subject)
        if not isinstance(pin, Pin):
            raise EditError("No pin is selected; select the pin that you will click first.")

        def clicked(_: list[Place], pixels: Pixels) -> None:
            document = self._bench.document
            one = PinOnFilm(pin=pin.id, film=item.film.id, entry=pixels[0], tip=pixels[1])
            document.commit(f"Pin {pin.number} as built", click_pin(document.case, one))
            told = [o for o in offsets(document.case) if (o.pin, o.film) == (pin.id, item.film.id)]
            self._say(f"{words(told[0])}." if told else OUT_OF_PLANE)

        prompts = (f"pin {pin.number}: where it enters", f"pin {pin.number}: its tip")
        self._take(ClicksTool(self._bench, item, prompts, clicked))

    def _scale(self, item: FilmItem, scale: FilmScale) -> None:
        document, placing = self._bench.document, placing_of(with_scale(item.film, scale))
        document.commit("Scale a picture", scale_film(document.case, item.film.id, placing, scale))

    def _match(
        self, item: FilmItem, placing: tuple[float, ...], scale: FilmScale, text: str
    ) -> None:
        document, film_id = self._bench.document, item.film.id
        case = scale_film(document.case, film_id, placing, scale, is_matched=True)
        document.commit(text, case)

    def _turn(self, view: str) -> int:
        return MIRROR[view] * (-1 if self._bench.document.case.side == "left" else 1)

    def _on_paper(self, item: FilmItem, place: Place, turn: int) -> tuple[float, float]:
        """A place of the sheet on the paper's directions in the picture's segment."""
        film, drawn = item.film, self._bench.drawn
        if film.view == "section":
            if drawn.section is None:
                raise EditError("The section is not shown; choose its level first.")
            x, y = drawn.section.from_page(*place.at)
            return (turn * x, -y)
        u, level = drawn.drawn_in(drawn.view_frame(film.view), film.segment, place.at)
        return (turn * u, level)
