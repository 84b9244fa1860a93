"""Stretches of bone in which a starting frame looks for the pins of one group."""

from fixplan.case.fragments import Fragment, fragments
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case
from fixplan.errors import EditError
from fixplan.frame.bar_choices import Group
from fixplan.frame.defaults import (
    customary_bearings,
    customary_kind,
    customary_sides,
    pinned_levels,
)
from fixplan.frame.groups import usable_mm
from fixplan.frame.patterns import Sides, frames
from fixplan.frame.room import no_room_words, room_of, too_little_words
from fixplan.frame.sketch import Sketch
from fixplan.frame.sliding import (
    Pair,
    Run,
    Stretch,
    find_pair,
    least_bad,
    steps,
    wished_spread_mm,
)

WIDE_STRIDE = 2
"""Every other step along a long run is looked at from the less usual sides."""


def shaft_runs(sketch: Sketch, bone: str) -> list[Run]:
    """Stretches for the pins of each fragment; what is too short is said and left out."""
    pieces = fragments(sketch.case, bone)
    runs = []
    for piece in pieces:
        middle = piece not in (pieces[0], pieces[-1])
        if middle and usable_mm(sketch.case, piece) < frames().groups.bridged_mm:
            sketch.statements.append(f"The {piece.words} is short and is bridged without pins.")
            continue
        run = _fragment_run(sketch, piece, is_first=piece == pieces[0])
        if run is None:
            sketch.statements.append(no_room_words(sketch.case, piece, sketch.laid))
        else:
            runs.append(run)
    return runs


def _fragment_run(sketch: Sketch, piece: Fragment, *, is_first: bool) -> Run | None:
    """Levels of a fragment from its fracture outward, within the part that is pinned.

    At the usual distances where two pins fit so, else at the least ones; None where no pin does.
    """
    case, laid = sketch.case, sketch.laid
    usual = _run(sketch, piece, laid.fracture_mm, laid.apart_mm, is_first=is_first)
    least = _run(sketch, piece, laid.fracture_least_mm, laid.apart_least_mm, is_first=is_first)
    if usual is not None and usual.room_mm >= laid.apart_mm:
        return usual._replace(closer=least)
    if least is None or least.room_mm >= laid.apart_least_mm:
        return least
    return least._replace(why_short=too_little_words(case, piece, laid))


def _run(
    sketch: Sketch, piece: Fragment, clear_mm: float, apart_mm: float, *, is_first: bool
) -> Run | None:
    """The levels of a fragment so far from its fractures; None where there are none."""
    low, high = room_of(sketch.case, piece, clear_mm)
    if low > high:
        return None
    near, far = (high, low) if is_first else (low, high)
    spread_mm = wished_spread_mm(usable_mm(sketch.case, piece), sketch.laid)
    return Run(piece.bone, piece.words, near, far, spread_mm, apart_mm)


def spanning_run(
    sketch: Sketch, bone: str, start_mm: float, clear_mm: float, most_mm: float = 1000.0
) -> Run:
    """Stretch of a bone for the pins above or below a joint, from a level away from it.

    In the fragment nearest the joint that has room for two pins: from `start_mm`, or `clear_mm` off
    a fracture on the joint's side; then at the least distances; then nearer to the joint, which is
    said. Failing these, where one pin has most room. `most_mm` caps the spread. Raises EditError
    where no room is left.
    """
    case, laid = sketch.case, sketch.laid
    whole = limb_of_case(case).bones[bone]
    distally = start_mm < (whole.from_mm + whole.to_mm) / 2
    pieces = fragments(case, bone)
    usual = (clear_mm, laid.fracture_mm, laid.apart_mm)
    tight = (clear_mm, laid.fracture_least_mm, laid.apart_least_mm)
    least = (laid.fracture_least_mm, *tight[1:])
    short: list[Run] = []
    for piece in pieces if distally else reversed(pieces):
        wished_mm = wished_spread_mm(usable_mm(case, piece), laid, most_mm)
        for gaps_mm in (usual, tight, least):
            run = _off_joint(case, piece, start_mm, gaps_mm, distally=distally)
            if run is not None and run.room_mm >= run.apart_mm:
                return run._replace(spread_mm=wished_mm)
        near = _run(sketch, piece, *least[1:], is_first=distally)
        if len(pieces) > 1 and near is not None and near.room_mm >= near.apart_mm:
            sketch.statements.append(
                f"The pins in the {piece.words} stand nearer to the joint than is usual: farther "
                "off the fracture leaves no room."
            )
            return near._replace(spread_mm=min(near.spread_mm, most_mm))
        short += (
            [] if run is None else [run._replace(why_short=too_little_words(case, piece, laid))]
        )
    if not short:
        raise EditError(
            f"The {whole.title} has no room for a pin off the joint and "
            f"{laid.fracture_least_mm:g} mm off every fracture; choose another starting frame, or "
            "place the pins by hand."
        )
    return max(short, key=lambda one: one.room_mm)


def _off_joint(
    case: Case,
    piece: Fragment,
    start_mm: float,
    gaps_mm: tuple[float, float, float],
    *,
    distally: bool,
) -> Run | None:
    """Levels of a fragment from a level off a joint; None where there are none.

    `gaps_mm`: least distance to a fracture on the joint's side, to one on the other, between pins.
    """
    clear_mm, off_mm, apart_mm = gaps_mm
    whole = limb_of_case(case).bones[piece.bone]
    low, high = pinned_levels(limb_of_case(case), piece.bone)
    if piece.from_mm > whole.from_mm:
        low = max(low, piece.from_mm + (clear_mm if distally else off_mm))
    if piece.to_mm < whole.to_mm:
        high = min(high, piece.to_mm - (off_mm if distally else clear_mm))
    near, far = (max(start_mm, low), high) if distally else (min(start_mm, high), low)
    if (far < near) if distally else (near < far):
        return None
    return Run(piece.bone, piece.words, near, far, apart_mm, apart_mm)


def stretch_of(sketch: Sketch, run: Run) -> Stretch:
    """The bone's judged places for a run."""
    return Stretch(
        sketch.case,
        run.bone,
        customary_kind(run.bone),
        sketch.judge,
        sketch.laid,
        sketch.open_from_share.get(run.bone),
    )


def same_sides(sketch: Sketch, run: Run) -> tuple[Sides, ...]:
    """Both pins of a run from one customary side of its near end, the usual side first."""
    bearings = customary_bearings(limb_of_case(sketch.case), run.bone, run.near_mm)
    return tuple((bearing, bearing) for bearing in bearings)


def other_sides(sketch: Sketch, run: Run) -> tuple[Sides, ...]:
    """Both pins of a run from one bearing of the customary sides along it, the usual ones first."""
    limb, step_deg = limb_of_case(sketch.case), sketch.laid.other_side_deg
    found: dict[float, None] = {}
    levels = steps(run.near_mm, run.far_mm, sketch.laid.step_mm)
    for level in levels:
        found |= dict.fromkeys(customary_bearings(limb, run.bone, level))
    for _, low, high in dict.fromkeys(
        side for level in levels for side in customary_sides(limb, run.bone, level)
    ):
        width_deg = (high - low) % 360 or 360.0
        found |= dict.fromkeys(x % 360 for x in steps(low, low + width_deg, step_deg))
    return tuple((bearing, bearing) for bearing in found)


def find_places(sketch: Sketch, stretch: Stretch, run: Run, sides_deg: tuple[Sides, ...]) -> Pair:
    """Two places in a run; other customary bearings are tried before an open approach.

    In a short run the least distances are tried where the usual ones give no two clear places.
    """
    tried: list[Pair] = []
    for one in (run, run.closer) if run.closer is not None and _is_short(run) else (run,):
        searches = [(sides_deg, 1)]
        if sketch.widely:
            searches.append((other_sides(sketch, one), 1 if _is_short(one) else WIDE_STRIDE))
        for judged in dict.fromkeys((stretch.closed, stretch)):
            for sides, stride in searches:
                pair = find_pair(judged, one, sides, stride=stride)
                if pair.is_clear and pair.far is not None:
                    return pair
                tried.append(pair)
    return least_bad(tried)


def _is_short(run: Run) -> bool:
    """Whether two pins at their least distance leave less than as much again."""
    return run.room_mm < 2 * run.apart_mm


def put_pair(sketch: Sketch, run: Run, sides_deg: tuple[Sides, ...]) -> Group:
    """Two pins in a run, or as many as have a place without a stop; what is not clear is said."""
    stretch = stretch_of(sketch, run)
    return put_found(sketch, stretch, find_places(sketch, stretch, run, sides_deg), run)


def put_found(sketch: Sketch, stretch: Stretch, pair: Pair, run: Run) -> Group:
    """Pins at places that were found, numbered from proximal."""
    group = sketch.put_pair(stretch, pair, run.where)
    if len(group) == 1 and pair.far is None:
        sketch.statements.append(
            run.why_short
            or f"The {run.where} has {run.room_mm:.0f} mm for pins, too little for two; it holds "
            "one."
        )
    return group
