"""By how much a laid bar falls short: off the skin, in the way of pins, in the way of other bars."""

from fixplan.case.limbs import pose_of_case
from fixplan.case.records import Case
from fixplan.frame.joining import BarPath, bar_paths
from fixplan.frame.patterns import layout
from fixplan.frame.pin_lines import PinLine, pin_lines
from fixplan.frame.skin_gap import gap_of
from fixplan.frame.stock import clamp_part
from fixplan.frame.vectors import stretch_gap

UNLAID_MM = 1000.0


def bar_faults_mm(case: Case, bar_ids: tuple[str, ...]) -> float:
    """Sum over bars of what is missing to the layout's gaps and of overlaps, mm; 0 for a bar that fits."""
    paths = bar_paths(case)
    lines = pin_lines(case)
    return sum(_of_one(case, paths[x], paths, lines) if x in paths else UNLAID_MM for x in bar_ids)


def _of_one(
    case: Case, path: BarPath, paths: dict[str, BarPath], lines: dict[str, PinLine]
) -> float:
    return (
        _skin(case, path)
        + sum(joint.residual_mm for joint in path.joints if not joint.reaches)
        + (UNLAID_MM if path.stock_length_mm is None else 0.0)
        + sum(_pin_overlap(path, line, paths) for line in lines.values())
        + sum(_bar_overlap(path, other) for other in paths.values() if other is not path)
    )


def _skin(case: Case, path: BarPath) -> float:
    gap = gap_of(pose_of_case(case), path)
    if gap is None:
        return 0.0
    too_far = max(0.0, gap.most_mm - layout().skin_most_mm) if gap.most_mm is not None else 0.0
    return max(0.0, layout().skin_least_mm - gap.least_mm) + too_far


def _pin_overlap(path: BarPath, line: PinLine, paths: dict[str, BarPath]) -> float:
    """How deep a bar runs into the part of a pin that stands out of the skin, at either end."""
    if any(joint.other == line.pin.id for joint in path.joints):
        return 0.0
    room = (path.bar.diameter_mm + line.pin.diameter_mm) / 2
    deepest = 0.0
    for joint in (j for other in paths.values() for j in other.joints):
        if joint.other == line.pin.id and joint.out_mm is not None:
            part = clamp_part(joint.part, "pin")
            far = joint.out_mm + part.grip_mm / 2 + part.beyond_mm
            start, end = line.out(joint.end, 0.0), line.out(joint.end, far)
            deepest = max(deepest, room - stretch_gap(path.start_mm, path.end_mm, start, end))
    return deepest


def _bar_overlap(path: BarPath, other: BarPath) -> float:
    room = (path.bar.diameter_mm + other.bar.diameter_mm) / 2
    gap = stretch_gap(path.start_mm, path.end_mm, other.start_mm, other.end_mm)
    return max(0.0, room - gap)
