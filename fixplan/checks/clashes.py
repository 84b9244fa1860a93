"""Rule kind about bars that run through each other, or through a pin that they do not hold."""

from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from fixplan.case.records import Bar, Case
from fixplan.case.remembered import remembered
from fixplan.checks.finding import Finding
from fixplan.checks.frames import bar_finding, part_words
from fixplan.checks.register import case_kind
from fixplan.checks.rules import Rule
from fixplan.checks.texts import beyond
from fixplan.frame.joining import BarPath, bar_paths, held_by_bars, pins_named
from fixplan.frame.lengths import pin_length
from fixplan.frame.pin_lines import PinLine, pin_lines
from fixplan.frame.rods import Array, Rod, overlaps_mm
from fixplan.frame.vectors import along


class _Table(NamedTuple):
    """How deep each bar lies in each of some parts, by the parts' ids."""

    names: tuple[str, ...]
    depth_mm: Array


@remembered
def _shared_space(case: Case) -> dict[str, _Table]:
    """What bars share with bars and with pins, worked out at once for all rules that ask."""
    bars = {id_: _bar_rod(path) for id_, path in bar_paths(case).items()}
    pins = _pin_rods(case)
    depth_mm = overlaps_mm(tuple(bars.values()), (*bars.values(), *pins.values()))
    among, beyond_them = depth_mm[:, : len(bars)], depth_mm[:, len(bars) :]
    return {"bar": _Table(tuple(bars), among), "pin": _Table(tuple(pins), beyond_them)}


@case_kind("parts-clash")
def parts_clash(rule: Rule, case: Case) -> Iterator[Finding]:
    """Parts that share space: a bar and a bar, or with `target` pin a bar and a pin.

    Parts that a clamp joins are held apart by it. Measured is how deep one lies in the other.
    """
    paths = bar_paths(case)
    names, depth_mm = _shared_space(case)["pin" if rule.target == "pin" else "bar"]
    laid = tuple(paths.values())
    seen: set[frozenset[str]] = set()
    for row, column in np.argwhere(depth_mm > min(rule.above.values())).tolist():
        path, other = laid[row], names[column]
        pair = frozenset((path.bar.id, other))
        if pair not in seen and not _joined(path, other, paths):
            seen.add(pair)
            yield from _clash(rule, path.bar, other, float(depth_mm[row, column]))


@lru_cache(maxsize=1024)
def _clash(rule: Rule, bar: Bar, other: str, overlap_mm: float) -> tuple[Finding, ...]:
    passed = beyond(rule, overlap_mm)
    if passed is None:
        return ()
    found = bar_finding(
        rule,
        bar,
        passed[0],
        rule.text,
        other=other,
        measured=overlap_mm,
        limit=passed[1],
        part=part_words(other),
    )
    return (found,)


def _joined(path: BarPath, other: str, paths: dict[str, BarPath]) -> bool:
    """Whether a clamp joins a bar to another part, or the part is the bar itself."""
    if other == path.bar.id or other in pins_named(path.bar) or other in held_by_bars(path.bar):
        return True
    return other in paths and path.bar.id in held_by_bars(paths[other].bar)


def _bar_rod(path: BarPath) -> Rod:
    return path.start_mm, path.end_mm, path.bar.diameter_mm / 2


def _pin_rods(case: Case) -> dict[str, Rod]:
    return {id_: _pin_rod(case, line) for id_, line in pin_lines(case).items()}


def _pin_rod(case: Case, line: PinLine) -> Rod:
    """A pin outside the skin, on the side or sides where it stands out."""
    length = pin_length(case, line.pin)
    out_mm = length.gap_mm + length.clamp_mm
    inner_mm = line.skin_mm
    if line.pin.kind == "through":
        out_mm, inner_mm = out_mm / 2, line.far_skin_mm - out_mm / 2
    outer = along(line.aim, line.outward, line.skin_mm + out_mm)
    return along(line.aim, line.outward, inner_mm), outer, line.pin.diameter_mm / 2
