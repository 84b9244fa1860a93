"""Keeps one item a picture in the scene, in step with the case."""

from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QImage

from fixplan.case.film_records import Film
from fixplan.desk.bench import Bench
from fixplan.desk.film.item import FilmItem
from fixplan.desk.film.pictures import read_kept
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
        self._files: dict[str, str] = {}
        self.problems: dict[str, str] = {}
        bench.drawn_changed.connect(self.refresh)

    def begin(self) -> None:
        """Another case has been opened: look for its pictures anew."""
        for film_id in list(self._items):
            self._drop(film_id)
        self._files, self.problems = {}, {}
        self.refresh()

    def item(self, film_id: str) -> FilmItem | None:
        """The item of a picture that could be read."""
        return self._items.get(film_id)

    def give(self, film: Film, image: QImage) -> None:
        """Show a picture that was read just now, without reading its file again."""
        self._files[film.id] = film.file
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
        limb = self._scene.shapes_item("limb")
        for order, film in enumerate(films.values()):
            self._read_once(film)
            item = self._items.get(film.id)
            if item is not None:
                over = 0.0 if limb is None else limb.zValue()
                item.setZValue(over + OVER_LIMB + order / 1000)
                item.show_film(film, drawn)

    def _drop(self, film_id: str) -> None:
        self._scene.removeItem(self._items.pop(film_id))
        self._files.pop(film_id, None)
        self.problems.pop(film_id, None)

    def _read_once(self, film: Film) -> None:
        if self._files.get(film.id) == film.file:
            return
        self._files[film.id] = film.file
        if film.id in self._items:
            self._scene.removeItem(self._items.pop(film.id))
        self.problems.pop(film.id, None)
        try:
            image, said = read_kept(self._case_path(film), film)
        except FixplanError as problem:
            said = str(problem)
        else:
            item = self._items[film.id] = FilmItem(film, image)
            self._scene.addItem(item)
        if said:
            self.problems[film.id] = said
            self.found.emit(said)

    def _case_path(self, film: Film) -> Path:
        path = self._bench.document.path
        if path is None:
            raise FixplanError(f"{film.file}: its folder is not known; save the case beside it.")
        return path
