"""Commands about the section: its level, and turning its pin to the middle of a customary band."""

from fixplan.case import edits
from fixplan.case.records import Pin
from fixplan.desk.bench import Bench
from fixplan.desk.subjects import thing_of
from fixplan.desk.tools.section import middle_bearing, signed_turn_deg
from fixplan.errors import EditError

STEP_MM = 5.0
FINE_MM = 1.0


class SectionCommands:
    """Each raises EditError when it cannot."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench

    def section_up(self) -> None:
        """Show the section further proximal."""
        self._move(-STEP_MM)

    def section_down(self) -> None:
        """Show the section further distal."""
        self._move(STEP_MM)

    def section_up_fine(self) -> None:
        """Show the section a little further proximal."""
        self._move(-FINE_MM)

    def section_down_fine(self) -> None:
        """Show the section a little further distal."""
        self._move(FINE_MM)

    def rest_in_middle(self) -> None:
        """Let a turn in the section rest at the middle of a customary band, or pass it."""
        options = self._bench.options
        options.rests_in_middle = not options.rests_in_middle

    def turn_to_middle(self) -> None:
        """Turn the selected pin to the middle of the nearest customary band."""
        document = self._bench.document
        pin = thing_of(document.case, self._bench.selection.subject)
        if not isinstance(pin, Pin):
            raise EditError("No pin is selected; select one first.")
        middle = middle_bearing(self._bench.drawn.limb, pin, pin.bearing_deg)
        if middle is None:
            raise EditError(
                f"Pin {pin.number}: no customary direction is clear at its level; "
                "slide it or turn it by hand."
            )
        by_deg = signed_turn_deg(pin.bearing_deg, middle)
        case = edits.turn_pin(document.case, pin.id, by_deg)
        document.commit("Turn a pin", case, merge_key=f"turn {pin.id}")

    def _move(self, by_mm: float) -> None:
        section = self._bench.drawn.section
        if section is None:
            raise EditError("There is no section yet; place a pin first.")
        selection = self._bench.selection
        if selection.subject is not None and selection.subject == section.pin:
            selection.select(None)
        group = self._bench.drawn.limb.group_of(section.bone)
        self._bench.show_level(group, round(section.level_mm + by_mm))
