"""Pictures made on the spot, and a case with a film under its front view."""

from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace

from fixplan.case.file import read_case
from fixplan.case.film_records import Film, FilmScale
from fixplan.case.records import Case
from fixplan.film.edits import add_film

ROOT = Path(__file__).parents[3]
MM_PER_PX = 0.2


def film(view: str, side: str, *, scale: bool = True, segment: str = "leg") -> Film:
    """A film whose pixel (1000, 500) lies at the segment's origin, 0.2 mm a pixel."""
    return Film(
        id=f"film-{view}",
        view=view,
        segment=segment,
        file=f"{view}.png",
        width_px=2000,
        height_px=3000,
        placing=(MM_PER_PX, 0.0, -200.0, 0.0, MM_PER_PX, -100.0),
        scale=FilmScale(how="two points", mm_per_px=MM_PER_PX, error_percent=1.0)
        if scale
        else None,
        is_matched=True,
        note=side,
    )


def pixel(view: str, side: str, u: float, level: float) -> tuple[float, float]:
    """The pixel of such a film that shows (u, level), by the drawing's own handedness (D2)."""
    right_limb = {"front": -1, "side": 1}[view]
    w = u * right_limb * (1 if side == "right" else -1)
    return (float((w + 200.0) / MM_PER_PX), float((level + 100.0) / MM_PER_PX))


@pytest.fixture(params=["right", "left"])
def planned(request) -> Case:
    """The open tibial shaft on either side, with a film under each view."""
    case = read_case(ROOT / "sample_cases" / "open-tibial-shaft.json")
    case = replace(case, side=request.param, acceptances=())
    for view in ("front", "side"):
        case = add_film(case, film(view, request.param))
    return case


@pytest.fixture
def grey() -> np.ndarray:
    """A picture with a slope of grey."""
    return np.tile(np.arange(200, dtype=np.uint8), (120, 1))
