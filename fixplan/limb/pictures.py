"""Which segments the front view shows as one picture: a foot seen from above stands apart."""

from functools import lru_cache

from fixplan.limb.anatomy import Limb
from fixplan.limb.kinds import limb_kind


@lru_cache(maxsize=32)
def pictures_of(limb: Limb) -> dict[str, str]:
    """For each segment the one that its picture in the front view begins with."""
    shows = {name: one.front_shows for name, one in limb.segments.items()}
    begun: dict[str, str] = {}
    for row in limb_kind(limb.kind).segments:
        is_apart = shows[row.name] == "forward" and shows.get(row.hangs_on) == "level"
        begun[row.name] = row.name if is_apart or not row.hangs_on else begun[row.hangs_on]
    return begun


def reached_by(limb: Limb, segment: str, *, has_side: bool) -> tuple[str, ...]:
    """The segments that a zone drawn in one of them may reach.

    One drawn only on the picture of a foot seen from above reaches through the foot's depth, not up
    the leg.
    """
    if has_side or limb.segments[segment].front_shows == "level":
        return tuple(limb.segments)
    pictures = pictures_of(limb)
    return tuple(name for name in limb.segments if pictures[name] == pictures[segment])
