"""Tools that draw an outline or a line: wound, injury, later fixation."""

from collections.abc import Mapping

from fixplan.case import edits
from fixplan.case.records import Candidate, Case, CorridorPart, FreeOutline, Incision, Injury, Wound
from fixplan.case.scalars import Outline
from fixplan.desk.bench import LINE_WOUNDS
from fixplan.desk.tools.outline import PointsTool
from fixplan.sheet.views import ViewFrame

JOINING_SHARE = 0.25
"""From this share on its segment a second outline may complete the selected injury (ours)."""


class WoundTool(PointsTool):
    """Draw a wound, or a line on the skin, on one face of a view."""

    name = "wound"
    text = "Draw a wound"
    hint = (
        "Sweep round the wound, or click round it; Enter or a click on the first point closes it."
    )

    @property
    def is_line(self) -> bool:
        """Fasciotomies and planned extensions are lines."""
        return self.bench.options.wound in LINE_WOUNDS

    def case_with(self, case: Case, segment: str, frame: ViewFrame, points: Outline) -> Case:
        """The case with one more wound."""
        options = self.bench.options
        wound = Wound(
            id="wound",
            kind=options.wound,
            segment=segment,
            view=frame.view,
            face=options.face,
            outline=() if self.is_line else points,
            line=points if self.is_line else (),
            half_width_mm=options.half_width_mm if self.is_line else 0.0,
        )
        return edits.add_wound(case, wound)

    def _select_new(self, case: Case) -> None:
        self.bench.selection.select(case.wounds[-1].id)


class InjuryTool(PointsTool):
    """Draw a zone of injury; drawn in the second view too, it joins the selected injury."""

    name = "injury"
    text = "Draw an injury"
    hint = "Sweep or click round the injured zone. Its other view: sweep there too, or press O."

    def case_with(self, case: Case, segment: str, frame: ViewFrame, points: Outline) -> Case:
        """The selected injury with its missing outline, or one more injury."""
        joined = self._joined(case, segment, frame)
        if joined is not None:
            name = "front" if frame.view == "front" else "side"
            return edits.set_outline(case, joined.id, name, points)  # type: ignore[arg-type]
        injury = Injury(
            id="injury",
            segment=segment,
            grade=self.bench.options.grade,
            front=points if frame.view == "front" else (),
            side=points if frame.view == "side" else (),
        )
        return edits.add_injury(case, injury)

    def segment_among(self, case: Case, frame: ViewFrame, shares: Mapping[str, float]) -> str:
        """The selected injury's own, where this view of it is missing and enough lies there."""
        for segment, share in shares.items():
            if share >= JOINING_SHARE and self._joined(case, segment, frame) is not None:
                return segment
        return super().segment_among(case, frame, shares)

    def _joined(self, case: Case, segment: str, frame: ViewFrame) -> Injury | None:
        """The selected injury, when it lies in this segment and has no outline in this view."""
        found = [
            injury
            for injury in case.injuries
            if injury.id == self.bench.selection.subject
            and injury.segment == segment
            and not (injury.front if frame.view == "front" else injury.side)
        ]
        return found[0] if found else None

    def _select_new(self, case: Case) -> None:
        if self.bench.selection.subject not in {injury.id for injury in case.injuries}:
            self.bench.selection.select(case.injuries[-1].id)
            return
        before = self.bench.document.case
        if before.injuries[-1].id != self.bench.selection.subject:
            self.bench.selection.select(case.injuries[-1].id)


class LaterTool(PointsTool):
    """Draw space to be kept free for later fixation: an outline, or a line for an incision."""

    name = "later"
    text = "Draw later fixation"
    hint = "Choose a usual plate or nail in the panel, or sweep round the space to keep free."

    @property
    def is_line(self) -> bool:
        """An incision is a line."""
        return self.bench.options.later_is_line

    def case_with(self, case: Case, segment: str, frame: ViewFrame, points: Outline) -> Case:
        """The case with one more candidate of one part."""
        part = self._part(segment, frame, points)
        kind = "incision" if self.is_line else "free outline"
        candidate = Candidate(id="later", kind=kind, parts=(part,))  # type: ignore[arg-type]
        return edits.add_candidate(case, candidate)

    def _part(self, segment: str, frame: ViewFrame, points: Outline) -> CorridorPart:
        if self.is_line:
            options = self.bench.options
            return Incision(
                segment=segment,
                view=frame.view,
                face=options.face,
                line=points,
                half_width_mm=options.half_width_mm,
            )
        front = points if frame.view == "front" else ()
        return FreeOutline(
            segment=segment, front=front, side=points if frame.view == "side" else ()
        )

    def _select_new(self, case: Case) -> None:
        self.bench.selection.select(case.candidates[-1].id)
