"""What the desk says about firmness without waiting: lines for the sheet. No Qt."""

from fixplan.case.records import Case
from fixplan.frame.hold import has_frame
from fixplan.frame.hold_words import sheet_lines

WORKING = "Being worked out while something moves."


def hold_lines(case: Case, *, is_moving: bool) -> tuple[str, ...]:
    """The sheet's lines; while something moves a placeholder, so that nothing stale is shown."""
    if is_moving:
        return (WORKING,) if has_frame(case) else ()
    return sheet_lines(case, with_advice=False)
