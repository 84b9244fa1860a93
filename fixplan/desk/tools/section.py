"""Gestures on the section: turn its pin in it, and move its plane along the limb in the views."""

from math import inf
from typing import ClassVar

from fixplan.case import edits
from fixplan.case.records import Case, Pin
from fixplan.checks.clear_sides import apart_deg, customary_arcs, nearest_middle_deg, shape_of
from fixplan.desk.bench import Bench
from fixplan.desk.drawn import Place
from fixplan.desk.extent import gap_mm
from fixplan.desk.tools.base import Handle, Held
from fixplan.frame.pin_words import enters_words
from fixplan.geometry.paths import pin_path
from fixplan.limb.anatomy import Limb
from fixplan.limb.words import level_words
from fixplan.sheet.section_cut import told_bone
from fixplan.sheet.section_frame import RING_MM, SectionFrame
from fixplan.sheet.views import ViewFrame

CATCH_DEG = 6.0
"""How near to the middle of a customary band a turn comes to rest there."""
ON_SCREEN_ONLY = "section"
"""The part of the handle by which the section's pin is turned."""


def middle_bearing(limb: Limb, pin: Pin, bearing_deg: float) -> float | None:
    """The middle of the customary band that is nearest to a bearing, in whole degrees.

    None where there is no customary band.
    """
    arcs = customary_arcs(
        limb, pin.bone, pin.level_mm, shape_of(pin), open_approach=pin.open_approach
    )
    middle = nearest_middle_deg(arcs, bearing_deg)
    return None if middle is None else float(round(middle))


def signed_turn_deg(from_deg: float, to_deg: float) -> float:
    """The short way from one bearing to another, -180 to 180 degrees."""
    return (to_deg - from_deg + 180.0) % 360.0 - 180.0


class TurnInSection(Held):
    """Turn a pin in the section; it comes to rest at the middle of a customary band.

    Alt, or the switch in the View menu, lets it turn past that middle.
    """

    text: ClassVar[str] = "Turn a pin"

    def __init__(self, bench: Bench, subject: str, start: Place, frame: SectionFrame) -> None:
        super().__init__(bench, subject, start)
        self._frame = frame
        self._pin = edits.found_as(self.before, subject, Pin)
        self._from_deg = frame.bearing_at(start.at)

    def case_at(self, place: Place) -> Case:
        """The pin turned as far round its target as the mouse went."""
        turn = signed_turn_deg(self._from_deg, self._frame.bearing_at(place.at))
        bearing = self._rested(self._pin.bearing_deg + turn, place)
        by_deg = signed_turn_deg(self._pin.bearing_deg, bearing)
        return edits.turn_pin(self.before, self.subject, by_deg)

    def _rested(self, bearing_deg: float, place: Place) -> float:
        if self.bench.options.rests_in_middle and not place.is_free:
            middle = middle_bearing(self._drawn.limb, self._pin, bearing_deg)
            if middle is not None and apart_deg(middle, bearing_deg) <= CATCH_DEG:
                return middle
        return self.bench.snapped(bearing_deg, is_free=place.is_free)

    def words(self) -> str:
        """The side of entry."""
        pin = edits.found_as(self.bench.document.shown, self.subject, Pin)
        return enters_words(self._drawn.limb, pin)


class MoveSection(Held):
    """Move the section's plane along the limb; the case stays as it is."""

    def __init__(self, bench: Bench, start: Place) -> None:
        super().__init__(bench, "", start)
        views = self._drawn.views
        self._frame = start.frame or min(views, key=lambda one: _beside_mm(one, start))

    def drag(self, place: Place) -> None:
        """Show the section at the place's level."""
        drawn = self.bench.drawn
        if drawn.section is None:
            return
        is_other = place.frame is not None and drawn.shows_level(place)
        segment = place.segment if is_other else drawn.section.segment
        _, level = drawn.drawn_in(self._frame, segment, place.at)
        same = segment == drawn.section.segment
        group = drawn.limb.group_of(drawn.section.bone) if same else segment
        self.bench.show_level(group, self.bench.snapped(level, is_free=place.is_free))

    def release(self) -> None:
        """The section stays where it is."""

    def cancel(self) -> None:
        """The same."""

    def words(self) -> str:
        """The level from a landmark."""
        section = self.bench.drawn.section
        if section is None:
            return ""
        limb = self.bench.drawn.limb
        bone = told_bone(limb, section)
        return level_words(limb, section.segment, section.level_mm, bone)


def _beside_mm(frame: ViewFrame, place: Place) -> float:
    """How far a place is from the middle of a view, across the page."""
    return abs(place.at[0] - (frame.box.x + 0.5 * frame.box.width))


def plane_is_at(bench: Bench, place: Place) -> bool:
    """Whether the line of the section's plane is within the grab distance."""
    shapes = bench.drawn.plane_shapes()
    return min((gap_mm(shape, place.at) for shape in shapes), default=inf) <= place.grab_mm


def gesture_in_section(bench: Bench, place: Place) -> Held | None:
    """What a press in the section takes hold of: its pin."""
    if place.section is None or place.subject is None:
        return None
    return TurnInSection(bench, place.subject, place, place.section)


def turn_handle(bench: Bench) -> tuple[Handle, ...]:
    """The ring by which the section's pin is turned, while that pin is selected."""
    drawn = bench.drawn
    frame, subject = drawn.section, bench.selection.subject
    if frame is None or subject is None or frame.pin != subject:
        return ()
    pin = edits.found_as(drawn.case, subject, Pin)
    path = pin_path(drawn.limb, pin)
    point = path.point(path.skin_mm + RING_MM / frame.scale)
    at = frame.point(float(point[0]), float(point[1]))
    return (Handle(at, drawn.views[0], "turn", ON_SCREEN_ONLY),)
