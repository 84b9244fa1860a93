"""Moving, adding and taking away the points of a drawn outline or line."""

from typing import Literal

from msgspec.structs import replace

from fixplan.case.records import Candidate, Case, FreeOutline, Incision, Injury, Wound
from fixplan.case.scalars import Point
from fixplan.case.sound import found, with_record
from fixplan.errors import EditError

OutlineName = Literal["front", "side", "outline", "line"]
Outlined = Injury | Wound | Incision | FreeOutline


def outline_of(
    case: Case, id_: str, name: OutlineName, part: int | None = None
) -> tuple[Point, ...]:
    """The named outline of an injury, wound or (by `part`) of a candidate for later fixation."""
    return _outline(_outlined(case, id_, part), id_, name)


def set_outline(
    case: Case, id_: str, name: OutlineName, outline: tuple[Point, ...], part: int | None = None
) -> Case:
    """Draw the named outline anew, points (u, v) in mm; an empty one takes it away."""
    drawn = _outlined(case, id_, part)
    _outline(drawn, id_, name)
    changed = replace(drawn, **{name: outline})
    if isinstance(changed, Injury | Wound):
        return with_record(case, changed)
    return with_record(case, _with_part(case, id_, part, changed))


def move_vertex(
    case: Case, id_: str, name: OutlineName, index: int, to: Point, part: int | None = None
) -> Case:
    """Move one point of an outline to (u, v) in mm. Raises EditError if it would cross itself."""
    points = list(outline_of(case, id_, name, part))
    points[_checked(index, points, id_)] = to
    return set_outline(case, id_, name, tuple(points), part)


def insert_vertex(
    case: Case, id_: str, name: OutlineName, after: int, at: Point, part: int | None = None
) -> Case:
    """Add a point (u, v) in mm on the edge that follows the point `after`."""
    points = list(outline_of(case, id_, name, part))
    points.insert(_checked(after, points, id_) + 1, at)
    return set_outline(case, id_, name, tuple(points), part)


def delete_vertex(
    case: Case, id_: str, name: OutlineName, index: int, part: int | None = None
) -> Case:
    """Take one point away. Raises EditError when too few would be left."""
    points = list(outline_of(case, id_, name, part))
    del points[_checked(index, points, id_)]
    if not points:
        raise EditError(f"{id_}: this is its last point; remove the whole thing instead")
    return set_outline(case, id_, name, tuple(points), part)


def _outlined(case: Case, id_: str, part: int | None) -> Outlined:
    thing = found(case, id_)
    if isinstance(thing, Candidate) and part is not None and 0 <= part < len(thing.parts):
        piece = thing.parts[part]
        if isinstance(piece, Incision | FreeOutline):
            return piece
    if isinstance(thing, Injury | Wound) and part is None:
        return thing
    raise EditError(
        f"{id_} has no outline there; select an injury, wound, incision or free outline"
    )


def _outline(drawn: Outlined, id_: str, name: OutlineName) -> tuple[Point, ...]:
    if name not in drawn.__struct_fields__:
        raise EditError(f"{id_} has no {name}; select another outline")
    outline: tuple[Point, ...] = getattr(drawn, name)
    return outline


def _with_part(
    case: Case, id_: str, part: int | None, changed: Incision | FreeOutline
) -> Candidate:
    candidate = found(case, id_)
    if not isinstance(candidate, Candidate) or part is None:
        raise EditError(f"{id_} has no parts; select a candidate for later fixation")
    parts = (*candidate.parts[:part], changed, *candidate.parts[part + 1 :])
    return replace(candidate, parts=parts)


def _checked(index: int, points: list[Point], id_: str) -> int:
    if not 0 <= index < len(points):
        raise EditError(f"{id_} has no point {index + 1}; select one of its {len(points)} points")
    return index
