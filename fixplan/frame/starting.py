"""Starting frames: one click lays a pattern of the trade's own on the case as it is drawn.

Pins are slid along the bone in steps and then turned until the judge finds nothing that this mends;
where the bone does not allow it, a sentence says so. Bars are moved out until off the skin.
"""

import msgspec

from fixplan.case import edits
from fixplan.case.records import Case
from fixplan.errors import EditError
from fixplan.frame.patterns import Pattern, pattern
from fixplan.frame.shaft_frames import lay_per_fragment, lay_single_bar
from fixplan.frame.sketch import Sketch
from fixplan.frame.sliding import Judge
from fixplan.frame.spanning_frames import lay_ankle_delta, lay_knee_spanning

SHAFT = {"per-fragment": lay_per_fragment, "single-bar": lay_single_bar}
SPANNING = {"knee-spanning": lay_knee_spanning, "ankle-delta": lay_ankle_delta}


class LaidFrame(msgspec.Struct, frozen=True):
    """The case with its frame, and a sentence for each place where the bone did not allow it."""

    case: Case
    statements: tuple[str, ...]


def lay_frame(case: Case, pattern_id: str, judge: Judge, bone: str | None = None) -> LaidFrame:
    """Lay a starting frame; pins that already stand in its bones, and their bars, give way to it.

    `bone` picks the bone of a shaft pattern where two are broken. Raises EditError for an unknown
    pattern, or when a shaft pattern finds no fracture to start from.
    """
    chosen = pattern(pattern_id)
    if chosen.kind in SHAFT:
        broken = _broken_bone(case, chosen, bone)
        sketch = Sketch(_cleared(case, (broken,)), judge)
        SHAFT[chosen.kind](sketch, broken)
    else:
        sketch = Sketch(_cleared(case, chosen.bones), judge)
        SPANNING[chosen.kind](sketch, chosen)
    return LaidFrame(sketch.case, tuple(sketch.statements))


def _cleared(case: Case, bones: tuple[str, ...]) -> Case:
    for pin in case.pins:
        if pin.bone in bones:
            case = edits.remove(case, pin.id)
    return case


def _broken_bone(case: Case, chosen: Pattern, bone: str | None) -> str:
    broken = {fracture.bone for fracture in case.fractures}
    pinned = {pin.bone for pin in case.pins}
    found = [one for one in chosen.bones if one in broken and bone in (None, one)]
    if not found:
        asked = bone or " or ".join(chosen.bones)
        raise EditError(
            f"No fracture of the {asked} is drawn; draw it first, the frame starts from it."
        )
    return next((one for one in found if one not in pinned), found[0])
