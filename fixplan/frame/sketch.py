"""A starting frame while it is being laid: the case so far, and what has to be said about it."""

from collections.abc import Callable, Iterable, Mapping
from itertools import chain
from math import inf

from fixplan.case import edits
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Anchor, Bar, BarAnchor, Case, Pin, PinAnchor
from fixplan.errors import EditError
from fixplan.frame.bar_choices import (
    Group,
    across_choices,
    across_pins,
    link_choices,
    link_places,
    link_places_inside,
    moved_out,
)
from fixplan.frame.faults import bar_faults_mm
from fixplan.frame.joining import bar_paths
from fixplan.frame.patterns import Layout, layout
from fixplan.frame.pin_words import place_words
from fixplan.frame.sliding import Pair, Place, Stretch
from fixplan.frame.verdicts import Judge, verdict_of

Choice = tuple[Case, float]

STOP_MM = 300.0
"""What a stop counts beside its mm: a bar with lesser faults is chosen before it."""


def _left_out(where: str, laid: int, stretch: Stretch, place: Place) -> str:
    """Says that a place with a stop got no pin, and which stop."""
    number = stretch.pin_at(place).number
    worst = place.verdict.worst.replace(f"Pin {number}", "a pin", 1)
    if laid:
        return f"The {where} holds one pin; every place for a second has a stop: {worst}."
    return f"The {where} gets no pin; every place for one has a stop: {worst}."


class Sketch:
    """Adds pins and bars one after another; `statements` say where the bone did not allow it.

    `bare` is the case as it was before the first of them.
    `kept_bars` (by bone) stand already and carry the frame, moved further out only where `stays` is
    not set; `kept_pins` do too, and a bar is laid on them.
    """

    def __init__(
        self,
        case: Case,
        judge: Judge,
        laid: Layout | None = None,
        open_from_share: Mapping[str, float] | None = None,
    ) -> None:
        self.case, self.judge = case, judge
        self.bare = case
        self.laid = laid or layout()
        self.open_from_share = open_from_share or {}
        self.widely = True
        self.statements: list[str] = []
        self.laid_pins: set[str] = set()
        self.kept_bars: Mapping[str, str] = {}
        self.stays = True
        self.kept_pins: Mapping[str, Group] = {}

    def put_pair(self, stretch: Stretch, pair: Pair, where: str) -> Group:
        """Put one or two pins, numbered from proximal; says where a place is not clear.

        A place with a stop gets no pin; that is said.
        """
        barred = [p for p in pair if p is not None and p.verdict.is_barred]
        if barred:
            self.statements.append(_left_out(where, len(pair.usable), stretch, barred[0]))
        return tuple(self.put_pin(stretch, place, where) for place in pair.usable)

    def put_pin(self, stretch: Stretch, place: Place, where: str) -> str:
        """Put one pin and return its id.

        Raises:
            EditError: if a stop was found at the place.
        """
        if place.verdict.is_barred:
            raise EditError(
                f"This starting frame needs a pin in the {where}, where every place has a stop "
                f"({place.verdict.worst}); choose another frame, or place the pins by hand."
            )
        self.case = edits.add_pin(self.case, stretch.pin_at(place))
        pin = self.case.pins[-1]
        self.laid_pins.add(pin.id)
        if not place.verdict.is_clear:
            self.statements.append(self._least_bad(pin, where))
        return pin.id

    def _least_bad(self, pin: Pin, where: str) -> str:
        level = place_words(limb_of_case(self.case), pin)
        worst = verdict_of(self.judge(self.case, pin)).worst
        return (
            f"No level in the {where} is clear; pin {pin.number} stands at the least bad level, "
            f"{level}: {worst}"
        )

    def put_bar(self, first: Anchor, second: Anchor, also: Group = ()) -> str:
        """Put a bar and return its id."""
        bar = Bar(
            id="bar-new",
            number=1,
            anchors=(first, second),
            also=also,
            diameter_mm=self.laid.bar_mm,
        )
        self.case = edits.add_bar(self.case, bar)
        return self.case.bars[-1].id

    def short_bar(self, group: Group) -> str:
        """A bar on the two pins of a group, on the side of them where it keeps off the skin."""
        out = self.laid.out_mm
        ends = PinAnchor(pin=group[0], out_mm=out), PinAnchor(pin=group[-1], out_mm=out)
        bar = self.put_bar(*ends, group[1:-1])
        self.settle((bar,), self.lays(bar))
        return bar

    def holder(self, group: Group) -> str:
        """What other bars can hold on for this group: a short bar on two pins, or the lone pin.

        Raises:
            EditError: if the group has no pin.
        """
        if not group:
            raise EditError(
                f"This starting frame cannot be laid: {' '.join(self.statements)} Choose another "
                "frame, or place the pins by hand."
            )
        return self.short_bar(group) if len(group) > 1 else group[0]

    def link(self, upper: str, lower: str, *, wound_between: bool) -> str:
        """A bar between two holders, one above the other.

        With a wound between them its clamps go between the pins of each, if there is any room.
        """
        inside = [
            self._places(upper, 1, link_places_inside),
            self._places(lower, 0, link_places_inside),
        ]
        places = [self._places(upper, 1, link_places), self._places(lower, 0, link_places)]
        link = self.put_bar(self.anchor(upper, places[0][0]), self.anchor(lower, places[1][0]))
        bars = self.movable(upper, lower)
        stages = [inside, places] if wound_between and all(inside) else [places]
        case = self.case
        self.settle(
            (link, *bars),
            chain.from_iterable(
                link_choices(case, link, bars, stage, self.laid) for stage in stages
            ),
        )
        return link

    def link_across(self, first: str, second: str) -> str:
        """A bar from one side to the other, at the same place on the short bar of either.

        Well past the lower pins if there is room, else between the pins of each.
        """
        inside = len(self._places(first, 1, link_places_inside))
        found = self._places(first, 1, link_places)
        places = (*reversed(found[inside:]), *found[:inside])
        link = self.put_bar(self.anchor(first, places[0]), self.anchor(second, places[0]))
        bars = tuple(held for held in (first, second) if held in bar_paths(self.case))
        self.settle((link, *bars), across_choices(self.case, link, bars, places, self.laid))
        return link

    def _places(
        self,
        holder: str,
        inner_end: int,
        places_on: Callable[[float, int, Layout], tuple[float, ...]],
    ) -> tuple[float, ...]:
        path = bar_paths(self.case).get(holder)
        if path is None:
            return (0.0,)
        return places_on(path.joints[1].along_mm - path.joints[0].along_mm, inner_end, self.laid)

    def movable(self, *holders: str) -> Group:
        """Those of the holders that are bars and may be moved further out."""
        return tuple(one for one in holders if one in bar_paths(self.case) and self.moves(one))

    def moves(self, bar: str) -> bool:
        """Whether a bar may be moved: not one that stood before, while those stay."""
        return not self.stays or bar not in self.kept_bars.values()

    def anchor(self, holder: str, at_mm: float) -> Anchor:
        """A hold on a bar (at a place along it) or on a pin (at the usual distance)."""
        if holder in bar_paths(self.case):
            return BarAnchor(bar=holder, at_mm=at_mm)
        return PinAnchor(pin=holder, out_mm=self.laid.out_mm)

    def settle(self, bars: tuple[str, ...], choices: Iterable[Case]) -> None:
        """Take the first choice without a fault in these bars, else the one with the least."""
        best: Choice | None = None
        for case in choices:
            fault = bar_faults_mm(case, bars, inf if best is None else best[1], STOP_MM)
            if best is None or fault < best[1] - 1e-9:
                best = case, fault
            if fault <= 0:
                break
        if best is None:
            raise EditError("There was nothing to choose from for a bar; draw it by hand.")
        self.case = best[0]

    def lays(self, bar_id: str) -> Iterable[Case]:
        """The case with a bar further and further off the skin, on either side of its pins."""
        for out in self.laid.outs_mm:
            case = moved_out(self.case, (bar_id,), out)
            yield case
            yield across_pins(case, bar_id)

    def pin(self, pin_id: str) -> Pin:
        """The pin with this id."""
        return next(pin for pin in self.case.pins if pin.id == pin_id)
