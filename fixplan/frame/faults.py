"""By how much a laid bar falls short: too near the skin, in the way of pins or other bars."""

from collections.abc import Iterator
from math import inf

from fixplan.case.limbs import pose_of_case
from fixplan.case.records import Case
from fixplan.frame.joining import BarPath, bar_paths
from fixplan.frame.patterns import layout, size_of
from fixplan.frame.pin_lines import PinLine, pin_lines
from fixplan.frame.skin_gap import gap_of
from fixplan.frame.stock import clamp_part
from fixplan.frame.vectors import stretch_gap

UNLAID_MM = 1000.0


def bar_faults_mm(case: Case, bar_ids: tuple[str, ...], enough_mm: float = inf) -> float:
    """Sum over bars of missing gap and of overlap, mm; 0 when all of them fit.

    Stops adding, and returns what it has, once that is `enough_mm`.
    """
    paths, lines = bar_paths(case), pin_lines(case)
    total = UNLAID_MM * sum(bar not in paths for bar in bar_ids)
    for fault in _faults(case, [paths[x] for x in bar_ids if x in paths], paths, lines):
        total += fault
        if total >= enough_mm:
            break
    return total


def _faults(
    case: Case,
    judged: list[BarPath],
    paths: dict[str, BarPath],
    lines: dict[str, PinLine],
) -> Iterator[float]:
    """What is wrong with each bar, what is quickest to tell first."""
    for path in judged:
        yield UNLAID_MM if path.stock_length_mm is None else 0.0
        yield sum(joint.residual_mm for joint in path.joints if not joint.reaches)
    for path in judged:
        yield sum(_bar_overlap(path, other) for other in paths.values() if other is not path)
        yield sum(_pin_overlap(path, line, paths) for line in lines.values())
    for path in judged:
        yield _skin(case, path)


def _skin(case: Case, path: BarPath) -> float:
    gap = gap_of(pose_of_case(case), path)
    if gap is None:
        return 0.0
    laid = layout(size_of(gap.segment))
    too_far = max(0.0, gap.most_mm - laid.skin_most_mm) if gap.most_mm is not None else 0.0
    least = laid.near_skin_mm.get(gap.segment, laid.skin_least_mm)
    return max(0.0, least - gap.least_mm) + too_far


def _pin_overlap(path: BarPath, line: PinLine, paths: dict[str, BarPath]) -> float:
    """How deep a bar runs into the part of a pin that stands out of the skin, at either end."""
    if any(joint.other == line.pin.id for joint in path.joints):
        return 0.0
    room = (path.bar.diameter_mm + line.pin.diameter_mm) / 2 - layout().touch_mm
    deepest = 0.0
    for joint in (j for other in paths.values() for j in other.joints):
        if joint.other == line.pin.id and joint.out_mm is not None:
            part = clamp_part(joint.part, "pin")
            far = joint.out_mm + part.grip_mm / 2 + part.beyond_mm
            start, end = line.out(joint.end, 0.0), line.out(joint.end, far)
            deepest = max(deepest, room - stretch_gap(path.start_mm, path.end_mm, start, end))
    return deepest


def _bar_overlap(path: BarPath, other: BarPath) -> float:
    room = (path.bar.diameter_mm + other.bar.diameter_mm) / 2 - layout().touch_mm
    gap = stretch_gap(path.start_mm, path.end_mm, other.start_mm, other.end_mm)
    return max(0.0, room - gap)
