"""The whole skin that a film needs round a wound: drawn round each open wound of a sealed cover."""

import functools

from msgspec.structs import replace

from fixplan.case.records import Case, Wound
from fixplan.checks.cover import WOUNDS
from fixplan.geometry.grown import grown_outline
from fixplan.geometry.overlap import band
from fixplan.sheet.cutting import cut_line, cut_outline
from fixplan.sheet.ink import WOUND_INK, WOUND_LAYER
from fixplan.sheet.laid import laid_in_view
from fixplan.sheet.scene import ViewScene
from fixplan.sheet.shapes import AnyShape, Stroke
from fixplan.trips.cover import border_mm

FILM_STROKE = Stroke(WOUND_INK, 0.3, "dash-dot-dot")


def film_mm(case: Case) -> float:
    """The widest border that a planned film needs, as its rule judges it; 0 without a film."""
    return max((border_mm(one) for one in case.cover), default=0.0)


def has_film_border(case: Case) -> bool:
    """Whether a border is drawn round any wound."""
    return film_mm(case) > 0 and any(one.kind in WOUNDS for one in case.wounds)


@functools.lru_cache(maxsize=64)
def draw_film_border(scene: ViewScene, wound: Wound, film: float) -> tuple[AnyShape, ...]:
    """The border round one wound; nothing for other marks on the skin or without a film."""
    if film <= 0 or wound.kind not in WOUNDS or wound.segment not in scene.limb.segments:
        return ()
    outline = wound.outline or tuple(band(wound.line, wound.half_width_mm))
    grown = replace(wound, outline=grown_outline(outline, film), line=())
    if wound.view == scene.frame.view:
        page = scene.drawn(wound.segment, grown.outline)
        return tuple(cut_outline(wound.id, WOUND_LAYER, scene, page, FILM_STROKE, None))
    page, near = laid_in_view(scene, grown)
    if not page:
        return ()
    if near is None:
        return tuple(cut_line(wound.id, WOUND_LAYER, scene, page, FILM_STROKE))
    return tuple(cut_outline(wound.id, WOUND_LAYER, scene, page[:-1], FILM_STROKE, None))
