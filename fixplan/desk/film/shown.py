"""Keeps one item a picture in the scene, in step with the case."""

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QImage

from fixplan.case.film_records import Film
from fixplan.desk.bench import Bench
from fixplan.desk.drawn import DrawnSheet
from fixplan.desk.film.item import FilmItem
from fixplan.desk.film.keeping import read_kept
from fixplan.desk.sheet_scene import SheetScene
from fixplan.errors import FixplanError

OVER_LIMB = 0.5


class ShownFilms(QObject):
    """The pictures of the open case. `problems` says by id why one does not show, or has changed.

    `found` tells a sentence when a picture was looked for and something is to be said.
    """

    found = Signal(str)

    def __init__(self, bench: Bench, scene: SheetScene) -> None:
        super().__init__(bench)
        self._bench, self._scene = bench, scene
        self._items: dict[str, FilmItem] = {}
        self._read: dict[str, str] = {}
        self.problems: dict[str, str] = {}
        self.are_away = False
        bench.drawn_changed.connect(self.refresh)

    def begin(self) -> None:
        """Another case has been opened: look for its pictures anew."""
        for film_id in list(self._items):
            self._drop(film_id)
        self._read, self.problems = {}, {}
        self.are_away = False
        self.refresh()

    def put_away(self, is_wanted: bool) -> None:
        """Put all pictures out of sight, or bring them back; the case does not change."""
        self.are_away = is_wanted
        self.refresh()

    def item(self, film_id: str) -> FilmItem | None:
        """The item of a picture that could be read."""
        return self._items.get(film_id)

    def give(self, film: Film, image: QImage) -> None:
        """Show a picture that was read just now, without reading its file again."""
        self._read[film.id] = _pixels_of(film)
        item = self._items[film.id] = FilmItem(film, image)
        self._scene.addItem(item)

    def refresh(self) -> None:
        """Bring the items up to the case that is shown."""
        if not self._bench.document.is_open:
            return
        drawn = self._bench.drawn
        films = {film.id: film for film in drawn.case.films}
        for film_id in set(self._items) - set(films):
            self._drop(film_id)
        for order, film in enumerate(films.values()):
            self._read_once(film)
            item = self._items.get(film.id)
            if item is not None:
                item.setZValue(self._below(film, drawn) + OVER_LIMB + order / 1000)
                item.show_film(film, drawn, is_away=self.are_away)

    def _below(self, film: Film, drawn: DrawnSheet) -> float:
        """How high the group lies that a picture is laid on."""
        if film.view == "section":
            body = self._scene.shapes_item("section", drawn.section_page or 0)
        else:
            body = self._scene.shapes_item("limb")
        return 0.0 if body is None else body.zValue()

    def _drop(self, film_id: str) -> None:
        self._scene.removeItem(self._items.pop(film_id))
        self._read.pop(film_id, None)
        self.problems.pop(film_id, None)

    def _read_once(self, film: Film) -> None:
        if self._read.get(film.id) == _pixels_of(film):
            return
        self._read[film.id] = _pixels_of(film)
        if film.id in self._items:
            self._scene.removeItem(self._items.pop(film.id))
        self.problems.pop(film.id, None)
        try:
            image, said = read_kept(self._bench.document.path, film)
        except FixplanError as problem:
            said = str(problem)
        else:
            item = self._items[film.id] = FilmItem(film, image)
            self._scene.addItem(item)
        if said:
            self.problems[film.id] = said
            self.found.emit(said)


def _pixels_of(film: Film) -> str:
    """What tells the pixels of a picture from others: of blacked out ones the digest is another."""
    return film.digest or film.file
