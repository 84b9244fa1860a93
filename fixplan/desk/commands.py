"""What the commands of `actions.py` do, one method each, by the command's name."""

from pathlib import Path

from fixplan.case import edits
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Bar, Case, Fracture, Pin, Support
from fixplan.case.scalars import SupportKind
from fixplan.case.within import refuse_beyond
from fixplan.checks.finding import Finding
from fixplan.desk import dialogs
from fixplan.desk.bench import Bench
from fixplan.desk.canvas import SheetView
from fixplan.desk.case_files import CaseFiles
from fixplan.desk.new_case import NewCaseDialog
from fixplan.desk.subjects import thing_of
from fixplan.errors import EditError
from fixplan.frame.joining import bar_paths
from fixplan.limb.kinds import limb_kind

TURN_DEG = 5.0
TILT_DEG = 1.0
SPLINT_SHARE = 0.3
ZOOM_STEP = 1.25


class EditCommands:
    """Commands that change the case. Each raises EditError when it cannot."""

    def __init__(self, bench: Bench, view: SheetView) -> None:
        self._bench = bench
        self._document = bench.document
        self._view = view

    def undo(self) -> None:
        """Take the last change back."""
        self._view.tool.cancel()
        self._document.undo()

    def redo(self) -> None:
        """Make it again."""
        self._view.tool.cancel()
        self._document.redo()

    def delete(self) -> None:
        """Take the selected thing away, with what hangs on it."""
        subject = self._bench.selection.subject
        if subject is None:
            raise EditError("Nothing is selected; select what is to be deleted.")
        case = edits.remove(self._document.case, subject)
        self._bench.selection.select(None)
        self._document.commit(f"Delete {subject.replace('-', ' ')}", case)

    def turn_back(self) -> None:
        """Turn the selected pin."""
        self._turn(-TURN_DEG)

    def turn_on(self) -> None:
        """Turn the selected pin the other way."""
        self._turn(TURN_DEG)

    def tilt_down(self) -> None:
        """Tilt the selected pin's outer end distally."""
        self._tilt(-TILT_DEG)

    def tilt_up(self) -> None:
        """Tilt the selected pin's outer end proximally."""
        self._tilt(TILT_DEG)

    def mirror(self) -> None:
        """Make it the same plan for the other side."""
        self._document.commit("Change side", edits.mirrored(self._document.case))

    def renumber(self) -> None:
        """Number the pins from proximal."""
        case = edits.renumber_from_proximal(self._document.case)
        self._bench.selection.select(None)
        self._document.commit("Renumber pins", case)

    def line_up(self) -> None:
        """Move the selected pin so that a bar's clamp reaches it; the bar then carries it."""
        from fixplan.frame.lining_up import line_up_pin

        pin = self._pin()
        bar = self._bar_for(pin)
        if bar is None:
            return
        case = edits.replace(self._document.case, line_up_pin(self._document.case, bar.id, pin.id))
        if pin.id not in bar.also:
            case = edits.change(case, bar.id, also=(*bar.also, pin.id))
        self._document.commit("Line up a pin", case)

    def lay_frame(self, pattern_id: str) -> tuple[str, str]:
        """Lay a starting frame; what gave way to it, and what it could not do, in sentences."""
        from fixplan.checks.run import judge_pin
        from fixplan.frame.starting import lay_frame

        laid = lay_frame(self._document.case, pattern_id, judge_pin)
        self._bench.selection.select(None)
        self._document.commit("Lay a starting frame", laid.case)
        return laid.replaced, " ".join(laid.statements)

    def add_preset(self, preset_id: str) -> None:
        """Add a candidate for later fixation."""
        from fixplan.frame.presets import candidate_of_preset

        candidate = candidate_of_preset(limb_of_case(self._document.case), preset_id)
        case = edits.add_candidate(self._document.case, candidate)
        self._document.commit("Add later fixation", case)
        self._bench.selection.select(case.candidates[-1].id)

    def add_pin(self, bone: str, level_mm: float) -> None:
        """Place a pin by numbers."""
        from fixplan.checks.alone import is_stopped_alone
        from fixplan.frame.new_pins import new_pin

        document = self._document
        refuse_beyond(document.case, bone, level_mm)
        pin = new_pin(document.case, bone, level_mm, is_barred=is_stopped_alone)
        case = edits.add_pin(document.case, pin)
        document.commit("Place a pin", case)
        self._bench.selection.select(case.pins[-1].id)

    def add_fracture(self, bone: str, level_mm: float, length_mm: float) -> None:
        """Mark a fracture by numbers."""
        to_mm = level_mm + length_mm
        refuse_beyond(self._document.case, bone, level_mm, to_mm)
        fracture = Fracture(id="fracture", bone=bone, from_mm=level_mm, to_mm=to_mm)
        case = edits.add_fracture(self._document.case, fracture)
        self._document.commit("Draw a fracture", case)
        self._bench.selection.select(case.fractures[-1].id)

    def add_splint(self) -> None:
        """A splint along the lower leg or the forearm."""
        case = self._document.case
        segment = limb_kind(case.limb).splinted
        if not segment:
            raise EditError(f"A splint is for a leg or an arm; this case is of a {case.limb}.")
        along = limb_of_case(case).segments[segment]
        start = along.from_mm + SPLINT_SHARE * (along.to_mm - along.from_mm)
        self._add_support(
            Support(id="support", kind="splint", segment=segment, from_mm=start, to_mm=along.to_mm)
        )

    def add_foot_bar(self) -> None:
        """A foot bar on the selected bar, else on the one that reaches lowest."""
        self._add_hung("foot bar")

    def add_heel_stand(self) -> None:
        """A heel stand on the selected bar, else on the one that reaches lowest."""
        self._add_hung("heel stand")

    def accept(self, finding: Finding, reason: str) -> None:
        """Keep a finding on purpose."""
        from fixplan.checks.accepting import acceptance_of

        case = edits.accept(self._document.case, acceptance_of(finding, reason))
        self._document.commit("Accept a finding", case)

    def withdraw(self, finding: Finding) -> None:
        """Take an acceptance back."""
        case = edits.withdraw(self._document.case, finding.rule, finding.subjects)
        self._document.commit("Withdraw an acceptance", case)

    def _pin(self) -> Pin:
        thing = thing_of(self._document.case, self._bench.selection.subject)
        if not isinstance(thing, Pin):
            raise EditError("No pin is selected; select one first.")
        return thing

    def _turn(self, by_deg: float) -> None:
        pin = self._pin()
        case = edits.turn_pin(self._document.case, pin.id, by_deg)
        self._document.commit("Turn a pin", case, merge_key=f"turn {pin.id}")

    def _tilt(self, by_deg: float) -> None:
        pin = self._pin()
        case = edits.tilt_pin(self._document.case, pin.id, by_deg)
        self._document.commit("Tilt a pin", case, merge_key=f"tilt {pin.id}")

    def _bar_for(self, pin: Pin) -> Bar | None:
        """The bar to line a pin up with: the one that names it, the only one, or as chosen."""
        bars = self._document.case.bars
        free = [b for b in bars if all(getattr(a, "pin", "") != pin.id for a in b.anchors)]
        if not free:
            raise EditError("There is no bar that this pin could be lined up with; lay one first.")
        naming = [bar for bar in free if pin.id in bar.also]
        if len(naming) == 1 or len(free) == 1:
            return (naming or free)[0]
        words = tuple(f"Bar {bar.number}" for bar in free)
        chosen = dialogs.ask_choice(self._view, "Line up pin", f"Pin {pin.number} with", words)
        return None if chosen is None else free[words.index(chosen)]

    def _add_hung(self, kind: SupportKind) -> None:
        bars = self._document.case.bars
        heel = limb_kind(self._document.case.limb).heel
        if not heel:
            raise EditError(f"A {kind} is for a leg; this case is of another limb.")
        if not bars:
            raise EditError(f"A {kind} hangs on a bar; lay a bar first.")
        chosen = next(
            (b for b in bars if b.id == self._bench.selection.subject),
            _lowest_bar(self._document.case),
        )
        self._add_support(Support(id="support", kind=kind, segment=heel, bar=chosen.id))

    def _add_support(self, support: Support) -> None:
        case = edits.add_support(self._document.case, support)
        self._document.commit(f"Add a {support.kind}", case)
        self._bench.selection.select(case.supports[-1].id)


def _lowest_bar(case: Case) -> Bar:
    """The bar that reaches farthest down the limb; the last one where none can be laid."""
    paths = bar_paths(case)
    laid = [bar for bar in case.bars if bar.id in paths]
    return max(
        laid,
        key=lambda bar: max(paths[bar.id].start_mm[2], paths[bar.id].end_mm[2]),
        default=case.bars[-1],
    )


class ViewCommands:
    """Commands that only change what is seen."""

    def __init__(self, bench: Bench, view: SheetView) -> None:
        self._bench = bench
        self._view = view

    def fit(self) -> None:
        """Arrange the sheet anew and show all of it."""
        self._bench.lay_anew()
        self._view.fit()

    def zoom_drawing(self) -> None:
        """Show the two views as large as they go."""
        self._view.fit_drawing()

    def zoom_in(self) -> None:
        """Nearer."""
        self._view.zoom_by(ZOOM_STEP)

    def zoom_out(self) -> None:
        """Further away."""
        self._view.zoom_by(1 / ZOOM_STEP)

    def go_to_sheet(self) -> None:
        """Give the keys to the sheet."""
        self._view.setFocus()


class FileCommands:
    """Commands about files; they ask before anything unsaved is left."""

    def __init__(self, files: CaseFiles, view: SheetView) -> None:
        self._files = files
        self._view = view

    def new_case(self) -> bool:
        """Ask for limb, side and stature, and begin."""
        if not self._files.may_leave():
            return False
        case = NewCaseDialog.ask(self._view.window())
        if case is None:
            return False
        self._files.start(case)
        return True

    def open_case(self, folder: Path) -> bool:
        """Ask for a file and open it."""
        if not self._files.may_leave():
            return False
        path = dialogs.ask_open_path(self._view.window(), folder)
        if path is None:
            return False
        self._files.open(path)
        return True

    def open_path(self, path: Path) -> bool:
        """Open a case that is already named."""
        if not self._files.may_leave():
            return False
        self._files.open(path)
        return True
