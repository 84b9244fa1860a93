"""What the tools work on: the document, the selection, the sheet as drawn, and their options."""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial

from PySide6.QtCore import QObject, Signal

from fixplan.case.limbs import pose_of_case
from fixplan.case.scalars import Face, InjuryGrade, WoundKind
from fixplan.desk.carrying import carried, is_other, stands_still
from fixplan.desk.document import CaseDocument
from fixplan.desk.drawn import DrawnSheet
from fixplan.desk.firmness import hold_lines
from fixplan.desk.selection import Selection
from fixplan.desk.whole import whole_limb_frames
from fixplan.sheet.blocks import ALL, SheetBlocks
from fixplan.sheet.kit_blocks import MOVING
from fixplan.sheet.layout import drawing_room
from fixplan.sheet.pages import compose
from fixplan.sheet.paper import Paper
from fixplan.sheet.section_cut import SectionAt, group_at
from fixplan.sheet.views import ViewFrame

LINE_WOUNDS: tuple[WoundKind, ...] = ("planned extension", "fasciotomy line", "vessel access")
SNAP_MM = 1.0


@dataclass
class ToolOptions:
    """How the next thing is drawn, and whether places snap to whole millimetres.

    `rests_in_middle`: a turn in the section rests at the middle of a customary band.
    """

    wound: WoundKind = "opening"
    face: Face = "near"
    grade: InjuryGrade = "open"
    half_width_mm: float = 0.0
    later_is_line: bool = False
    is_snapping: bool = True
    rests_in_middle: bool = True
    closed_wounds: tuple[WoundKind, ...] = field(
        default=("opening", "skin loss", "degloving", "blister", "flap territory"), init=False
    )


class Bench(QObject):
    """The document with the sheet as it is drawn now.

    `drawn_changed` tells that the sheet was composed anew; `options_changed` of other options;
    `laid_anew` that the limb did not keep its place because another arrangement was asked for.
    `sees_beyond` says whether the window shows what is right of a scene coordinate; while a
    gesture runs, later pages that nobody sees are left as they were before it.
    """

    drawn_changed = Signal()
    options_changed = Signal()
    laid_anew = Signal()

    def __init__(
        self, document: CaseDocument, selection: Selection, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.document = document
        self.selection = selection
        self.options = ToolOptions()
        self._paper: Paper = "A3"
        self._blocks = ALL
        self._shows_whole_limb = False
        self._runs = False
        self._is_old = True
        self._is_laid_anew = True
        self._is_kept = False
        self._section_at: SectionAt | None = None
        self._drawn: DrawnSheet | None = None
        self.sees_beyond: Callable[[float], bool] = lambda _: True
        selection.changed.connect(self._show_selected_pin)
        document.loaded.connect(self._forget_place)
        document.shown_changed.connect(self.drawn_changed)
        document.settled.connect(self._compose_anew)

    @property
    def drawn(self) -> DrawnSheet:
        """The sheet of the shown case."""
        runs = self.document.shown is not self.document.case
        if (
            self._drawn is None
            or self._is_old
            or self._drawn.case is not self.document.shown
            or runs != self._runs
        ):
            self._drawn = self._composed(runs)
            self._runs, self._is_old = runs, False
        return self._drawn

    @property
    def paper(self) -> Paper:
        """The paper that the desk shows."""
        return self._paper

    @property
    def shows_whole_limb(self) -> bool:
        """Whether the whole limb is shown; else the part that is printed."""
        return self._shows_whole_limb

    def show_whole_limb(self, is_on: bool) -> None:
        """Show the whole limb, or the part that is printed."""
        if is_on != self._shows_whole_limb:
            self._shows_whole_limb = is_on
            self.lay_anew()

    def set_paper(self, paper: Paper) -> None:
        """Show the sheet on another paper."""
        self._paper = paper
        self.lay_anew()

    @property
    def blocks(self) -> SheetBlocks:
        """The blocks of the sheet that were chosen."""
        return self._blocks

    def set_blocks(self, blocks: SheetBlocks) -> None:
        """Show the sheet with these blocks."""
        if blocks != self._blocks:
            self._blocks = blocks
            self.lay_anew()

    @property
    def section_at(self) -> SectionAt | None:
        """The pin or the (segment, level) that the section is shown at; None: as on paper."""
        return self._section_at

    def show_level(self, group: str, level_mm: float) -> None:
        """Show the section at a level of a segment or further group, as far as the segment goes."""
        self._show_section(group_at(self.drawn.limb, group, level_mm))

    def forget_section(self) -> None:
        """Show the section where a printed sheet of this case has it."""
        self._section_at = None

    def _show_selected_pin(self) -> None:
        subject = self.selection.subject
        if subject is not None and subject.startswith("pin-"):
            self._show_section(subject)

    def _show_section(self, at: SectionAt) -> None:
        if at != self._section_at:
            self._section_at = at
            self._compose_anew()

    @property
    def is_kept(self) -> bool:
        """Whether the limb has kept its place since the sheet was laid out: print may differ."""
        return self.drawn is not None and self._is_kept

    def lay_anew(self) -> None:
        """Arrange the sheet anew; until then the limb keeps its scale and place where it can."""
        self._forget_place()
        self._compose_anew()
        self.laid_anew.emit()

    def _forget_place(self) -> None:
        self._is_laid_anew = True

    def _compose_anew(self) -> None:
        self._is_old = True
        self.drawn_changed.emit()

    def snapped(self, value_mm: float, *, is_free: bool = False) -> float:
        """A whole millimetre, unless snapping is off."""
        if is_free or not self.options.is_snapping:
            return value_mm
        return round(value_mm / SNAP_MM) * SNAP_MM

    def _composed(self, runs: bool) -> DrawnSheet:
        """The shown case on paper; while a gesture runs, the views stay where they are."""
        shown = self.document.shown
        pose = pose_of_case(shown)
        last = self._drawn
        kept: tuple[ViewFrame, ...] = ()
        if last is not None and (runs or not (self._is_laid_anew or is_other(last.case, shown))):
            kept = tuple(carried(frame, last.pose, pose) for frame in last.views)
        composed = partial(
            compose,
            shown,
            self.document.findings,
            self._paper,
            section_at=self._section_at,
            hold=hold_lines(shown, is_moving=runs),
            kit=MOVING if runs else None,
            blocks=self._blocks,
        )
        if runs and last is not None:
            is_seen = self.sees_beyond(last.page_origin_mm(1))
            return DrawnSheet(shown, composed(views=kept, later=() if is_seen else last.pages[1:]))
        pages = composed(held=kept)
        self._is_laid_anew = False
        self._is_kept = stands_still(kept, pages[0].views)
        if self._shows_whole_limb and not self._is_kept:
            room = drawing_room(self._paper, pages[0].views[0].arrangement)
            views = whole_limb_frames(shown, pose, pages[0].views, room)
            pages = composed(held=views)
        return DrawnSheet(shown, pages)
