"""Names beside a section that has more structures than room."""

import re

from fixplan.geometry.section_structures import structures_at
from fixplan.limb.scale import limb_of
from fixplan.sheet.box import Box
from fixplan.sheet.section_frame import section_frame
from fixplan.sheet.section_labels import label_shapes
from fixplan.sheet.shapes import Text

FOOT = limb_of("leg")
PLANE = ("forefoot", 36.0, "metatarsal-1")


def drawn(height_mm: float) -> tuple[list[Text], Box]:
    frame = section_frame(FOOT, PLANE, None, Box(20.0, 30.0, 120.0, height_mm), 1)
    found = structures_at(FOOT, "forefoot", 36.0)
    shapes = label_shapes(frame, found, (), (0.0, 0.0))
    return [shape for shape in shapes if isinstance(shape, Text)], frame.box


def test_where_names_are_too_many_the_farthest_are_left_out_and_counted() -> None:
    texts, box = drawn(60.0)
    words = " ".join(text.text for text in texts)
    assert re.search(r"and \d+ farther off", words)
    assert "EHL tendon" in words
    assert "abductor digiti minimi" not in words
    assert max(text.at[1] for text in texts) <= box.bottom + 0.5


def test_with_room_enough_every_structure_has_its_name() -> None:
    words = " ".join(text.text for text in drawn(160.0)[0])
    assert "farther off" not in words
    assert words.count("abductor") == 1
