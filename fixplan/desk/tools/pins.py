"""Gestures on a pin: slide it along its bone, turn it, tilt it; and the tool that places one."""

from math import acos, asin, cos, degrees, radians, sin
from typing import ClassVar

from fixplan.case import edits
from fixplan.case.records import Case, Pin
from fixplan.checks.alone import is_stopped_alone
from fixplan.desk.bench import Bench
from fixplan.desk.drawn import Place
from fixplan.desk.handles import TURN_OUT_MM
from fixplan.desk.tools.base import Gesture, Held, Marks, Tool
from fixplan.desk.tools.section import gesture_in_section
from fixplan.errors import EditError
from fixplan.frame.new_pins import new_pin
from fixplan.frame.pin_words import enters_words, place_words
from fixplan.geometry.paths import pin_path

LEAST_SLANT = 0.3


class MovePin(Gesture):
    """Slide a pin along its bone; with Shift, also sideways across its own axis."""

    text: ClassVar[str] = "Move a pin"

    def case_at(self, place: Place) -> Case:
        """The pin at the place's level, by whole millimetres."""
        pin = edits.found_as(self.before, self.subject, Pin)
        _refuse_without_level(self.bench, self.start._replace(segment=self.segment))
        across, along = self.moved_by(place)
        free = place.is_free
        level = self.bench.snapped(pin.level_mm + along, is_free=free)
        offset = pin.offset_mm
        if place.is_shifted:
            step = across_mm(pin.bearing_deg, self.frame.view, across)
            offset = self.bench.snapped(offset + step, is_free=free)
        return edits.slide_pin(
            self.before, self.subject, level - pin.level_mm, offset - pin.offset_mm
        )

    def words(self) -> str:
        """The level from a landmark."""
        pin = edits.found_as(self.bench.document.shown, self.subject, Pin)
        return place_words(self._drawn.limb, pin)


class TurnPin(Gesture):
    """Turn a pin by its outer end in either view; with Shift, tilt it out of the axial plane."""

    text: ClassVar[str] = "Turn a pin"

    def __init__(self, bench: Bench, subject: str, segment: str, start: Place) -> None:
        super().__init__(bench, subject, segment, start)
        self._pin = edits.found_as(self.before, subject, Pin)
        path = pin_path(self._drawn.limb, self._pin)
        axis = 0 if self.frame.view == "front" else 1
        self._aim = (float(path.aim_mm[axis]), float(path.aim_mm[2]))
        self._reach_mm = self._reach()

    def _reach(self) -> float:
        """How far out along the pin it was taken hold of, mm."""
        path = pin_path(self._drawn.limb, self._pin)
        return float(path.skin_mm) + TURN_OUT_MM

    def case_at(self, place: Place) -> Case:
        """The pin turned (or tilted) so that it points at the place, by whole degrees."""
        u, level = self._drawn.drawn_in(self.frame, self.segment, place.at)
        if place.is_shifted:
            rise = _within_one((self._aim[1] - level) / self._reach_mm)
            tilt = self.bench.snapped(degrees(asin(rise)), is_free=place.is_free)
            return edits.tilt_pin(self.before, self.subject, tilt - self._pin.tilt_deg)
        run = _within_one((u - self._aim[0]) / self._reach_mm / cos(radians(self._pin.tilt_deg)))
        bearing = bearing_towards(self._pin.bearing_deg, self.frame.view, run)
        bearing = self.bench.snapped(bearing, is_free=place.is_free)
        return edits.turn_pin(self.before, self.subject, bearing - self._pin.bearing_deg)

    def words(self) -> str:
        """The side of entry."""
        pin = edits.found_as(self.bench.document.shown, self.subject, Pin)
        return enters_words(self.bench.drawn.limb, pin)


class PinTool(Tool):
    """Click bone in either view to place a pin; keep the button down to slide it first."""

    name = "pin"
    hint = (
        "Click bone to place a pin, drag to slide it. Arrow keys move the new pin, "
        "[ and ] turn it; Esc gives the arrow keys back to the cross."
    )

    def __init__(self, bench: Bench) -> None:
        super().__init__(bench)
        self._gesture: Held | None = None
        self._is_placing = False
        self._in_hand = ""
        document = bench.document
        self._last_number = document.case.last_number if document.is_open else 0

    def press(self, place: Place) -> None:
        """Take hold of a pin that is there, or show a new one."""
        case = self.bench.document.case
        if place.section is not None:
            self._gesture = gesture_in_section(self.bench, place)
            self.bench.selection.select(place.subject or self.bench.selection.subject)
            return
        if place.subject is not None and place.subject.startswith("pin-") and place.frame:
            pin = edits.found_as(case, place.subject, Pin)
            segment = self.bench.drawn.limb.bones[pin.bone].segment
            self.bench.selection.select(pin.id)
            self._in_hand = pin.id
            self._gesture = MovePin(self.bench, pin.id, segment, place)
            return
        self._is_placing = True
        self._preview(place)

    def drag(self, place: Place) -> None:
        """Slide what is held."""
        if self._gesture is not None:
            self._gesture.drag(place)
        elif self._is_placing:
            self._preview(place)

    def release(self, place: Place) -> None:
        """Place the pin and select it. Raises EditError, saying why, where none can be placed."""
        gesture, is_placing = self._gesture, self._is_placing
        self._gesture, self._is_placing = None, False
        if gesture is not None:
            gesture.release()
        elif is_placing:
            self._place(place)

    def _place(self, place: Place) -> None:
        """The pin as last shown; else what is said at this place."""
        document = self.bench.document
        if document.shown is document.case and not self._preview(place):
            raise EditError(_no_bone_words(self.bench.drawn.unpinned_at(place)))
        pin = document.shown.pins[-1]
        document.commit("Place a pin", document.shown)
        self._in_hand = pin.id
        self.bench.selection.select(pin.id)

    @property
    def takes_arrows(self) -> bool:
        """Whether the selected pin was placed or moved with this tool."""
        subject = self.bench.selection.subject
        pins = self.bench.document.case.pins
        return any(
            pin.id == subject and (pin.id == self._in_hand or pin.number > self._last_number)
            for pin in pins
        )

    def nudge(self, right: int, down: int, step_mm: float) -> bool:
        """Move the pin last placed while it is selected: down is distal, right across its axis."""
        document, pin = self.bench.document, self.bench.selection.subject
        if pin is None or not self.takes_arrows:
            return False
        case = edits.slide_pin(document.case, pin, down * step_mm, right * step_mm)
        document.commit("Move", case, merge_key=f"nudge {pin}")
        return True

    def cancel(self) -> bool:
        """Drop a pin that is not yet placed."""
        ran = self._is_placing or self._gesture is not None
        self._gesture, self._is_placing = None, False
        self.bench.document.cancel_preview()
        return ran

    def marks(self) -> Marks:
        """The level and side of entry of the pin in hand."""
        if self._gesture is not None:
            return Marks(words=self._gesture.words())
        shown = self.bench.document.shown
        if self._is_placing and shown.pins and shown is not self.bench.document.case:
            pin = shown.pins[-1]
            limb = self.bench.drawn.limb
            words = f"{place_words(limb, pin)}, from {enters_words(limb, pin)}"
            return Marks(words=words)
        return Marks()

    def _preview(self, place: Place) -> bool:
        """Show the pin that a place stands for; False where no bone is. Raises EditError."""
        bone = self.bench.drawn.bone_at(place)
        if bone is not None:
            self.bench.document.preview(case_with_pin(self.bench, bone, place))
        return bone is not None


def case_with_pin(bench: Bench, bone: str, place: Place) -> Case:
    """The case with one more pin, where the place is on the bone (D3). Raises EditError."""
    case = bench.document.case
    _refuse_without_level(bench, place)
    level = bench.snapped(place.drawn[1], is_free=place.is_free)
    off = _off_middle_mm(bench, new_pin(case, bone, level), place)
    pin = new_pin(case, bone, level, off, place.view, is_stopped_alone)
    return edits.add_pin(case, pin)


def _refuse_without_level(bench: Bench, place: Place) -> None:
    """The foot is seen from above in the front view, which shows no level of the heel."""
    segment = bench.drawn.limb.segments[place.segment]
    if place.view == "front" and segment.front_shows == "forward":
        raise EditError(f"The front view shows no level of the {segment.title}; use the side view.")


def _no_bone_words(drawn_only: str | None) -> str:
    if drawn_only is None:
        return "No bone lies here; click on a bone to place a pin."
    return (
        f"The {drawn_only} is drawn only: without its sections no pin in it can be checked; click "
        "on another bone."
    )


def across_mm(bearing_deg: float, view: str, step_mm: float) -> float:
    """The change of a pin's offset that moves it by a step across a view; 0 when it cannot."""
    slant = -sin(radians(bearing_deg)) if view == "front" else cos(radians(bearing_deg))
    return 0.0 if abs(slant) < LEAST_SLANT else step_mm / slant


def bearing_towards(bearing_deg: float, view: str, run: float) -> float:
    """The bearing whose outer end lies `run` (-1 to 1) across a view, on the side it is on now."""
    if view == "front":
        front_half = sin(radians(bearing_deg)) >= 0.0
        angle = degrees(acos(run))
        return angle if front_half else -angle
    lateral_half = cos(radians(bearing_deg)) >= 0.0
    angle = degrees(asin(run))
    return angle if lateral_half else 180.0 - angle


def _off_middle_mm(bench: Bench, pin: Pin, place: Place) -> float:
    """How far across the view the click was from the bone's middle; 0 within the grab distance."""
    path = pin_path(bench.drawn.limb, pin)
    axis = 0 if place.view == "front" else 1
    off = place.drawn[0] - float(path.aim_mm[axis])
    return 0.0 if abs(off) <= place.grab_in_limb_mm else bench.snapped(off, is_free=place.is_free)


def _within_one(value: float) -> float:
    return min(1.0, max(-1.0, value))
