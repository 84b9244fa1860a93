"""The shape of a tool and of a gesture; what they mark on the sheet while they run."""

from typing import ClassVar, Literal, NamedTuple

from fixplan.case.records import Case
from fixplan.case.scalars import Point
from fixplan.desk.bench import Bench
from fixplan.desk.drawn import Place
from fixplan.sheet.views import ViewFrame

HandleKind = Literal["move", "vertex", "between", "turn"]


class Handle(NamedTuple):
    """A mark to take hold of: where it is drawn, in which view, and what it moves.

    `part` says which field or part of the record, `number` which point or end of it, from 0.
    """

    at: Point
    frame: ViewFrame
    kind: HandleKind
    part: str = ""
    number: int = 0


class Marks(NamedTuple):
    """What a tool shows over the sheet: handles, a line being drawn, words at its end.

    `words_at` is where the words stay, in scene mm; None: they go with the cursor.
    """

    handles: tuple[Handle, ...] = ()
    trail: tuple[Point, ...] = ()
    is_closed: bool = False
    words: str = ""
    words_at: Point | None = None


class Tool:
    """One way of working on the sheet. Places come from the mouse or from the keyboard's caret."""

    name: ClassVar[str] = ""
    hint: ClassVar[str] = ""
    has_caret: ClassVar[bool] = True

    def __init__(self, bench: Bench) -> None:
        self.bench = bench

    def press(self, place: Place) -> None:
        """The left button goes down, or the caret clicks."""

    def drag(self, place: Place) -> None:
        """The mouse moves with the left button down."""

    def release(self, place: Place) -> None:
        """The left button comes up."""

    def hover(self, place: Place) -> None:
        """The mouse or the caret moves without a button."""

    def double(self, place: Place) -> bool:  # noqa: ARG002
        """A double click; as a rule it ends what runs. False when the tool has no use for it."""
        return self.finish()

    def finish(self) -> bool:
        """Enter or a double click: bring to an end what runs. False when nothing ran."""
        return False

    def step_back(self) -> bool:
        """Backspace: take back the last step of what runs. False when nothing ran."""
        return False

    def cancel(self) -> bool:
        """Esc, another tool, or the mouse lost: drop what runs. False when nothing ran."""
        return False

    def leave(self) -> bool:
        """Esc with nothing running. False when the tool stays in hand."""
        return False

    def nudge(self, right: int, down: int, step_mm: float) -> bool:  # noqa: ARG002
        """An arrow key. False when the tool has no use for it."""
        return False

    @property
    def takes_arrows(self) -> bool:
        """Whether the arrow keys are for what the tool holds, and not for the caret."""
        return False

    def marks(self) -> Marks:
        """What to show over the sheet."""
        return Marks()


class Held:
    """One drag that changes one thing: previews while it runs, commits once at its end.

    Subclasses say what the case becomes for a place; `text` names the change in the undo menu.
    """

    text: ClassVar[str] = ""

    def __init__(self, bench: Bench, subject: str, start: Place) -> None:
        self.bench = bench
        self.subject = subject
        self.start = start
        self.before = bench.document.case
        self._drawn = bench.drawn
        self._has_moved = False

    def case_at(self, place: Place) -> Case:
        """The case with the thing moved to a place. Raises EditError."""
        raise NotImplementedError

    def words(self) -> str:
        """What to say at the cursor meanwhile."""
        return ""

    def drag(self, place: Place) -> None:
        """Preview, once the mouse has really moved."""
        self._has_moved = self._has_moved or _is_away(self.start, place)
        if self._has_moved:
            self.bench.document.preview(self.case_at(place))

    def release(self) -> None:
        """Make the previewed change."""
        document = self.bench.document
        document.commit(self.text, document.shown)

    def cancel(self) -> None:
        """Drop the change."""
        self.bench.document.cancel_preview()


class Gesture(Held):
    """A drag in the front or side view, of a thing that belongs to one segment."""

    def __init__(self, bench: Bench, subject: str, segment: str, start: Place) -> None:
        if start.frame is None:
            raise ValueError("a gesture starts in a view")
        super().__init__(bench, subject, start)
        self.segment = segment
        self.frame: ViewFrame = start.frame
        self._from = self._drawn.drawn_in(self.frame, segment, start.at)

    def moved_by(self, place: Place) -> Point:
        """How far the place is from the start, as (u, level) in the thing's segment."""
        u, level = self._drawn.drawn_in(self.frame, self.segment, place.at)
        return (u - self._from[0], level - self._from[1])


def _is_away(start: Place, place: Place) -> bool:
    """Whether the mouse has left the spot where it went down."""
    dx, dy = place.at[0] - start.at[0], place.at[1] - start.at[1]
    return dx * dx + dy * dy > (0.3 * start.grab_mm) ** 2
