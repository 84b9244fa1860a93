"""Rule kinds about bars and clamps, and about lengths of pins and bars."""

from collections.abc import Iterator

from fixplan.case.limbs import pose_of_case
from fixplan.case.records import Bar, Case, Pin
from fixplan.case.remembered import remembered
from fixplan.case.scalars import Severity
from fixplan.checks.finding import Finding
from fixplan.checks.register import case_kind
from fixplan.checks.rules import Rule
from fixplan.checks.texts import beyond, diameter_words, finding, number, pin_finding
from fixplan.frame.defaults import diameters_of
from fixplan.frame.joining import BarPath, Clamp, laid_bars
from fixplan.frame.lengths import PinLength, pin_length
from fixplan.frame.skin_gap import BarGap, gap_of
from fixplan.frame.stock import clamp_part, pin_stock
from fixplan.geometry.paths import PinPath, pin_path


def bar_words(bar: Bar) -> str:
    """The bar's name on screen and paper."""
    return f"Bar {bar.number}"


def part_words(part_id: str) -> str:
    """A pin or bar in a sentence, from its id: "pin 3"."""
    return part_id.replace("-", " ")


def bar_finding(
    rule: Rule,
    bar: Bar,
    severity: Severity,
    text: str,
    *,
    other: str | None = None,
    measured: float | None = None,
    limit: float | None = None,
    advice: str = "",
    evidence: tuple[str, ...] = (),
    **words: str,
) -> Finding:
    """A finding about one bar, perhaps where it meets one other part."""
    subjects = (bar.id,) if other is None else (bar.id, other)
    return finding(
        rule,
        severity,
        subjects,
        bar_words(bar),
        text,
        measured=measured,
        limit=limit,
        advice=advice,
        evidence=evidence,
        bar=bar_words(bar),
        **words,
    )


@case_kind("bar-laid")
def bar_laid(rule: Rule, case: Case) -> Iterator[Finding]:
    """A bar that no straight line carries past its anchors."""
    problems = laid_bars(case).problems
    for bar in case.bars:
        if bar.id in problems:
            problem = problems[bar.id].partition(": ")[2].rstrip(".")
            yield bar_finding(rule, bar, rule.severity, rule.text, problem=problem)


@case_kind("bar-clamp")
def bar_clamp(rule: Rule, case: Case) -> Iterator[Finding]:
    """A joint for which no clamp is listed."""
    pins = {pin.id: pin for pin in case.pins}
    bars = {bar.id: bar for bar in case.bars}
    for path, joint in _joints(case):
        if joint.part is not None:
            continue
        pin = pins.get(joint.other)
        thick = pin.diameter_mm if pin else bars[joint.other].diameter_mm
        yield bar_finding(
            rule,
            path.bar,
            rule.severity,
            rule.text,
            other=joint.other,
            measured=thick,
            limit=path.bar.diameter_mm,
            part="a pin" if pin else "a bar",
        )


@case_kind("bar-reach")
def bar_reach(rule: Rule, case: Case) -> Iterator[Finding]:
    """A pin that a bar is to carry but that its clamp cannot reach (D15)."""
    for path, joint in _joints(case):
        if joint.reaches:
            continue
        under_skin = joint.out_mm is not None and joint.out_mm <= 0
        reach = clamp_part(joint.part, "pin").reach_mm
        yield bar_finding(
            rule,
            path.bar,
            rule.severity,
            rule.texts["skin"] if under_skin else rule.text,
            other=joint.other,
            measured=joint.residual_mm,
            limit=reach,
            part=part_words(joint.other),
            advice="" if under_skin else f"line up {part_words(joint.other)} with the bar",
        )


@case_kind("bar-length")
def bar_length(rule: Rule, case: Case) -> Iterator[Finding]:
    """A bar shorter than it must be, or longer than any that is stocked."""
    for path in laid_bars(case).paths.values():
        bar, stock_mm = path.bar, path.stock_length_mm
        if stock_mm is not None and stock_mm >= path.length_mm - 2 * bar.overhang_mm:
            continue
        text = rule.texts["stock"] if bar.length_mm is None else rule.text
        yield bar_finding(
            rule, bar, rule.severity, text, measured=path.length_mm, limit=bar.length_mm
        )


@case_kind("bar-to-skin")
def bar_to_skin(rule: Rule, case: Case) -> Iterator[Finding]:
    """A bar too near the skin anywhere, or too far from it at one of its pins (FR-01)."""
    pose = pose_of_case(case)
    for path in laid_bars(case).paths.values():
        gap = gap_of(pose, path)
        if gap is None:
            continue
        near, far = _too_near(rule, gap), _too_far(rule, gap)
        if near:
            text = rule.texts["inside"] if gap.least_mm < 0 else rule.text
            place = f" of the {pose.limb.segments[gap.segment].title}"
            yield _skin_finding(rule, path, near, text, gap.least_mm, place)
        elif far and gap.most_mm is not None:
            place = f" at {part_words(gap.most_at or '')}"
            yield _skin_finding(rule, path, far, rule.texts["far"], gap.most_mm, place)


def _too_near(rule: Rule, gap: BarGap) -> tuple[Severity, float] | None:
    """The limit that a bar's least gap is under; `near-` in numbers: segments that ask less."""
    passed = beyond(rule, gap.least_mm)
    if passed is None or gap.least_mm >= passed[1]:
        return None
    enough_mm = rule.numbers.get(f"near-{gap.segment}", passed[1])
    if passed[0] == "stop":
        return passed
    return (passed[0], enough_mm) if gap.least_mm < enough_mm else None


def _too_far(rule: Rule, gap: BarGap) -> tuple[Severity, float] | None:
    """The limit that a bar's gap at a pin is over; `far-` in numbers: segments that allow more."""
    passed = None if gap.most_mm is None else beyond(rule, gap.most_mm)
    if passed is None or gap.most_mm is None:
        return None
    most_mm = rule.numbers.get(f"far-{gap.segment}", passed[1])
    return (passed[0], most_mm) if gap.most_mm > most_mm else None


@case_kind("bar-to-bone")
def bar_to_bone(rule: Rule, case: Case) -> Iterator[Finding]:
    """A bar that stands far from the bone at one of its pins, measured along that pin."""
    limb, pins = pose_of_case(case).limb, {pin.id: pin for pin in case.pins}
    for path in laid_bars(case).paths.values():
        away = [
            (_bone_mm(pin_path(limb, pins[joint.other]), joint.end) + joint.out_mm, joint.other)
            for joint in path.joints
            if joint.out_mm is not None and joint.other in pins
        ]
        most_mm, pin = max(away, default=(0.0, ""))
        if passed := beyond(rule, most_mm):
            yield bar_finding(
                rule,
                path.bar,
                passed[0],
                rule.text,
                other=pin,
                measured=most_mm,
                limit=passed[1],
                part=part_words(pin),
            )


def _bone_mm(path: PinPath, end: str) -> float:
    """From the bone's surface to the skin at one end of a pin."""
    return path.soft_tissue_mm if end == "outer" else path.far_mm - path.far_skin_mm


def _skin_finding(
    rule: Rule,
    path: BarPath,
    passed: tuple[Severity, float],
    text: str,
    gap_mm: float,
    place: str,
) -> Finding:
    return bar_finding(
        rule,
        path.bar,
        passed[0],
        text,
        measured=gap_mm,
        limit=passed[1],
        place=place,
        inside=number(-gap_mm),
    )


@case_kind("pin-length")
def pin_length_enough(rule: Rule, case: Case) -> Iterator[Finding]:
    """A pin shorter than tip, bone, soft tissue, gap and clamp together."""
    for pin, length in _lengths(case):
        if length.is_long_enough:
            if not length.covers_doubt:
                yield _doubtful(rule, pin, length)
            continue
        text, limit, severity = rule.text, length.stock_mm, rule.severity
        instead = _longer_listed(pin, length.needed_mm)
        if pin.length_mm is None:
            way = "ask" if instead else "stock"
            text, limit = rule.texts[way], length.longest_mm
            severity = rule.severities.get(way, severity)
        if limit is None:
            text, severity = rule.texts["none"], rule.severity
        yield pin_finding(
            rule,
            pin,
            severity,
            text,
            measured=length.needed_mm,
            limit=limit,
            advice=length.words,
            diameter=diameter_words(pin.diameter_mm),
            kind=f"{pin.kind}-pin",
            instead=instead,
        )


def _longer_listed(pin: Pin, needed_mm: float) -> str:
    """A listed pin of another diameter that reaches: "one of 3 mm, 80 long"; "" without one."""
    known = diameters_of(pin.bone)
    listed = known.listed_mm(pin.kind) if known else ()
    for diameter in sorted(listed, key=lambda one: abs(one - pin.diameter_mm)):
        for length, _ in pin_stock(pin.kind, diameter):
            if length >= needed_mm:
                return f"one of {diameter_words(diameter)} mm, {number(length)} long"
    return ""


def _doubtful(rule: Rule, pin: Pin, length: PinLength) -> Finding:
    """A pin that reaches with the skin as drawn, but not as far out as it may lie."""
    return pin_finding(
        rule,
        pin,
        rule.severities["doubt"],
        rule.texts["doubt"],
        measured=length.at_most_mm,
        limit=length.stock_mm,
        advice=length.words,
        chosen="the longest stocked" if pin.length_mm is None else "it",
    )


@case_kind("pin-thread")
def pin_thread(rule: Rule, case: Case) -> Iterator[Finding]:
    """A pin whose thread does not span both cortices."""
    for pin, length in _lengths(case):
        if length.thread_spans is not False:
            continue
        text = rule.texts["central"] if pin.kind == "through" else rule.text
        yield pin_finding(
            rule,
            pin,
            rule.severity,
            text,
            measured=length.thread_needed_mm,
            limit=length.thread_mm,
        )


@remembered
def _lengths(case: Case) -> tuple[tuple[Pin, PinLength], ...]:
    """The length of every pin whose bone the limb has."""
    known = pose_of_case(case).limb.bones
    return tuple((pin, pin_length(case, pin)) for pin in case.pins if pin.bone in known)


def _joints(case: Case) -> Iterator[tuple[BarPath, Clamp]]:
    for path in laid_bars(case).paths.values():
        yield from ((path, joint) for joint in path.joints)
