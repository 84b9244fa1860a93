"""How firmly a frame holds, in words: lines for a terminal, the sheet and the desk.

Ranges run from loose to tight clamps. Two figures at most: absolute values do not deserve more.
"""

from collections.abc import Iterator
from typing import NamedTuple

from fixplan.case.records import Case
from fixplan.errors import UnstableFrame
from fixplan.frame.assumed import assumed, bar_materials
from fixplan.frame.bodies import holding
from fixplan.frame.hold import Hold, Results, full_hold, has_frame
from fixplan.frame.limb_length import Sag, length_lines, sag_mm
from fixplan.frame.loads import patient_words
from fixplan.frame.peaks import Peak, give_by_part, part_words
from fixplan.frame.trying import best
from fixplan.frame.usual import compared

MODE_WORDS = ("along the bone", "front-back bend", "side bend", "twist")
UNITS = ("N/mm", "N·m/°", "N·m/°", "N·m/°")
GIVING = 3
NO_FRAME = "No frame is drawn that holds two pieces of bone."
LIFTS = ("heel-lift", "hand-lift")
"""The loads of which the sheet tells: the limb lifted by its end."""


class Range(NamedTuple):
    """A number with clamps of usual tightness, and its range over the clamp band."""

    middle: float
    low: float
    high: float

    @property
    def words(self) -> str:
        """Middle and range: 1.2 (0.4 to 2.9)."""
        return f"{figure(self.middle)} ({figure(self.low)} to {figure(self.high)})"


def figure(value: float) -> str:
    """A number with two figures, never as a power of ten: "0.34", "1.2", "21", "140"."""
    if abs(value) >= 9.95:
        step = 10 if abs(value) >= 99.5 else 1
        return f"{round(value / step) * step:.0f}"
    return f"{value:.2f}" if abs(value) < 0.995 else f"{value:.1f}"


def upper(words: str) -> str:
    """The words with a capital at the front."""
    return words[:1].upper() + words[1:]


def ranged(values: tuple[float, float, float]) -> Range:
    """The range of a value at loose, usual and tight clamps."""
    return Range(values[1], min(values), max(values))


def firmness_ranges(hold: Hold, gap: int) -> tuple[Range, ...]:
    """The four stiffnesses of a gap over the clamp band."""
    low, middle, high = (one.gaps[gap].firmness for one in hold.all)
    return tuple(ranged(values) for values in zip(low, middle, high, strict=True))


def shift_range(hold: Hold, load_id: str, gap: int) -> Range | None:
    """How far a gap moves under a load, mm; None where that number is withdrawn or not known."""
    found = [one.load(load_id) for one in hold.all]
    loose, usual, tight = found
    if loose is None or usual is None or tight is None or usual.withdrawn[gap]:
        return None
    low, middle, high = (one.movements[gap].shift_mm for one in (loose, usual, tight))
    return ranged((low, middle, high))


def hold_lines(case: Case, hold: Hold) -> Iterator[str]:
    """Everything in lines for a terminal; the caution comes last."""
    for number, gap in enumerate(hold.middle.gaps):
        yield f"{upper(gap.gap.words)}:"
        against = compared(case, gap)
        if against is not None:
            ratios = ", ".join(
                f"{mode} {figure(ratio)} times"
                for mode, ratio in zip(MODE_WORDS, against.ratios, strict=True)
            )
            yield f"  {upper(against.words)} ({against.name}): {ratios}"
        rows = zip(MODE_WORDS, firmness_ranges(hold, number), UNITS, strict=True)
        yield from (f"  {mode}: {values.words} {unit}" for mode, values, unit in rows)
        yield f"  bends away under about {figure(gap.buckling_n)} N along the limb"
        yield from (f"  {line}" for line in load_lines(hold, number))
    yield from strain_lines(hold.middle)
    yield from (f"Sag of length under the hold: {_sag_words(one)}" for one in sag_mm(hold))
    improvements = [one.words for one in best(case)]
    yield f"Firmer: {'; '.join(improvements) or 'no single change tried gains much'}"
    yield from length_lines(case)
    yield f"Loads count with a body mass of {patient_words(case)}."
    yield from said_lines(case)
    yield assumed().caution


def _sag_words(sag: Sag | None) -> str:
    return "not assessed, as the hold itself" if sag is None else f"{figure(sag.middle_mm)} mm"


def load_lines(hold: Hold, gap: int) -> Iterator[str]:
    """What each load does to a gap; those whose number is withdrawn in one line at the end."""
    beyond = []
    for load in hold.middle.loads:
        head = f"{load.load.name} ({load.load.words})"
        moved = shift_range(hold, load.load.id, gap)
        if moved is None:
            beyond.append(head)
        else:
            turn = load.movements[gap].angle_deg
            yield f"{head}: moves {moved.words} mm, turns {figure(turn)}°"
    if beyond:
        yield f"{'; '.join(beyond)}: {assumed().withdrawn.text.rstrip('.')}"


def strain_lines(results: Results) -> Iterator[str]:
    """Highest stresses and clamp moment over the loads that can be calculated, and what gives most.

    The moment of a clamp has no limit to be compared with, and slip is not calculated.
    """
    limits = assumed()
    loads = [one for one in results.loads if not any(one.withdrawn)]
    if not loads:
        none = "no reference load is listed for this limb"
        withdrawn = "no reference load is within what can be calculated"
        yield f"Stresses are not assessed: {withdrawn if results.loads else none}"
        return
    for kind in ("pin", "bar"):
        found = [(peak, one) for one in loads if (peak := getattr(one.peaks, kind)) is not None]
        if found:
            peak, load = max(found, key=lambda one: one[0].value)
            line = (
                f"Highest {kind} stress: {_peak(peak)}, {load.load.name}: {figure(peak.value)} MPa"
            )
            share = 100 * peak.value / limits.pin.yield_mpa
            yield f"{line}, {share:.0f} % of yield" if kind == "pin" else line
    clamps = [(one.peaks.clamp, one) for one in loads if one.peaks.clamp is not None]
    if clamps:
        peak, load = max(clamps, key=lambda one: one[0].value)
        yield (
            f"Largest clamp moment: {peak.place}, {load.load.name}: {figure(peak.value)} N·m "
            "(no limit is known; slip is not calculated)"
        )
    yield f"Most of the give: {', '.join(give_words(results))}"


def _peak(peak: Peak) -> str:
    return f"{part_words(peak.part)} {peak.place}"


def give_words(results: Results, load_id: str = LIFTS[0]) -> list[str]:
    """The parts that give most under a load, with their shares of the strain energy."""
    load = results.load(load_id) or results.loads[0]
    shares = give_by_part(results.solved, load.peaks.column)
    return [
        f"{part_words(part)} {100 * share:.0f} %" for part, share in list(shares.items())[:GIVING]
    ]


def said_lines(case: Case) -> tuple[str, ...]:
    """What the calculation leaves out or assumes about this frame, a sentence each."""
    known = bar_materials()
    strange = sorted({bar.material for bar in case.bars} - known.keys())
    unlisted = [f"No material {name} is listed; carbon fibre is counted." for name in strange]
    plain = "Pins count as plain cylinders; at a thread the stress is higher."
    return (*holding(case).said, *unlisted, *braced_lines(case), plain)


def spanned_joints(case: Case) -> tuple[str, ...]:
    """The joints that a frame spans and whose ligaments may hold: no fracture lies in their gap."""
    gaps = [gap for frame in holding(case).frames for gap in frame.gaps]
    return tuple(gap.joint for gap in gaps if gap.joint and not gap.broken)


def braced_lines(case: Case) -> tuple[str, ...]:
    """That ligaments are counted, where they are; else nothing."""
    joints = spanned_joints(case) if case.spanned_joints == "braced" else ()
    return tuple(f"The ligaments of the {joint} count as unbroken." for joint in joints)


def sheet_lines(case: Case, *, with_advice: bool = True) -> tuple[str, ...]:
    """What the sheet says: one line about firmness, then length and turn; nothing without both."""
    line = short_line(case, with_advice=with_advice)
    length = " ".join(length_lines(case))
    return tuple(one for one in (line, length) if one)


def short_line(case: Case, *, with_advice: bool = True) -> str:
    """One line for the sheet: against the usual frame, movement on heel lift, the best change."""
    if not has_frame(case):
        return ""
    try:
        hold = full_hold(case)
    except UnstableFrame as problem:
        return str(problem)
    parts = [_gap_line(case, hold, number) for number in range(len(hold.middle.gaps))]
    if with_advice:
        improvements = best(case)
        if improvements:
            parts.append(f"Firmer with {improvements[0].change.words}.")
    parts += braced_lines(case)
    parts.append("Comparison only: absolute values are rough.")
    return " ".join(parts)


def _gap_line(case: Case, hold: Hold, gap: int) -> str:
    found = hold.middle.gaps[gap]
    against = compared(case, found)
    head = f"{upper(found.gap.words)}: {against.words if against else 'no usual frame listed'}"
    if against is not None:
        low, high = min(against.ratios), max(against.ratios)
        head += f" ({figure(low)} to {figure(high)} times)"
    lift = next((x for one in LIFTS if (x := hold.middle.load(one))), None)
    if lift is None:
        return f"{head}."
    moved, how = shift_range(hold, lift.load.id, gap), upper(lift.load.name)
    if moved is None:
        return f"{head}. {how}: beyond what can be calculated, support the limb."
    return f"{head}. {how}: {figure(moved.low)} to {figure(moved.high)} mm."
