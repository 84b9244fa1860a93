"""By how much a laid bar falls short: too near the skin, in the way, too far out for its pins."""

from collections.abc import Iterator
from math import inf

from fixplan.case.limbs import pose_of_case
from fixplan.case.records import Case
from fixplan.frame.joining import BarPath, bar_paths, laid_bars
from fixplan.frame.lengths import pin_length
from fixplan.frame.patterns import layout, size_of
from fixplan.frame.pin_lines import PinLine, pin_lines
from fixplan.frame.skin_gap import gap_of
from fixplan.frame.stock import clamp_part
from fixplan.frame.vectors import stretch_gap

UNLAID_MM = 1000.0


def bar_faults_mm(
    case: Case, bar_ids: tuple[str, ...], enough_mm: float = inf, stop_mm: float = 0.0
) -> float:
    """Sum over bars of missing gap and of overlap, mm; 0 when all of them fit.

    Stops adding, and returns what it has, once that is `enough_mm`. What would be a stop counts
    `stop_mm` more than its mm.
    """
    paths, lines = bar_paths(case), pin_lines(case)
    total = UNLAID_MM * sum(bar not in paths for bar in bar_ids)
    for fault_mm, is_stop in _faults(case, [paths[x] for x in bar_ids if x in paths], paths, lines):
        total += fault_mm + (stop_mm if is_stop and fault_mm > 0 else 0.0)
        if total >= enough_mm:
            break
    return total


def bar_stops(case: Case) -> tuple[str, ...]:
    """Why the bars of a case cannot be built as they lie, in words; nothing when they can."""
    laid, lines = laid_bars(case), pin_lines(case)
    return (*laid.problems.values(), *_stops(case, laid.paths, lines))


def _stops(case: Case, paths: dict[str, BarPath], lines: dict[str, PinLine]) -> Iterator[str]:
    pose = pose_of_case(case)
    for path in paths.values():
        name = f"bar {path.bar.number}"
        if path.stock_length_mm is None:
            yield f"{name} would be longer than any that is stocked"
        if not all(joint.reaches for joint in path.joints):
            yield f"{name} would not reach all that it is to hold"
        gap = gap_of(pose, path)
        if gap is not None and gap.least_mm < 0:
            yield f"{name} would run inside the skin of the {pose.limb.segments[gap.segment].title}"
        met = [other for other in paths.values() if _meets(path, other)]
        for other in (one for one in met if one.bar.number > path.bar.number):
            yield f"{name} would run through bar {other.bar.number}"
        for line in lines.values():
            if _pin_overlap(path, line, paths) > 0:
                yield f"{name} would run through pin {line.pin.number}"
    for line in lines.values():
        if _holds(list(paths.values()), line) and _short_mm(case, line) > 0:
            yield f"pin {line.pin.number} would be too short for its bar, as long as it is stocked"


def _faults(
    case: Case,
    judged: list[BarPath],
    paths: dict[str, BarPath],
    lines: dict[str, PinLine],
) -> Iterator[tuple[float, bool]]:
    """What is wrong with each bar, and whether it is a stop; what is quickest to tell first."""
    for path in judged:
        yield UNLAID_MM if path.stock_length_mm is None else 0.0, True
        yield sum(joint.residual_mm for joint in path.joints if not joint.reaches), True
    for path in judged:
        others = [other for other in paths.values() if other is not path]
        yield sum(_bar_overlap(path, o) for o in others if not _joined(path, o)), True
        yield sum(_bar_overlap(path, o) for o in others if _joined(path, o)), False
        yield sum(_pin_overlap(path, line, paths) for line in lines.values()), True
    for path in judged:
        yield _skin(case, path)
    yield sum(_short_mm(case, line) for line in lines.values() if _holds(judged, line)), True


def _joined(path: BarPath, other: BarPath) -> bool:
    """Whether a clamp joins two bars, and so holds them apart where it stands."""
    return any(
        joint.other == two.bar.id
        for one, two in ((path, other), (other, path))
        for joint in one.joints
    )


def _meets(path: BarPath, other: BarPath) -> bool:
    return not _joined(path, other) and _bar_overlap(path, other) > 0


def _holds(judged: list[BarPath], line: PinLine) -> bool:
    return any(joint.other == line.pin.id for path in judged for joint in path.joints)


def _short_mm(case: Case, line: PinLine) -> float:
    """By how much the longest pin that is stocked falls short of the clamps that hold it."""
    length = pin_length(case, line.pin)
    if length.is_long_enough or length.longest_mm is None:
        return 0.0
    return length.needed_mm - length.longest_mm


def _skin(case: Case, path: BarPath) -> tuple[float, bool]:
    gap = gap_of(pose_of_case(case), path)
    if gap is None:
        return 0.0, False
    laid = layout(size_of(gap.segment))
    too_far = max(0.0, gap.most_mm - laid.skin_most_mm) if gap.most_mm is not None else 0.0
    least = laid.near_skin_mm.get(gap.segment, laid.skin_least_mm)
    return max(0.0, least - gap.least_mm) + too_far, gap.least_mm < 0


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
