"""What `fixplan hold` says about one case: its firmness, or why there is none to tell."""

from collections.abc import Iterator

import msgspec
from msgspec.structs import replace

from fixplan.case.scalars import JointState
from fixplan.checks.answer import CLEAN, OPEN_STOP, UNREADABLE, answer_for
from fixplan.errors import UnstableFrame
from fixplan.frame.bodies import holding
from fixplan.frame.hold import Hold, full_hold, has_frame
from fixplan.frame.hold_json import hold_json
from fixplan.frame.hold_words import NO_FRAME, hold_lines


class Firm(msgspec.Struct, frozen=True, kw_only=True, eq=False):
    """One case's firmness; `loose` says what is free to move, `error` why nothing can be told."""

    case: str
    told: dict[str, object] | None = None
    printed: tuple[str, ...] = ()
    loose: str = ""
    error: str = ""

    @property
    def code(self) -> int:
        """What the program ends with: 2 cannot be read, 1 a part is free to move, else 0."""
        if self.error:
            return UNREADABLE
        return OPEN_STOP if self.loose else CLEAN

    def as_json(self) -> dict[str, object]:
        """The answer as plain values."""
        found: dict[str, object] = {"case": self.case}
        if self.error:
            return {**found, "error": self.error}
        if self.loose:
            found["loose"] = self.loose
        return {**found, **(self.told or {"gaps": []})}

    def lines(self) -> Iterator[str]:
        """The answer as lines to print; none for a case that cannot be read."""
        if self.error:
            return
        yield self.case
        yield from (f"  {line}" for line in (self.printed or (self.loose or NO_FRAME,)))


def firmness_for(path: str, joints: JointState | None = None) -> Firm:
    """Read one case file and tell how firmly its frame holds; `joints` None: as the case says."""
    answer = answer_for(path)
    if answer.opened is None or answer.error:
        return Firm(case=path, error=answer.error)
    case = answer.opened.case
    if joints is not None:
        case = replace(case, spanned_joints=joints)
    if not has_frame(case):
        said = holding(case).said
        return Firm(case=path, told={"gaps": [], "said": list(said)}, printed=(NO_FRAME, *said))
    try:
        hold: Hold = full_hold(case)
    except UnstableFrame as problem:
        return Firm(case=path, loose=str(problem))
    return Firm(case=path, told=hold_json(case, hold), printed=tuple(hold_lines(case, hold)))
