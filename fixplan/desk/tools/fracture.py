"""The tool that marks a fracture: press where it begins on the bone, let go where it ends."""

from fixplan.case import edits
from fixplan.case.records import Case, Fracture
from fixplan.desk.bench import Bench
from fixplan.desk.drawn import Place
from fixplan.desk.tools.base import Marks, Tool
from fixplan.errors import EditError
from fixplan.limb.words import level_words
from fixplan.sheet.views import ViewFrame

CLICKED_MM = 30.0


class FractureTool(Tool):
    """Drag along a bone from one end of the fracture to the other; a click marks a short one.

    With the keyboard's caret, one click begins it and a second one ends it.
    """

    name = "fracture"
    hint = "Drag along the bone from one end of the fracture to the other."

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._start: Place | None = None
        self._bone = ""
        self._level_mm = 0.0

    def press(self, place: Place) -> None:
        """Begin on the bone under the place."""
        bone = self.bench.drawn.bone_at(place)
        if bone is None:
            raise EditError("A fracture is drawn on a bone; press on the bone and drag along it.")
        self._start, self._bone = place, bone
        self._level_mm = self.bench.snapped(place.drawn[1], is_free=place.is_free)
        self.drag(place)

    def drag(self, place: Place) -> None:
        """Show the fracture up to here."""
        if self._start is not None:
            self.bench.document.preview(self._case_to(self._start, place))

    def release(self, place: Place) -> None:  # noqa: ARG002 (the last preview counts)
        """Make the fracture and select it."""
        document = self.bench.document
        if self._start is None or document.shown is document.case:
            return
        fracture = document.shown.fractures[-1]
        self._start = None
        document.commit("Draw a fracture", document.shown)
        self.bench.selection.select(fracture.id)

    def cancel(self) -> bool:
        """Drop the fracture in hand."""
        ran = self._start is not None
        self._start = None
        self.bench.document.cancel_preview()
        return ran

    def marks(self) -> Marks:
        """Both ends, from a landmark."""
        shown = self.bench.document.shown
        if self._start is None or not shown.fractures:
            return Marks()
        fracture = shown.fractures[-1]
        limb = self.bench.drawn.limb
        words = level_words(limb, self._start.segment, fracture.from_mm, fracture.bone)
        return Marks(words=f"from {words}, {fracture.to_mm - fracture.from_mm:.0f} mm long")

    def _case_to(self, start: Place, place: Place) -> Case:
        level = self._level_at(start.frame, start.segment, place)
        half = CLICKED_MM / 2
        if abs(level - self._level_mm) <= place.grab_in_limb_mm:
            first, last = self._level_mm - half, self._level_mm + half
        else:
            first, last = sorted((self._level_mm, level))
        fracture = Fracture(id="fracture", bone=self._bone, from_mm=first, to_mm=last)
        return edits.add_fracture(self.bench.document.case, fracture)

    def _level_at(self, frame: ViewFrame | None, segment: str, place: Place) -> float:
        if frame is None:
            return self._level_mm
        level = self.bench.drawn.drawn_in(frame, segment, place.at)[1]
        return self.bench.snapped(level, is_free=place.is_free)
