"""A foot on paper: its views beneath each other, in words of the foot, its bones told together."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from fixplan.case.records import Case, Fracture
from fixplan.checks.run import check, open_case
from fixplan.sheet.pages import compose
from fixplan.sheet.paper import Paper
from fixplan.sheet.shapes import Text
from fixplan.sheet.title_block import fracture_words

SAMPLES = Path(__file__).parents[3] / "sample_cases"
LEAST_SCALE = {"A4": 0.18, "A3": 0.3}
"""Beside each other the views of this foot, with its marks, came to 0.13 on both (measured)."""


@pytest.fixture(scope="module")
def foot() -> Case:
    return open_case(SAMPLES / "crushed-forefoot.json").case


@pytest.mark.parametrize("paper", ["A4", "A3"])
@pytest.mark.parametrize("side", ["left", "right"])
def test_a_foot_has_its_views_beneath_each_other(foot: Case, paper: Paper, side: str) -> None:
    case = replace(foot, side=side)
    page = compose(case, check(case), paper)[0]
    front, below = page.views
    assert (front.view, below.view) == ("front", "side")
    assert below.box.y > front.box.bottom
    assert front.scale == below.scale > LEAST_SCALE[paper]
    assert below.box.height < front.box.height
    for frame in page.views:
        low, high = frame.limits
        assert frame.box.x - 1e-6 <= low < high <= frame.box.right + 1e-6


def test_a_front_view_of_a_foot_faces_the_foot(foot: Case) -> None:
    shapes = compose(foot, check(foot), "A4")[0].groups["view-words"]
    words = {shape.text for shape in shapes if isinstance(shape, Text)}
    assert "foot, dorsal view" in words
    assert not any("facing the patient" in one for one in words)


def test_a_hand_keeps_its_views_beside_each_other() -> None:
    hand = open_case(SAMPLES / "hand-metacarpal.json").case
    front, side = compose(hand, check(hand), "A4")[0].views
    assert front.box.y == side.box.y


@pytest.mark.parametrize(
    ("bones", "words"),
    [
        (
            ("cuneiform-1", "cuneiform-2", "cuneiform-3"),
            "85 medial, intermediate and lateral cuneiform, closed",
        ),
        (("tibia", "fibula"), "85 tibia and fibula, closed"),
        (("tibia", "tibia"), "85 tibia, closed; 85 tibia, closed"),
    ],
)
def test_bones_of_one_code_and_grade_are_told_together(bones: tuple[str, ...], words: str) -> None:
    fractures = tuple(
        Fracture(id=f"fracture-{n}", bone=bone, from_mm=n, to_mm=n + 0.5, code="85")
        for n, bone in enumerate(bones, 1)
    )
    closed = tuple(replace(one, open_grade="closed") for one in fractures)
    assert fracture_words(Case(side="left", fractures=closed)) == words
    mixed = (*closed[:-1], fractures[-1])
    assert fracture_words(Case(side="left", fractures=mixed)).endswith("; 85 " + _title(bones[-1]))


def _title(bone: str) -> str:
    told = {"cuneiform-3": "lateral cuneiform"}.get(bone, bone)
    return f"{told}, open or closed not given"
