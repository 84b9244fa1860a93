"""The picture of an answer with the teacher's frame over it."""

from fixplan.sheet.answer_picture import OWNER, answer_picture
from fixplan.sheet.shapes import Polygon, Text
from fixplan.teach.feedback import feedback
from fixplan.teach.records import Try
from fixplan.teach.shelf import shipped


def picture(name, model="wrong"):
    lesson = shipped(name)
    case = getattr(lesson.teacher, model)[0].case
    found = feedback(lesson, (Try(case=case, handed_in=""),))
    return answer_picture(found.drawn, found.model, found.hidden)


def test_the_teachers_pins_are_outlines_with_their_letter():
    page = picture("leg-tibial-shaft")
    own = [shape for shape in page.shapes() if shape.owner == OWNER]
    names = {shape.text for shape in own if isinstance(shape, Text)}
    assert names == {"T1", "T2", "T3", "T4"}
    outlines = [shape for shape in own if isinstance(shape, Polygon) and shape.stroke]
    assert outlines
    assert all(shape.fill is None and shape.stroke.dash == "dash" for shape in outlines)


def test_left_and_right_stand_as_on_the_sheet():
    for name, first in (("leg-tibial-shaft", "lateral"), ("leg-where-the-nail-goes", "medial")):
        words = {
            shape.text: shape.at[0] for shape in picture(name).shapes() if isinstance(shape, Text)
        }
        other = "medial" if first == "lateral" else "lateral"
        assert words[first] < words[other]


def test_without_a_model_only_the_answer_is_shown():
    lesson = shipped("leg-tibial-shaft")
    page = answer_picture(lesson.teacher.good[0].case, None)
    assert not [shape for shape in page.shapes() if shape.owner == OWNER]


def test_an_empty_answer_shows_the_limb_and_the_model():
    lesson = shipped("pelvis-crest")
    found = feedback(lesson, (Try(case=lesson.exercise.given, handed_in=""),))
    page = answer_picture(found.drawn, found.model, found.hidden)
    assert [shape for shape in page.shapes() if shape.owner == OWNER]
