"""Zones and bars by numbers, and the outline of a zone in its other view."""

from fixplan.case import edits
from fixplan.case.limbs import limb_of_case, pose_of_case
from fixplan.case.records import (
    Bar,
    Candidate,
    Case,
    FreeOutline,
    Injury,
    PinAnchor,
)
from fixplan.case.scalars import Outline, View
from fixplan.desk.bench import Bench
from fixplan.desk.subjects import thing_of
from fixplan.errors import EditError, GeometryError
from fixplan.frame.joining import laid_bars
from fixplan.frame.patterns import layout
from fixplan.geometry.zones import zone_across, zone_in_other_view
from fixplan.limb.anatomy import Limb


class ZoneCommands:
    """Each changes the case once. Raises EditError when it cannot."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._document = bench.document

    def other_view(self) -> None:
        """Draw the selected zone in its other view too: at its levels, across the limb."""
        case = self._document.case
        thing = thing_of(case, self._bench.selection.subject)
        if isinstance(thing, Injury):
            changed = _completed(case, thing.id, thing, None)
        elif isinstance(thing, Candidate):
            part, drawn = _one_view_part(thing)
            changed = _completed(case, thing.id, drawn, part)
        else:
            raise EditError("Select an injury or a free outline that is drawn in one view first.")
        self._document.commit("Draw the other view", changed)

    def add_zone(self, tool: str, segment: str, from_mm: float, to_mm: float) -> None:
        """A zone across the whole limb between two levels: an injury, or space to keep free."""
        case = self._document.case
        limb = limb_of_case(case)
        front, side = (_across(limb, segment, view, from_mm, to_mm) for view in ("front", "side"))
        if tool == "injury":
            grade = self._bench.options.grade
            injury = Injury(id="injury", segment=segment, grade=grade, front=front, side=side)
            self._keep("Draw an injury", edits.add_injury(case, injury), "injuries")
            return
        outline = FreeOutline(segment=segment, front=front, side=side)
        candidate = Candidate(id="later", kind="free outline", parts=(outline,))
        self._keep("Draw later fixation", edits.add_candidate(case, candidate), "candidates")

    def lay_bar(self, first: str, second: str) -> None:
        """A bar from one pin to another, at the usual gap outside the skin."""
        if first == second:
            raise EditError("A bar goes from one pin to another; choose two pins.")
        case = self._document.case
        usual_mm = layout().out_mm
        anchors = (PinAnchor(pin=first, out_mm=usual_mm), PinAnchor(pin=second, out_mm=usual_mm))
        laid = edits.add_bar(case, Bar(id="bar", number=1, anchors=anchors))
        problem = laid_bars(laid).problems.get(laid.bars[-1].id)
        if problem is not None:
            raise EditError(problem)
        self._keep("Lay a bar", laid, "bars")

    def _keep(self, text: str, case: Case, kind: str) -> None:
        self._document.commit(text, case)
        self._bench.selection.select(getattr(case, kind)[-1].id)


def _completed(case: Case, id_: str, drawn: Injury | FreeOutline, part: int | None) -> Case:
    name: View = "side" if drawn.front else "front"
    try:
        outline = zone_in_other_view(pose_of_case(case), drawn.segment, drawn.front, drawn.side)
    except GeometryError as problem:
        raise EditError(str(problem)) from problem
    return edits.set_outline(case, id_, name, outline, part)


def _one_view_part(candidate: Candidate) -> tuple[int, FreeOutline]:
    for number, part in enumerate(candidate.parts):
        if isinstance(part, FreeOutline) and bool(part.front) != bool(part.side):
            return number, part
    raise EditError("No outline of this later fixation is drawn in one view alone.")


def _across(limb: Limb, segment: str, view: View, from_mm: float, to_mm: float) -> Outline:
    """The zone in a view; none where the view shows the segment from above."""
    known = limb.segments.get(segment)
    if view == "front" and known is not None and known.front_shows != "level":
        return ()
    try:
        return zone_across(limb, segment, view, from_mm, to_mm)
    except GeometryError as problem:
        raise EditError(str(problem)) from problem
