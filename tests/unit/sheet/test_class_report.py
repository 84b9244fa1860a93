"""The report of a class: figures in words, charts, and a heat map that counts every pin."""

import pytest
from msgspec.structs import replace

from fixplan.sheet.box import Box
from fixplan.sheet.class_charts import BAR_MM, columns_in, histogram_shapes, part_row
from fixplan.sheet.class_report import Report, class_pages, figure_lines
from fixplan.sheet.heat_map import TINTS, heat_shapes, tint_of
from fixplan.sheet.shapes import Polygon, Text
from fixplan.teach.class_figures import CELL_MM, ClassBook
from fixplan.teach.many import Row, spots_of
from fixplan.teach.marking import judged_case, mark_try
from fixplan.teach.records import Try
from fixplan.teach.shelf import shipped


def book_of(lesson, models):
    book = ClassBook()
    for number, model in enumerate(models):
        one = Try(case=model.case, replies=model.replies, handed_in="")
        mark = mark_try(lesson, one)
        book.add(
            Row(file=f"{number}", label=f"T{number}", marks=(mark,), spots=spots_of(model.case))
        )
    return book


@pytest.fixture(scope="module")
def made():
    lesson = shipped("leg-tibial-shaft")
    models = [*lesson.teacher.good, *lesson.teacher.wrong, lesson.teacher.wrong[0]]
    book = book_of(lesson, models)
    return Report(lesson, book.figures(), book.heat, "2026-03-01 09:30")


def words(page):
    return [shape.text for shape in page.shapes() if isinstance(shape, Text)]


def test_the_report_has_distribution_parts_and_heat_map(made):
    pages = class_pages(made)
    assert [(page.width_mm, page.height_mm) for page in pages] == [(210.0, 297.0)] * len(pages)
    told = [text for page in pages for text in words(page)]
    assert any("4 answers marked, 0 could not be; 50 % pass." in text for text in told)
    assert "WHERE ALL PINS ENTER THE BONE" in told
    assert all(any(part.words[:20] in text for text in told) for part in made.figures.parts)
    assert f"page {len(pages)} of {len(pages)}" in " ".join(words(pages[-1]))
    assert any("not a medical device" in text for text in words(pages[-1]))


def test_what_was_missed_most_stands_first(made):
    means = [part.mean_credit for part in made.figures.parts]
    assert means == sorted(means)
    told = words(class_pages(made)[0])
    first, last = made.figures.parts[0].words, made.figures.parts[-1].words
    assert told.index(first) < told.index(last)


def test_nothing_lies_outside_the_paper(made):
    for page in class_pages(made):
        for shape in page.shapes():
            points = shape.points if hasattr(shape, "points") else ()
            assert all(-1 <= x <= 211 and -1 <= y <= 298 for x, y in points)


def test_many_parts_go_on_to_another_page(made):
    parts = made.figures.parts * 4
    pages = class_pages(made._replace(figures=replace(made.figures, parts=parts)))
    assert len(pages) > 2
    rows = sum(words(page).count(parts[0].words) for page in pages)
    assert rows == 4


def test_the_histogram_has_a_bar_for_each_ten_that_holds_answers():
    counts = (0, 0, 3, 0, 0, 0, 0, 0, 1, 6)
    shapes = list(histogram_shapes(counts, 80.0, Box(0, 0, 100, 50)))
    bars = [shape for shape in shapes if isinstance(shape, Polygon)]
    heights = [max(y for _, y in bar.points) - min(y for _, y in bar.points) for bar in bars]
    assert len(bars) == 3
    assert heights[0] / heights[2] == pytest.approx(0.5)
    assert {"3", "1", "6"} <= {shape.text for shape in shapes if isinstance(shape, Text)}


def test_the_bar_of_a_part_adds_up(made):
    part = made.figures.parts[0]
    shapes = list(part_row(part, columns_in(Box(0, 0, 190, 0)), 10.0))
    wide = sum(
        max(x for x, _ in shape.points) - min(x for x, _ in shape.points)
        for shape in shapes
        if isinstance(shape, Polygon)
    )
    assert wide == pytest.approx(BAR_MM, abs=0.2)


@pytest.mark.parametrize("name", ["leg-tibial-shaft", "pelvis-above-the-hip", "arm-humeral-shaft"])
def test_every_pin_is_in_a_cell_where_the_picture_draws_it(name):
    lesson = shipped(name)
    book = book_of(lesson, lesson.teacher.good)
    pins = sum(len(model.case.pins) for model in lesson.teacher.good)
    assert sum(book.heat.values()) == pins
    case = judged_case(lesson.exercise, lesson.teacher, lesson.exercise.given)
    shapes = heat_shapes(case, lesson.teacher.good[0].case, book.heat, Box(0, 0, 190, 200))
    cells = [s for s in shapes if isinstance(s, Polygon) and s.fill and s.fill.tint in TINTS]
    rings = [s for s in shapes if hasattr(s, "radius_mm") and s.radius_mm == 1.7]
    scale = cells[0].points[1][0] - cells[0].points[0][0]
    for ring in rings[:-1]:  # the last one explains the sign
        middle = [(sum(x for x, _ in c.points) / 4, sum(y for _, y in c.points) / 4) for c in cells]
        near = min(abs(x - ring.centre[0]) + abs(y - ring.centre[1]) for x, y in middle)
        assert near <= 2.1 * scale, CELL_MM


def test_tints_grow_darker_and_the_most_is_the_darkest():
    steps = (1, 12, 23, 35, 46)
    told = [TINTS.index(tint_of(count, steps)) for count in (1, 11, 12, 30, 40, 46, 99)]
    assert told == [0, 0, 1, 2, 3, 4, 4]
    assert tint_of(1, (1,)) == TINTS[-1]


def test_repeated_labels_and_gains_are_told(made):
    figures = replace(made.figures, repeated=("T1", "T2"), second_gain=4.25, agreement=None)
    told = " ".join(figure_lines(figures))
    assert "Labels on more than one answer: T1, T2." in told
    assert "From first to last try: +4.2 % on average." in told
    assert "Too few answers for agreement" in told
    many = " ".join(figure_lines(replace(figures, answers=10)))
    assert "kappa over all parts): not defined" in many
