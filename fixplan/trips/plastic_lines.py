"""The plastic surgeon's lines in one click: fasciotomy, wound extension, where perforators are.

Each is an ordinary mark on the skin, which can be changed or taken out once it is placed.
"""

from collections.abc import Iterator
from math import cos, sin, tau
from typing import TypeVar

from fixplan.case.edits import add
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Wound
from fixplan.case.scalars import Point
from fixplan.errors import EditError
from fixplan.limb.anatomy import Limb
from fixplan.trips.cover import LinePreset, Perforators, listed

STEPS = 6
CORNERS = 12
PLANNED = frozenset(
    {"planned extension", "fasciotomy line", "flap territory", "vessel access", "perforator"}
)


def with_fasciotomy_lines(case: Case) -> Case:
    """The case with the usual fasciotomy lines of what is broken or hurt (PL-02, PL-12 to PL-15).

    Where nothing listed is broken, those of the leg or the forearm.

    Raises:
        EditError: none is listed for the limb, or it has these lines already.
    """
    limb = limb_of_case(case)
    presets = _concerned(case, limb, listed().line)
    if not presets:
        raise EditError(f"No fasciotomy lines are listed for this {case.limb}; draw them by hand")
    drawn = {wound.note for wound in case.wounds}
    new = [one for one in presets if one.label not in drawn]
    if not new:
        raise EditError("These fasciotomy lines are drawn already; change those")
    for preset in new:
        case = add(case, _line_of(limb, preset))
    return case


Preset = TypeVar("Preset", LinePreset, Perforators)


def _concerned(case: Case, limb: Limb, presets: tuple[Preset, ...]) -> list[Preset]:
    """The presets of the segments that are broken or hurt, else of the first that has any."""
    own = [one for one in presets if one.segment in limb.segments]
    hurt = {limb.bones[one.bone].segment for one in case.fractures if one.bone in limb.bones}
    hurt |= {one.segment for one in case.injuries}
    hurt |= {one.segment for one in case.wounds if one.kind not in PLANNED}
    found = [one for one in own if one.segment in hurt]
    return found or [one for one in own if one.segment == own[0].segment]


def _line_of(limb: Limb, preset: LinePreset) -> Wound:
    start = limb.landmark(preset.from_.at).level_mm + preset.from_.mm
    end = limb.landmark(preset.to.at).level_mm + preset.to.mm
    levels = [start + (end - start) * step / STEPS for step in range(STEPS + 1)]
    line = tuple((_across_mm(limb, preset, level) + preset.across_mm, level) for level in levels)
    return Wound(
        id="wound-1",
        kind=preset.kind,
        segment=preset.segment,
        view=preset.view,
        face=preset.face,
        line=line,
        note=preset.label,
    )


def _across_mm(limb: Limb, preset: LinePreset | Perforators, level_mm: float) -> float:
    if preset.edge != "middle":
        return _edge_mm(limb, preset.bone, preset.edge, level_mm)
    ring = [(float(u), float(v)) for u, v in limb.outline(preset.bone, preset.view)]
    level = min(max(level_mm, min(v for _, v in ring)), max(v for _, v in ring))
    crossed = [
        a + (b - a) * (level - low) / (high - low)
        for (a, low), (b, high) in zip(ring, [*ring[1:], ring[0]], strict=True)
        if low != high and min(low, high) <= level <= max(low, high)
    ]
    return (min(crossed) + max(crossed)) / 2


def _edge_mm(limb: Limb, bone: str, edge: str, level_mm: float) -> float:
    """Where a bone's edge lies: the crest across, the posteromedial border in depth."""
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
        raise EditError(f"{wound.id} is drawn in the dorsal view; draw its extension by hand")
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
    """The case with marks where perforators of what is broken or hurt are looked for.

    Sources: PL-03 (leg), PL-16 (thigh), PL-17 (forearm).

    Raises:
        EditError: none is listed for the limb, or it bears perforator marks already.
    """
    limb = limb_of_case(case)
    presets = _concerned(case, limb, listed().perforators)
    if not presets:
        raise EditError(f"No perforators are listed for this {case.limb}; mark them by hand")
    if any(one.kind == "perforator" for one in case.wounds):
        raise EditError("Perforators are marked already; move those to where the probe finds them")
    for told in presets:
        for level_mm, note in _marked_levels(limb, told):
            case = add(case, _mark(limb, told, level_mm, note))
    return case


def _marked_levels(limb: Limb, told: Perforators) -> Iterator[tuple[float, str]]:
    """Levels with what they are told by."""
    levels = [limb.landmark(name).level_mm for name in told.at]
    names = [name.replace("_", " ") for name in told.at]
    if len(levels) > 1:
        yield sum(levels) / len(levels), f"{told.name}, halfway {names[0]} to {names[1]}"
    for above_mm in told.above_mm:
        yield levels[0] - above_mm, f"{above_mm:g} mm above {names[0]}"


def _mark(limb: Limb, told: Perforators, level_mm: float, note: str) -> Wound:
    middle = _across_mm(limb, told, level_mm) + told.across_mm
    corners = [tau * corner / CORNERS for corner in range(CORNERS)]
    outline = tuple(
        (middle + told.radius_mm * cos(turn), level_mm + told.radius_mm * sin(turn))
        for turn in corners
    )
    return Wound(
        id="wound-1",
        kind="perforator",
        segment=told.segment,
        view=told.view,
        face=told.face,
        outline=outline,
        note=note,
    )
