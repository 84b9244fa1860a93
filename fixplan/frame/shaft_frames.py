"""Starting frames for a broken shaft: short bars with a link, or one straight bar."""

from itertools import pairwise

from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, PinAnchor
from fixplan.errors import EditError
from fixplan.frame.bar_choices import Group, with_pin
from fixplan.frame.joining import bar_paths
from fixplan.frame.lining_up import lined_up
from fixplan.frame.runs import put_found, put_pair, same_sides, shaft_runs, stretch_of
from fixplan.frame.sketch import Sketch
from fixplan.frame.sliding import Pair, Run, find_pair
from fixplan.frame.verdicts import Badness


def lay_per_fragment(sketch: Sketch, bone: str) -> None:
    """Two pins and a short bar in each fragment, a link bar between neighbours.

    A fragment without a place for a pin gets none. Raises EditError where no fragment has one.
    """
    runs = shaft_runs(sketch, bone)
    groups = [put_pair(sketch, run, same_sides(sketch, run)) for run in runs]
    if not any(groups):
        raise EditError(f"{' '.join(sketch.statements)} Place the pins by hand.")
    holders = [sketch.holder(group) for group in groups if group]
    for upper, lower in pairwise(holders):
        sketch.link(upper, lower, wound_between=True)


def lay_single_bar(sketch: Sketch, bone: str) -> None:
    """All pins from one side on one straight bar; the inner ones are lined up with it.

    Raises EditError where one side of the fracture has no room for a pin.
    """
    runs = shaft_runs(sketch, bone)
    title = limb_of_case(sketch.case).bones[bone].title
    if len(runs) < 2:
        raise EditError(
            f"One straight bar needs room for pins on both sides of the fracture of the {title}: "
            f"{' '.join(sketch.statements)}"
        )
    groups = _in_one_plane(sketch, runs)
    if not all(groups):
        raise EditError(
            f"One straight bar needs pins on both sides of the fracture of the {title}: "
            f"{' '.join(sketch.statements)} Place the pins by hand."
        )
    pins = [pin for group in groups for pin in group]
    out = sketch.laid.out_mm
    first, last = PinAnchor(pin=pins[0], out_mm=out), PinAnchor(pin=pins[-1], out_mm=out)
    bar = sketch.put_bar(first, last, tuple(pins[1:-1]))
    sketch.settle((bar,), (all_lined_up(case, bar) for case in sketch.lays(bar)))


def all_lined_up(case: Case, bar_id: str) -> Case:
    """The case with every further pin of a bar turned to meet it, as far as that can be done."""
    path = bar_paths(case).get(bar_id)
    if path is None:
        return case
    for pin in [one for one in case.pins if one.id in path.bar.also]:
        try:
            case = with_pin(case, lined_up(case, path, pin))
        except EditError:
            continue
    return case


def _in_one_plane(sketch: Sketch, runs: list[Run]) -> list[Group]:
    """All pins from the first customary side on which every fragment has clear places."""
    stretches = [stretch_of(sketch, run) for run in runs]
    tried: list[list[Pair]] = []
    for sides in same_sides(sketch, runs[0]):
        pairs = [
            find_pair(stretch, run, (sides,)) for stretch, run in zip(stretches, runs, strict=True)
        ]
        tried.append(pairs)
        if all(pair.is_clear for pair in pairs):
            break
    best = min(tried, key=_badness)
    return [put_found(sketch, s, p, r) for s, p, r in zip(stretches, best, runs, strict=True)]


def _badness(pairs: list[Pair]) -> Badness:
    stops, cautions, excess = zip(*(pair.badness for pair in pairs), strict=True)
    return sum(stops), sum(cautions), sum(excess)
