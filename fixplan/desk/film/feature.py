"""The desk's menu of pictures: bringing one in, fitting it, the frame as it was built."""

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import QEvent, QMimeData, QObject
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QGuiApplication
from PySide6.QtWidgets import QWidget

from fixplan.case.film_records import Film
from fixplan.desk import dialogs
from fixplan.desk.dialogs import ask_sure
from fixplan.desk.dropping import take_copy
from fixplan.desk.feature import Feature, Room
from fixplan.desk.film.adding import (
    BURNT_IN,
    SUFFIXES,
    ask_picture,
    ask_view,
    lay_first,
    take_along,
)
from fixplan.desk.film.card import MIRRORED, PictureCard
from fixplan.desk.film.clicks import MoveTool, PictureTool
from fixplan.desk.film.fitting import Fitting
from fixplan.desk.film.item import FilmItem
from fixplan.desk.film.keeping import (
    inside_words,
    kept_size_bytes,
    size_words,
    taken_inside,
    taken_out,
)
from fixplan.desk.film.pictures import Decoded, picture_of_clipboard, read_picture
from fixplan.desk.film.shown import ShownFilms
from fixplan.desk.guard import guarded_with
from fixplan.desk.reading import ReadingDialog
from fixplan.desk.sheet_scene import SheetScene
from fixplan.errors import EditError
from fixplan.film.built import built_words, found_as_built
from fixplan.film.edits import add_film, change_film, film_of, remove_film
from fixplan.film.scaling import matrix_of, placing_of
from fixplan.geometry.fits import turned_over


class DeskFeature(Feature):
    """Pictures under the drawing."""

    def __init__(self, room: Room) -> None:
        super().__init__(room)
        scene = room.view.scene()
        if not isinstance(scene, SheetScene):
            raise TypeError("pictures lie in the sheet's scene")
        self.card = PictureCard()
        self.card.hide()
        self.shown = ShownFilms(room.bench, scene)
        self.shown.found.connect(room.say)
        self._fitting = Fitting(room.bench, room.window, self._take, room.say)
        self._current = ""
        self._told: object = None
        self._spacing_mm: dict[str, float] = {}
        self._path: Path | None = room.bench.document.path
        self.card.chosen.connect(self._choose)
        self.card.changed.connect(self._change)
        self.card.wanted_inside.connect(self._put_inside)
        room.bench.drawn_changed.connect(self._show)
        room.bench.document.state_changed.connect(self._follow_path)
        room.window.setAcceptDrops(True)
        room.window.installEventFilter(self)

    def cards(self) -> Sequence[QWidget]:
        """The card of the pictures."""
        return (self.card,)

    def begin(self) -> None:
        """Another case: its pictures, if it has any."""
        self._path = self.room.bench.document.path
        self._told = None
        self.shown.begin()
        self._show()

    # Commands

    def add_picture(self) -> None:
        """Choose a file, then the view that it goes under."""
        path = ask_picture(self.room.window, self._folder())
        if path is not None:
            self.add_file(path)

    def add_file(self, path: Path) -> None:
        """Lay a picture's file under a view that is asked for."""
        self._add(lambda: read_picture(path))

    def paste_picture(self) -> None:
        """Lay the clipboard's picture, or the file copied there, under a view that is asked for."""
        held: QMimeData | None = QGuiApplication.clipboard().mimeData()
        path = None if held is None else _picture_file(held)
        if path is not None:
            self.add_file(path)
            return
        image = QGuiApplication.clipboard().image()
        self._add(lambda: picture_of_clipboard(image))

    def hide_pictures(self) -> None:
        """Put every picture out of sight, or back; the case does not change."""
        if not self.room.bench.document.case.films:
            raise EditError("The case has no picture; add one first.")
        self.shown.put_away(not self.shown.are_away)
        if self.shown.are_away:
            self.room.say("The pictures are out of sight; H shows them again.")

    def move_picture(self) -> None:
        """Drag and turn it by hand."""
        self._take(MoveTool(self.room.bench, self._item()))

    def mirror_picture(self) -> None:
        """Turn it over, left for right, after a warning."""
        film = self._film()
        if not ask_sure(self.room.window, "Mirror the picture", MIRRORED, "Turn it over"):
            return
        made = turned_over(matrix_of(film), (film.width_px / 2, film.height_px / 2))
        self._commit("Mirror a picture", film, placing=placing_of(made), is_matched=False)

    def scale_two_points(self) -> None:
        """Scale it from two points a known distance apart."""
        self._fitting.scale_from_two_points(self._item())

    def scale_ball(self) -> None:
        """Scale it from a marker ball."""
        item = self._item()
        self._fitting.scale_from_ball(item, self._spacing_mm.get(item.film.id))

    def match_landmarks(self) -> None:
        """Fit it by two landmarks of the schematic."""
        item = self._item()
        limb = self.room.bench.drawn.limb
        own = [one for one in limb.landmarks if one.segment == item.film.segment]
        left, chosen = list(own), []
        for place in ("First", "Second"):
            names = tuple(one.name for one in left)
            name = dialogs.ask_choice(
                self.room.window, "Match landmarks", f"{place} landmark", names
            )
            if name is None:
                return
            chosen.append(next(one for one in left if one.name == name))
            left.remove(chosen[-1])
        self._fitting.match_landmarks(item, tuple(chosen))

    def match_photograph(self) -> None:
        """Fit a photograph to a face by three matched points."""
        self._fitting.match_face(self._item())

    def measure_bone(self) -> None:
        """Measure the segment's bone on it."""
        item = self._item()
        limb = self.room.bench.drawn.limb
        bones = [bone for bone in limb.bones.values() if bone.segment == item.film.segment]
        main = next((bone.name for bone in bones if bone.primary_of_segment), None)
        if main is None:
            raise EditError("This segment has no bone to measure; add the picture to another view.")
        self._fitting.measure(item, main)

    def black_out(self) -> None:
        """Black out words that are burnt into it."""
        self._fitting.black_out(self._item())

    def click_built(self) -> None:
        """Click the selected pin as it was built."""
        self._fitting.click_built(self._item())

    def list_built(self) -> None:
        """List every pin as built against the plan, and what is found in the built frame."""
        ReadingDialog("The frame as built", self.built_words(), self.room.window).exec()

    def remove_picture(self) -> None:
        """Take it out of the case; a file beside it stays."""
        document, film = self.room.bench.document, self._film()
        document.commit("Remove a picture", remove_film(document.case, film.id))

    def built_words(self) -> str:
        """Pins as built against the plan, and the findings of the built frame, as Markdown."""
        case = self.room.bench.document.case
        lines = [f"- {line}" for line in built_words(case)]
        if not lines:
            raise EditError("No pin was clicked on a film; select a pin and click it first.")
        checks = [f"- {line}" for line in found_as_built(case)]
        return "\n".join(
            ("## Against the plan", *lines, "", "## Found in the frame as built", *checks)
        )

    # Inside

    def _add(self, read: Callable[[], Decoded]) -> None:
        decoded = read()
        view = ask_view(self.room.window)
        if view is None:
            return
        film = lay_first(self.room.bench, decoded, view)
        self._current = film.id
        self.shown.give(film, decoded.image)
        document = self.room.bench.document
        document.commit("Add a picture", add_film(document.case, film))
        if decoded.spacing_mm is not None:
            self._spacing_mm[self._current] = decoded.spacing_mm
        self.room.say(". ".join((*decoded.remarks, BURNT_IN)))
        self._show()

    def _take(self, tool: PictureTool) -> None:
        self.room.pick_tool("select")
        tool.ended = partial(self.room.pick_tool, "select")
        self.room.view.take(tool)
        self.room.view.setFocus()

    def _film(self) -> Film:
        return film_of(self.room.bench.document.case, self._current or "A picture")

    def _item(self) -> FilmItem:
        film = self._film()
        item = self.shown.item(film.id)
        if item is None:
            raise EditError(self.shown.problems.get(film.id, "The picture is not shown."))
        return item

    def _choose(self, film_id: str) -> None:
        self._current = film_id
        self._show()

    def _change(self, field: str, value: object) -> None:
        self.room.attempt(
            lambda: self._commit("Change how a picture shows", self._film(), **{field: value})
        )

    def _put_inside(self, is_wanted: bool) -> None:
        """Take the picture into the case file after telling what that means, or out of it."""
        self.room.attempt(self._take_inside if is_wanted else self._take_out)
        self._told = None
        self._show()

    def _take_inside(self) -> None:
        film, path = self._film(), self.room.bench.document.path
        made = taken_inside(path, film)
        words = inside_words(film, len(made.inside))
        if ask_sure(self.room.window, "Keep a picture inside the case file", words, "Keep inside"):
            self._commit("Keep a picture inside", film, inside=made.inside, digest=made.digest)

    def _take_out(self) -> None:
        film = self._film()
        made = taken_out(self.room.bench.document.path, film)
        self._commit("Take a picture out of the case file", film, inside="", file=made.file)
        self.room.say(f"The picture lies beside the case as {made.file}.")

    def _commit(self, text: str, film: Film, **fields: object) -> None:
        document = self.room.bench.document
        case = change_film(document.case, film.id, **fields)
        document.commit(text, case, merge_key=f"{film.id} {'-'.join(fields)}")

    def _show(self) -> None:
        document = self.room.bench.document
        if not document.is_open:
            self.card.hide()
            self._told = None
            return
        films = document.shown.films
        if all(film.id != self._current for film in films):
            self._current = films[-1].id if films else ""
        told = (films, self._current, tuple(sorted(self.shown.problems.items())))
        if told != self._told:
            self._told = told
            size = self._size_words(films)
            self.card.show_films(films, self._current, self.shown.problems, size)

    def _size_words(self, films: tuple[Film, ...]) -> str:
        """How much room the shown picture takes, or would take, in the case file."""
        shown = next((film for film in films if film.id == self._current), None)
        size = None if shown is None else kept_size_bytes(self._path, shown)
        return "" if size is None else size_words(size)

    def _follow_path(self) -> None:
        document = self.room.bench.document
        old, self._path = self._path, document.path
        if document.is_open and old and document.path and old.parent != document.path.parent:
            new = document.path
            self.room.attempt(lambda: take_along(self.room.bench, old, new))

    def _folder(self) -> Path:
        return Path.home() if self._path is None else self._path.parent

    @guarded_with(False)
    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """A picture dropped on the window."""
        if isinstance(event, QDragEnterEvent | QDropEvent):
            path = _picture_file(event.mimeData())
            if path is not None and self.room.bench.document.is_open:
                take_copy(event)
                if event.type() == QEvent.Type.Drop:
                    self.room.attempt(lambda: self.add_file(path))
                return True
        return super().eventFilter(watched, event)


def _picture_file(held: QMimeData) -> Path | None:
    """The first file among what is dropped or pasted that is named like a picture."""
    paths = [Path(url.toLocalFile()) for url in held.urls() if url.isLocalFile()]
    return next((path for path in paths if path.suffix.lower() in SUFFIXES), None)
