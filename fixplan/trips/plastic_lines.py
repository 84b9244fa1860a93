"""The plastic surgeon's lines in one click: fasciotomy, wound extension, where perforators are.

Each is an ordinary mark on the skin, which can be changed or taken out once it is placed.
"""

from math import cos, sin, tau

from fixplan.case.edits import add
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Wound
from fixplan.case.scalars import Point
from fixplan.errors import EditError
from fixplan.limb.anatomy import Limb
from fixplan.trips.cover import LinePreset, Perforators, listed

STEPS = 6
CORNERS = 12


def with_fasciotomy_lines(case: Case) -> Case:
    """The case with the usual fasciotomy lines of the leg (PL-02).

    Raises:
        EditError: the limb is no leg, or has these lines already.
    """
    limb = limb_of_case(case)
    presets = [one for one in listed().line if one.segment in limb.segments]
    if not presets:
        raise EditError(f"No fasciotomy lines are listed for this {case.limb}; draw them by hand")
    drawn = {wound.note for wound in case.wounds}
    new = [one for one in presets if one.label not in drawn]
    if not new:
        raise EditError("These fasciotomy lines are drawn already; change those")
    for preset in new:
        case = add(case, _line_of(limb, preset))
    return case


def _line_of(limb: Limb, preset: LinePreset) -> Wound:
    start = limb.landmark(preset.from_.at).level_mm + preset.from_.mm
    end = limb.landmark(preset.to.at).level_mm + preset.to.mm
    levels = [start + (end - start) * step / STEPS for step in range(STEPS + 1)]
    line = tuple(
        (_edge_mm(limb, preset.bone, preset.edge, level) + preset.across_mm, level)
        for level in levels
    )
    return Wound(
        id="wound-1",
        kind=preset.kind,
        segment=preset.segment,
        view=preset.view,
        face=preset.face,
        line=line,
        note=preset.label,
    )


def _edge_mm(limb: Limb, bone: str, edge: str, level_mm: float) -> float:
    """Where a bone's edge lies in its view: the crest across, the posteromedial border in depth."""
    section = limb.section(bone, level_mm)
    if section is None:
        raise EditError(f"The {bone} is not known at {level_mm:.0f} mm; draw the line by hand")
    x, y = section.outline[:, 0], section.outline[:, 1]
    if edge == "crest":
        return float(x[int(y.argmax())])
    return float(y[int((x + y).argmin())])


def with_extension(case: Case, wound_id: str) -> Case:
    """The case with a planned extension along the limb through a wound, both ways (PL-04).

    Raises:
        EditError: there is no such wound, or it is drawn from above.
    """
    wound = next((one for one in case.wounds if one.id == wound_id), None)
    if wound is None or wound.kind not in ("opening", "skin loss"):
        raise EditError("There is no open wound to extend; draw or select one first")
    segment = limb_of_case(case).segments.get(wound.segment)
    if segment is None or (wound.view == "front" and segment.front_shows == "forward"):
        raise EditError(f"{wound.id} is drawn from above; draw its extension by hand")
    points = wound.outline or wound.line
    top, bottom = min(points, key=_level), max(points, key=_level)
    each_mm = listed().extension.each_way_mm
    from_mm = max(top[1] - each_mm, segment.from_mm)
    to_mm = min(bottom[1] + each_mm, segment.to_mm)
    extension = Wound(
        id="wound-1",
        kind="planned extension",
        segment=wound.segment,
        view=wound.view,
        face=wound.face,
        line=((top[0], from_mm), top, bottom, (bottom[0], to_mm)),
        note=f"of {wound.id.replace('-', ' ')}",
    )
    return add(case, extension)


def _level(point: Point) -> float:
    return point[1]


def with_perforators(case: Case) -> Case:
    """The case with marks where perforators of the posterior tibial artery are looked for (PL-03).

    Raises:
        EditError: the limb is no leg, or bears perforator marks already.
    """
    limb, told = limb_of_case(case), listed().perforators
    if told.segment not in limb.segments:
        raise EditError(f"No perforators are listed for this {case.limb}; mark them by hand")
    if any(one.kind == "perforator" for one in case.wounds):
        raise EditError("Perforators are marked already; move those to where the probe finds them")
    tip_mm = limb.landmark(told.at).level_mm
    for above_mm in told.above_mm:
        case = add(case, _mark(limb, told, tip_mm - above_mm, f"{above_mm:g} mm above malleolus"))
    return case


def _mark(limb: Limb, told: Perforators, level_mm: float, note: str) -> Wound:
    middle = _edge_mm(limb, told.bone, "posteromedial", level_mm) - told.behind_mm
    corners = [tau * corner / CORNERS for corner in range(CORNERS)]
    outline = tuple(
        (middle + told.radius_mm * cos(turn), level_mm + told.radius_mm * sin(turn))
        for turn in corners
    )
    return Wound(
        id="wound-1",
        kind="perforator",
        segment=told.segment,
        view="side",
        face="far",
        outline=outline,
        note=note,
    )
