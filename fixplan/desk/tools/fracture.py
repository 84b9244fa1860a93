"""The tool that marks a fracture: press where it begins on the bone, let go where it ends."""

from fixplan.case import edits
from fixplan.case.limbs import pose_of_case
from fixplan.case.records import Case, Fracture
from fixplan.case.within import bone_ends_mm, level_within_mm
from fixplan.desk.bench import Bench
from fixplan.desk.carrying import is_turned
from fixplan.desk.datum import usual_fracture_mm
from fixplan.desk.drawn import DrawnSheet, Place
from fixplan.desk.tools.base import Marks, Tool
from fixplan.errors import EditError
from fixplan.limb.words import level_words
from fixplan.sheet.shapes import Point


class FractureTool(Tool):
    """Drag along a bone from one end of the fracture to the other; a click marks a short one.

    With the keyboard's caret, one click begins it and a second one ends it.
    """

    name = "fracture"
    hint = "Drag along the bone from one end of the fracture to the other."

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._start: Place | None = None
        self._drawn: DrawnSheet | None = None
        self._bone = ""
        self._level_mm = 0.0
        self._in_hand: Case | None = None
        self._ends_mm: tuple[float, float] = (0.0, 0.0)

    def press(self, place: Place) -> None:
        """Begin on the bone under the place."""
        drawn = self.bench.drawn
        bone = drawn.bone_at(place)
        if bone is None:
            raise EditError("A fracture is drawn on a bone; press on the bone and drag along it.")
        self._start, self._drawn, self._bone = place, drawn, bone
        self._level_mm = self._on_bone(self.bench.snapped(place.drawn[1], is_free=place.is_free))
        self.drag(place)

    def drag(self, place: Place) -> None:
        """Show the fracture up to here; as a line where showing it would turn the limb."""
        if self._start is None or self._drawn is None or self._start.frame is None:
            return
        self._in_hand = case = self._case_to(self._drawn, self._start, place)
        if not is_turned(self._drawn.view_frame("side"), self._drawn.pose, pose_of_case(case)):
            self.bench.document.preview(case)

    def release(self, place: Place) -> None:  # noqa: ARG002 (the last step counts)
        """Make the fracture and select it."""
        case, self._in_hand = self._in_hand, None
        self._start = None
        if case is None:
            return
        fracture = case.fractures[-1]
        self.bench.document.commit("Draw a fracture", case)
        self.bench.selection.select(fracture.id)

    def cancel(self) -> bool:
        """Drop the fracture in hand."""
        ran = self._start is not None
        self._start = self._in_hand = None
        self.bench.document.cancel_preview()
        return ran

    def marks(self) -> Marks:
        """Where it begins, from a landmark, and how long it is."""
        if self._start is None or self._in_hand is None or self._drawn is None:
            return Marks()
        fracture = self._in_hand.fractures[-1]
        limb = self._drawn.limb
        words = level_words(limb, self._start.segment, fracture.from_mm, fracture.bone)
        told = f"from {words}, {fracture.to_mm - fracture.from_mm:.0f} mm long"
        ends = bone_ends_mm(self._in_hand, fracture.bone)
        if ends is not None and (fracture.from_mm <= ends[0] or fracture.to_mm >= ends[1]):
            told += f"; the {limb.bones[fracture.bone].title} ends here"
        return Marks(trail=self._trail(self._drawn), words=told)

    def _trail(self, drawn: DrawnSheet) -> tuple[Point, ...]:
        """A line along the fracture, while it is not shown itself."""
        start, document = self._start, self.bench.document
        if start is None or start.frame is None or document.shown is not document.case:
            return ()
        along = [(start.drawn[0], level) for level in self._ends_mm]
        return tuple(drawn.at_in(start.frame, start.segment, along))

    def _case_to(self, drawn: DrawnSheet, start: Place, place: Place) -> Case:
        level = self._level_at(drawn, start, place)
        half = usual_fracture_mm(drawn.limb, self._bone) / 2
        if abs(level - self._level_mm) <= place.grab_in_limb_mm:
            level, first = self._level_mm + half, self._level_mm - half
        else:
            first = self._level_mm
        ends = (self._on_bone(first), self._on_bone(level))
        self._ends_mm = (min(ends), max(ends))
        fracture = Fracture(
            id="fracture", bone=self._bone, from_mm=self._ends_mm[0], to_mm=self._ends_mm[1]
        )
        return edits.add_fracture(self.bench.document.case, fracture)

    def _level_at(self, drawn: DrawnSheet, start: Place, place: Place) -> float:
        """The level of a place on the sheet as it was at the press."""
        if start.frame is None:
            return self._level_mm
        level = drawn.drawn_in(start.frame, start.segment, place.at)[1]
        return self.bench.snapped(level, is_free=place.is_free)

    def _on_bone(self, level_mm: float) -> float:
        return level_within_mm(self.bench.document.case, self._bone, level_mm)
