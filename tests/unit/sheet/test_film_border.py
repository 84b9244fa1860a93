"""The border that a film needs is drawn round the wound at its width, in both views."""

import numpy as np
import pytest
from msgspec.structs import replace

from fixplan.case.dead_space_records import Cover
from fixplan.case.records import Case, LimbSize, Wound
from fixplan.sheet.film_border import FILM_STROKE
from fixplan.sheet.legend import entries_of
from fixplan.sheet.pages import compose

PATCH = ((-5.0, 190.0), (5.0, 190.0), (5.0, 210.0), (-5.0, 210.0))
WOUND = Wound(id="wound-1", kind="opening", segment="leg", view="front", face="near", outline=PATCH)


def case_with(kind, *wounds, **fields):
    cover = Cover(id="cover-1", kind=kind, **fields)
    size = LimbSize(stature_mm=1750, sex="male")
    return Case(side="right", size=size, wounds=wounds, cover=(cover,))


def borders(case):
    page = compose(case, (), "A3", printed_at="")[0]
    return [one for one in page.shapes() if getattr(one, "stroke", None) == FILM_STROKE]


def test_the_border_is_as_wide_as_the_rule_says_or_as_typed():
    def height(case):
        shapes = [one for one in borders(case) if one.owner == "wound-1"]
        levels = np.concatenate([[v for _, v in one.points] for one in shapes[:1]])
        return levels.max() - levels.min()

    usual, typed = case_with("vacuum", WOUND), case_with("vacuum", WOUND, border_mm=60)
    scale = (height(typed) - height(usual)) / (2 * (60 - 30))
    assert height(usual) == pytest.approx(scale * (20 + 2 * 30), rel=0.03)
    assert "skin for the film, 60 mm" in [one.words for one in entries_of(typed, ())]


def test_only_open_wounds_under_a_film_have_one():
    assert borders(case_with("bead pouch", WOUND))
    assert borders(case_with("simple dressing", WOUND)) == []
    line = replace(WOUND, kind="fasciotomy line", outline=(), line=((0.0, 150.0), (0.0, 250.0)))
    assert borders(case_with("vacuum", line)) == []
    assert borders(case_with("vacuum")) == []


def test_a_wound_of_one_view_has_its_border_in_both():
    owners = [one.owner for one in borders(case_with("vacuum", WOUND))]
    assert owners.count("wound-1") == 2
