"""The title over a section: the letters of its plane, its level, and from where it is seen."""

import functools

from fixplan.limb.anatomy import Limb
from fixplan.limb.words import level_words, ways_of
from fixplan.sheet.box import Box
from fixplan.sheet.fonts import text_width_mm, wrapped
from fixplan.sheet.ink import HEAD_MM, LABEL_LAYER, SOFT_INK, TEXT_MM
from fixplan.sheet.rows import LEADING
from fixplan.sheet.section_body import OWNER
from fixplan.sheet.section_cut import Cut, told_bone
from fixplan.sheet.section_line import PLANE_LETTER
from fixplan.sheet.shapes import AnyShape, Text


def title_words(cut: Cut, limb: Limb) -> str:
    """What stands after the letters of the plane."""
    level = level_words(limb, cut.segment, cut.level_mm, told_bone(limb, cut))
    pin = "where pin {} aims" if limb.bones[cut.bone].is_plate else "at pin {}"
    at = f"{pin.format(cut.pin.number)}, {level}" if cut.pin is not None else level
    return f"{at}, seen from {ways_of(limb, cut.segment).seen_from}"


@functools.lru_cache(maxsize=64)
def title_shapes(words: str, box: Box) -> tuple[AnyShape, ...]:
    """The title at the upper edge of a box."""
    head = f"SECTION {PLANE_LETTER}-{PLANE_LETTER}"
    indent = text_width_mm(head, HEAD_MM, True) + 2.0
    lines = _wrapped_after(words, indent, box.width)
    text = functools.partial(Text, owner=OWNER, layer=LABEL_LAYER)
    y = box.y + HEAD_MM
    shapes: list[AnyShape] = [text(at=(box.x, y), text=head, size_mm=HEAD_MM, bold=True)]
    for k, line in enumerate(lines):
        x = box.x + (indent if k == 0 else 0.0)
        at = (x, y + LEADING * TEXT_MM * k)
        shapes.append(text(at=at, text=line, size_mm=TEXT_MM, colour=SOFT_INK))
    return tuple(shapes)


def _wrapped_after(words: str, indent_mm: float, width_mm: float) -> list[str]:
    """Lines of which the first stands after something of that width."""
    first, *_ = wrapped(words, TEXT_MM, width_mm - indent_mm)
    rest = words[len(first) :].strip()
    return [first, *(wrapped(rest, TEXT_MM, width_mm) if rest else ())]
