"""What the generator's SVG lacks: dashes in the page's millimetres, and the width of each text."""

import math
import re
from collections.abc import Sequence

from fixplan.sheet.fonts import FAMILY, TEXT_UNIT_MM, text_width_mm
from fixplan.sheet.ink import DASHES_MM
from fixplan.sheet.shapes import Text

NEARLY_MM = 0.01
_DASHED = re.compile(r'stroke-dasharray="([\d.,]+)"(.*?stroke-width="([\d.]+)")')


def _dashes_in_mm(found: re.Match[str]) -> str:
    """Dashes in user units: the generator writes them in widths of the pen."""
    lengths = [float(part) * float(found[3]) for part in found[1].split(",")]
    known = min(DASHES_MM.values(), key=lambda dashes: _unlike(dashes, lengths))
    if _unlike(known, lengths) > NEARLY_MM:
        return found[0]
    return f'stroke-dasharray="{",".join(f"{length:g}" for length in known)}"{found[2]}'


def _unlike(dashes: Sequence[float], lengths: Sequence[float]) -> float:
    """How far two dash patterns differ at most, mm."""
    if len(dashes) != len(lengths):
        return math.inf
    return max(abs(a - b) for a, b in zip(dashes, lengths, strict=True))


def _with_widths(svg: str, texts: Sequence[Text]) -> str:
    """The texts of an SVG, in the order in which they were painted, with their widths."""
    before, *pieces = svg.split("<text ")
    widths = [text_width_mm(t.text, t.size_mm, t.bold, t.italic) / TEXT_UNIT_MM for t in texts]
    marked = [
        f'<text textLength="{width:.2f}" lengthAdjust="spacingAndGlyphs" {piece}'
        for width, piece in zip(widths, pieces, strict=True)
    ]
    return "".join((before, *marked)).replace(f'"{FAMILY}"', f'"{FAMILY}, DejaVu Sans, sans-serif"')


def mended_svg(svg: str, texts: Sequence[Text]) -> str:
    """A generator's SVG with dashes in mm and the width of each text, in the order painted."""
    return _with_widths(_DASHED.sub(_dashes_in_mm, svg), texts)
