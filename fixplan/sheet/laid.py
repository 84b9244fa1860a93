"""Marks on the skin as the other view shows them: where they lie on the skin itself (D7)."""

from fixplan.case.records import Incision, Wound
from fixplan.geometry.skin_marks import faces_viewer, mark_on_skin
from fixplan.limb.anatomy import Limb
from fixplan.sheet.scene import ViewScene
from fixplan.sheet.shapes import Point


def laid_in_view(scene: ViewScene, mark: Wound | Incision) -> tuple[list[Point], bool | None]:
    """Page points of a mark's line or outline in the other view, and whether it faces the viewer.

    None: in part, as round the edge of the view. No points where no skin is known.
    """
    laid = mark_on_skin(scene.limb, mark)
    if len(laid) < 2:
        return [], None
    return scene.solid(mark.segment, laid), faces_other_view(scene.limb, mark)


def faces_other_view(limb: Limb, mark: Wound | Incision) -> bool | None:
    """Whether a mark faces the viewer of the view that it is not drawn in; None: in part."""
    depth_axis = 0 if mark.view == "front" else 1
    laid = mark_on_skin(limb, mark)
    towards = {faces_viewer(limb, mark.segment, point, depth_axis) for point in laid}
    return towards.pop() if len(towards) == 1 else None
