"""Rule kind about bars that run through each other, or through a pin that they do not hold."""

from collections.abc import Iterator
from functools import lru_cache
from itertools import combinations

from fixplan.case.records import Bar, Case
from fixplan.checks.finding import Finding
from fixplan.checks.frames import bar_finding, part_words
from fixplan.checks.register import case_kind
from fixplan.checks.rules import Rule
from fixplan.checks.texts import beyond
from fixplan.frame.joining import BarPath, bar_paths, held_by_bars, pins_named
from fixplan.frame.lengths import pin_length
from fixplan.frame.pin_lines import PinLine, pin_lines
from fixplan.frame.vectors import Vector, along, stretch_gap

Rod = tuple[Vector, Vector, float]
"""Both ends in the posed limb and the radius, mm."""


@case_kind("parts-clash")
def parts_clash(rule: Rule, case: Case) -> Iterator[Finding]:
    """Parts that share space: a bar and a bar, or with `target` pin a bar and a pin.

    Parts that a clamp joins are held apart by it. Measured is how deep one lies in the other.
    """
    paths = bar_paths(case)
    pairs = _with_pins(case, paths) if rule.target == "pin" else _with_bars(paths)
    for bar, other, one, two in pairs:
        overlap_mm = _overlap_mm(one, two)
        if passed := beyond(rule, overlap_mm):
            yield bar_finding(
                rule,
                bar,
                passed[0],
                rule.text,
                other=other,
                measured=overlap_mm,
                limit=passed[1],
                part=part_words(other),
            )


@lru_cache(maxsize=16384)
def _overlap_mm(one: Rod, two: Rod) -> float:
    return one[2] + two[2] - stretch_gap(one[0], one[1], two[0], two[1])


def _bar_rod(path: BarPath) -> Rod:
    return path.start_mm, path.end_mm, path.bar.diameter_mm / 2


def _with_bars(paths: dict[str, BarPath]) -> Iterator[tuple[Bar, str, Rod, Rod]]:
    for one, two in combinations(paths.values(), 2):
        if two.bar.id in held_by_bars(one.bar) or one.bar.id in held_by_bars(two.bar):
            continue
        yield one.bar, two.bar.id, _bar_rod(one), _bar_rod(two)


def _with_pins(case: Case, paths: dict[str, BarPath]) -> Iterator[tuple[Bar, str, Rod, Rod]]:
    rods = {id_: _pin_rod(case, line) for id_, line in pin_lines(case).items()}
    for path in paths.values():
        held = pins_named(path.bar)
        bar = _bar_rod(path)
        yield from ((path.bar, id_, bar, rod) for id_, rod in rods.items() if id_ not in held)


def _pin_rod(case: Case, line: PinLine) -> Rod:
    """A pin outside the skin, on the side or sides where it stands out."""
    length = pin_length(case, line.pin)
    out_mm = length.gap_mm + length.clamp_mm
    inner_mm = line.skin_mm
    if line.pin.kind == "through":
        out_mm, inner_mm = out_mm / 2, line.far_skin_mm - out_mm / 2
    outer = along(line.aim, line.outward, line.skin_mm + out_mm)
    return along(line.aim, line.outward, inner_mm), outer, line.pin.diameter_mm / 2
