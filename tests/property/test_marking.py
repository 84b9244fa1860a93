"""Marking, whatever the answer: between 0 and 100, the same twice, the same mirrored."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from fixplan.teach.marking import mark_try
from fixplan.teach.records import Try
from fixplan.teach.shelf import shipped

LESSON = shipped("leg-tibial-shaft")
MODEL = LESSON.teacher.good[0]
MOVES = st.lists(
    st.tuples(
        st.floats(-180, 180),
        st.floats(0, 359),
        st.floats(-30, 30),
        st.sampled_from((3.0, 4.0, 5.0, 6.0)),
    ),
    min_size=len(MODEL.case.pins),
    max_size=len(MODEL.case.pins),
)


def answer(moves):
    pins = tuple(
        replace(
            pin,
            level_mm=pin.level_mm + slide,
            bearing_deg=bearing,
            tilt_deg=tilt,
            diameter_mm=thick,
        )
        for pin, (slide, bearing, tilt, thick) in zip(MODEL.case.pins, moves, strict=True)
    )
    return Try(case=replace(MODEL.case, pins=pins), replies=MODEL.replies, handed_in="")


def mirrored():
    side = "left" if LESSON.exercise.given.side == "right" else "right"
    given_ = replace(LESSON.exercise.given, side=side)
    return side, replace(LESSON, exercise=replace(LESSON.exercise, given=given_))


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(MOVES)
def test_a_mark_lies_between_nothing_and_all_and_does_not_depend_on_the_side(moves):
    one = answer(moves)
    mark = mark_try(LESSON, one)
    assert 0 <= mark.percent <= 100
    assert all(0 <= part.credit <= 1 for part in mark.parts)
    assert mark_try(LESSON, one) == mark
    side, lesson = mirrored()
    other = mark_try(lesson, replace(one, case=replace(one.case, side=side)))
    assert other.parts == mark.parts
