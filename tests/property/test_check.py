"""Whatever is drawn, the checks give whole sentences and the same answer for either side."""

from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from fixplan.case.edits import mirrored
from fixplan.case.records import (
    Bar,
    Case,
    Fracture,
    Injury,
    LimbSize,
    Pin,
    PinAnchor,
    Wound,
)
from fixplan.checks.finding import SEVERITIES
from fixplan.checks.run import check

SIZE = LimbSize(sex="female", stature_mm=1650.0, mass_kg=65.0)


def numbers(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False).map(lambda value: round(value, 1))


@st.composite
def pins(draw: st.DrawFn, number: int) -> Pin:
    return Pin(
        id=f"pin-{number}",
        number=number,
        bone=draw(st.sampled_from(["femur", "tibia", "fibula", "calcaneus", "talus"])),
        level_mm=draw(numbers(-50.0, 480.0)),
        bearing_deg=draw(numbers(0.0, 360.0)),
        tilt_deg=draw(numbers(-60.0, 60.0)),
        offset_mm=draw(numbers(-30.0, 30.0)),
        diameter_mm=draw(numbers(1.0, 12.0)),
        tip_mm=draw(numbers(-30.0, 30.0)),
        kind=draw(st.sampled_from(["half", "through"])),
    )


@st.composite
def outlines(draw: st.DrawFn) -> tuple[tuple[float, float], ...]:
    u, v = draw(numbers(-50.0, 50.0)), draw(numbers(20.0, 380.0))
    wide, high = draw(numbers(2.0, 60.0)), draw(numbers(2.0, 60.0))
    return ((u - wide, v), (u, v - high), (u + wide, v), (u, v + high))


@st.composite
def cases(draw: st.DrawFn) -> Case:
    standing = tuple(draw(pins(number)) for number in range(1, draw(st.integers(2, 4)) + 1))
    outs = draw(st.tuples(numbers(-20.0, 120.0), numbers(-20.0, 120.0)))
    level = draw(numbers(0.0, 330.0))
    return Case(
        side="right",
        size=SIZE,
        fractures=(Fracture(id="fracture-1", bone="tibia", from_mm=level, to_mm=level + 30.0),),
        wounds=(
            Wound(
                id="wound-1", kind="opening", segment="leg", view="front", outline=draw(outlines())
            ),
        ),
        injuries=(Injury(id="injury-1", segment="leg", side=draw(outlines())),),
        pins=standing,
        bars=(
            Bar(
                id="bar-1",
                number=1,
                anchors=(
                    PinAnchor(pin="pin-1", out_mm=outs[0]),
                    PinAnchor(pin="pin-2", out_mm=outs[1]),
                ),
                also=tuple(pin.id for pin in standing[2:]),
            ),
        ),
        last_number=len(standing),
    )


@settings(deadline=None, max_examples=60)
@given(cases())
def test_every_finding_is_a_whole_sentence_with_its_evidence(case: Case):
    for one in check(case):
        assert one.severity in SEVERITIES
        assert one.subjects
        assert "{" not in one.message
        assert "None" not in one.message
        assert one.message.endswith(")")
        assert one.measured is None or one.measured == one.measured


@st.composite
def arms(draw: st.DrawFn) -> Case:
    """Pins anywhere in an arm, some through an open approach, with a broken bone."""
    count = draw(st.integers(1, 3))
    standing = tuple(
        replace(
            draw(pins(number)),
            bone=draw(st.sampled_from(["humerus", "radius", "ulna", "metacarpal-2"])),
            open_approach=draw(st.booleans()),
        )
        for number in range(1, count + 1)
    )
    level = draw(numbers(20.0, 220.0))
    broken = Fracture(id="fracture-1", bone="radius", from_mm=level, to_mm=level + 15.0)
    return Case(
        limb="arm",
        side="left",
        size=SIZE,
        fractures=(broken,),
        pins=standing,
        last_number=count,
    )


@settings(deadline=None, max_examples=40)
@given(arms())
def test_both_arms_get_the_same_findings_and_the_way_back_is_the_same_case(case: Case):
    assert check(mirrored(case)) == check(case)
    assert mirrored(mirrored(case)) == case


@st.composite
def pelves(draw: st.DrawFn) -> Case:
    """Pins anywhere in either hip bone, with a bar from side to side."""
    count = draw(st.integers(2, 4))
    standing = tuple(
        replace(
            draw(pins(number)),
            kind="half",
            level_mm=draw(numbers(0.0, 130.0)),
            bone=f"ilium-{('right', 'left')[number % 2]}",
        )
        for number in range(1, count + 1)
    )
    ends = tuple(PinAnchor(pin=f"pin-{n}", out_mm=draw(numbers(20.0, 90.0))) for n in (1, 2))
    bar = Bar(id="bar-1", number=1, anchors=(ends[0], ends[1]))
    return Case(
        limb="pelvis", side="both", size=SIZE, pins=standing, bars=(bar,), last_number=count
    )


def told(case: Case) -> list[tuple[object, ...]]:
    """Findings without the words for the sides, which a mirrored pelvis exchanges."""
    found = (
        (one.rule, one.severity, len(one.subjects), one.measured, one.limit) for one in check(case)
    )
    return sorted(found, key=repr)


@settings(deadline=None, max_examples=40)
@given(pelves())
def test_a_mirrored_pelvis_gets_the_same_findings(case: Case):
    assert told(mirrored(case)) == told(case)
    assert mirrored(mirrored(case)) == case


@settings(deadline=None, max_examples=40)
@given(cases())
def test_left_and_right_get_the_same_findings(case: Case):
    assert check(mirrored(case)) == check(case)


@settings(deadline=None, max_examples=40)
@given(cases())
def test_an_equal_case_gets_equal_findings(case: Case):
    assert check(replace(case)) == check(case)
