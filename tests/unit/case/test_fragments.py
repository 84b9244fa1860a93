"""What fractures leave of a bone, in the words of its segment."""

import pytest

from fixplan.case.fragments import fragments
from fixplan.case.records import Case, Fracture


@pytest.mark.parametrize(
    ("bone", "from_mm", "words"),
    [
        ("tibia", 150, ("proximal fragment of the tibia", "distal fragment of the tibia")),
        (
            "metatarsal-1",
            28,
            (
                "proximal fragment of the first metatarsal",
                "distal fragment of the first metatarsal",
            ),
        ),
        (
            "calcaneus",
            20,
            ("dorsal fragment of the calcaneus", "plantar fragment of the calcaneus"),
        ),
    ],
)
def test_fragments_bear_the_words_of_their_segment(
    bone: str, from_mm: float, words: tuple[str, str]
) -> None:
    broken = Fracture(id="fracture-1", bone=bone, from_mm=from_mm, to_mm=from_mm + 5)
    case = Case(side="left", fractures=(broken,))
    assert tuple(one.words for one in fragments(case, bone)) == words
