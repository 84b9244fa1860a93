"""The drawing: bars meet their clamps, distances are the table's, the window holds all."""

import re

import pytest
from msgspec.structs import replace

from fixplan.case.limbs import limb_of_case, pose_of_case
from fixplan.case.records import Case, Wound
from fixplan.frame.joining import bar_paths
from fixplan.limb.words import level_words
from fixplan.sheet.frame_picture import bar_ends, held_segments
from fixplan.sheet.pages import Page, compose
from fixplan.sheet.shapes import AnyShape, Disc, Line, Polygon, Text
from fixplan.sheet.strips import distance
from fixplan.sheet.tables import clamp_words
from fixplan.sheet.views import ViewFrame

papers = pytest.mark.parametrize("paper", ["A4", "A3"])


def _points(shapes: tuple[AnyShape, ...]) -> list[tuple[float, float]]:
    found: list[tuple[float, float]] = []
    for shape in shapes:
        if isinstance(shape, Line | Polygon):
            found += shape.points
        elif isinstance(shape, Disc):
            found.append(shape.centre)
    return found


def _first(case: Case, paper: str = "A3") -> Page:
    return compose(case, (), paper)[0]


def _frame(page: Page, view: str) -> ViewFrame:
    return next(frame for frame in page.views if frame.view == view)


def _from_line(point: tuple[float, float], a: tuple[float, float], b: tuple[float, float]) -> float:
    cross = (b[0] - a[0]) * (point[1] - a[1]) - (b[1] - a[1]) * (point[0] - a[0])
    return abs(cross) / distance(a, b)


@pytest.mark.parametrize("view", ["front", "side"])
def test_a_bar_runs_by_its_clamps_in_both_views(any_case: Case, view: str) -> None:
    page = _first(any_case)
    frame = _frame(page, view)
    held = held_segments(any_case, pose_of_case(any_case))
    for bar, path in bar_paths(any_case).items():
        ends = bar_ends(pose_of_case(any_case), frame.view, path, held[bar])
        a, b = (frame.point(*end) for end in ends)
        for joint in path.joints:
            shapes = page.groups[joint.id]
            half = shapes[: len(shapes) // 2] if view == "front" else shapes[len(shapes) // 2 :]
            (centre,) = [s.centre for s in half if isinstance(s, Disc)]
            assert _from_line(centre, a, b) < 12.5 * frame.scale


@papers
def test_everything_planned_lies_between_the_margins(any_case: Case, paper: str) -> None:
    page = _first(any_case, paper)
    for owner in page.groups:
        if owner.startswith(
            ("pin-", "bar-", "clamp:", "support-", "injury-", "wound-", "fracture-")
        ):
            for x, y in _points(page.groups[owner]):
                assert 4 <= x <= page.width_mm - 4, owner
                assert 4 <= y <= page.height_mm - 4, owner


@papers
def test_pins_and_bars_keep_within_their_view(any_case: Case, paper: str) -> None:
    page = _first(any_case, paper)
    top = min(frame.box.y for frame in page.views) - 1
    bottom = max(frame.box.bottom for frame in page.views) + 1
    for thing in (*any_case.pins, *any_case.bars):
        assert all(top <= y <= bottom for _, y in _points(page.groups[thing.id])), thing.id


def test_distances_are_those_of_the_table(any_case: Case) -> None:
    page, limb = _first(any_case), limb_of_case(any_case)
    drawn = [s.text for s in page.groups["dimensions"] if isinstance(s, Text) and s.bold]
    told = []
    for pin in any_case.pins:
        segment = limb.bones[pin.bone].segment
        if limb.segments[segment].front_shows == "level":
            words = level_words(limb, segment, pin.level_mm, pin.bone)
            found = re.match(r"(\d+) mm", words)
            told.append(found[1] if found else "0")
    assert sorted(drawn) == sorted(told)


def test_a_landmark_beyond_the_window_breaks_the_line_off(knee: Case) -> None:
    page = _first(knee)
    box = _frame(page, "front").box
    lines = [s for s in page.groups["dimensions"] if isinstance(s, Line)]
    assert all(box.y - 1.5 <= y <= box.bottom + 1.5 for line in lines for _, y in line.points)


def test_balloons_stand_outside_the_limb(any_case: Case) -> None:
    page = _first(any_case)
    for pin in any_case.pins:
        rings = [s for s in page.groups[f"{pin.id}:label"] if isinstance(s, Disc)]
        for ring, frame in zip(rings, page.views, strict=True):
            x = ring.centre[0]
            assert x + ring.radius_mm < frame.limits[0] or x - ring.radius_mm > frame.limits[1]


def test_balloons_of_many_pins_do_not_overlap(tibia: Case) -> None:
    pins = tuple(
        replace(tibia.pins[0], id=f"pin-{k}", number=k, level_mm=100.0 + 4.0 * k)
        for k in range(1, 13)
    )
    page = _first(replace(tibia, pins=pins, bars=(), supports=()))
    rings = [s for p in pins for s in page.groups[f"{p.id}:label"] if isinstance(s, Disc)]
    for index, one in enumerate(rings):
        for other in rings[index + 1 :]:
            assert distance(one.centre, other.centre) >= 2 * one.radius_mm


def test_balloons_of_many_pins_stay_beside_the_drawing(tibia: Case) -> None:
    pins = tuple(
        replace(tibia.pins[0], id=f"pin-{k}", number=k, level_mm=60.0 + 17.0 * k)
        for k in range(1, 16)
    )
    page = _first(replace(tibia, pins=pins, bars=(), supports=()), "A4")
    lowest = max(frame.box.bottom for frame in page.views)
    for pin in pins:
        for ring in (s for s in page.groups[f"{pin.id}:label"] if isinstance(s, Disc)):
            assert ring.centre[1] + ring.radius_mm <= lowest + 1.0


def test_flexion_turns_the_side_view_and_leaves_the_front(knee: Case) -> None:
    bent, straight = (_first(replace(knee, knee_flexion_deg=angle)) for angle in (20.0, 0.0))
    spread = []
    for page in (bent, straight):
        femur_pins = [p for p in knee.pins if p.bone == "femur"]
        side = _frame(page, "side")
        xs = []
        for pin in femur_pins:
            points = [p for p in _points(page.groups[pin.id]) if p[0] > side.box.x - 20]
            xs.append(sum(x for x, _ in points) / len(points) / side.scale)
        spread.append(abs(xs[0] - xs[1]))
    assert spread[0] > spread[1] + 10


def test_an_injury_drawn_in_one_view_crosses_the_whole_other(tibia: Case) -> None:
    injury = replace(tibia.injuries[0], side=())
    page = _first(replace(tibia, injuries=(injury,)))
    side = _frame(page, "side")
    points = [p for p in _points(page.groups[injury.id]) if p[0] > side.box.x]
    levels = [v for _, v in injury.front]
    low, high = (side.point(0, level)[1] for level in (min(levels), max(levels)))
    margin = 20.0 * side.scale
    assert min(y for _, y in points) == pytest.approx(low - margin, abs=0.3)
    assert max(y for _, y in points) == pytest.approx(high + margin, abs=0.3)


def test_each_candidate_has_its_letter_in_drawing_and_legend(tibia: Case) -> None:
    groups = _first(tibia).groups
    for letter, candidate in zip("XY", tibia.candidates, strict=False):
        tags = [s.text for s in groups[f"{candidate.id}:label"] if isinstance(s, Text)]
        assert set(tags) == {letter}
        legend = [s.text for s in groups["legend"] if isinstance(s, Text)]
        assert any(text.startswith(f"{letter} later: ") for text in legend)
        looks = [s.stroke.dash for s in groups[candidate.id] if isinstance(s, Polygon) and s.stroke]
        assert "dash-dot" in looks


def test_a_pin_from_behind_is_dashed(tibia: Case) -> None:
    pin = replace(tibia.pins[0], bearing_deg=180.0)
    page = _first(replace(tibia, pins=(pin,), bars=(), supports=()))
    dashes = [
        s.stroke.dash for s in page.groups["pin-1"] if isinstance(s, Polygon | Disc) and s.stroke
    ]
    half = len(dashes) // 2
    assert "dash" not in dashes[:half]
    assert "dash" in dashes[half:]


def test_a_clamp_that_does_not_reach_looks_different(tibia: Case) -> None:
    third = tibia.pins[2]
    bar = replace(tibia.bars[0], also=(third.id,))
    far = replace(third, bearing_deg=third.bearing_deg + 40.0)
    case = replace(tibia, bars=(bar,), pins=(*tibia.pins[:2], far, *tibia.pins[3:]), supports=())
    page = _first(case)
    (stray,) = [s for s in page.groups["clamp:bar-1/pin-3"] if isinstance(s, Polygon)][:1]
    (held,) = [s for s in page.groups["clamp:bar-1/pin-1"] if isinstance(s, Polygon)][:1]
    assert stray.stroke is not None
    assert held.stroke is not None
    assert (stray.stroke.dash, held.stroke.dash) == ("dash", "solid")


def _wound_on_the_edge(case: Case, edge_mm: float) -> Case:
    """A skin line at one edge of the front view, along the middle of the leg."""
    line = ((edge_mm, 150.0), (edge_mm, 250.0))
    wound = Wound(
        id="wound-9", kind="fasciotomy line", segment="leg", view="front", face="near", line=line
    )
    return replace(case, wounds=(wound,))


@pytest.mark.parametrize(("edge_mm", "dash"), [(60.0, "solid"), (-60.0, "dash")])
def test_a_skin_line_at_the_edge_of_the_front_view_lies_on_the_side_of_the_limb(
    tibia: Case, edge_mm: float, dash: str
) -> None:
    """Beside the limb it is drawn on its side, near or far in the side view, off its contours."""
    page = _first(_wound_on_the_edge(tibia, edge_mm))
    frame = _frame(page, "side")
    lines = [s for s in page.groups["wound-9"] if isinstance(s, Line) and len(s.points) > 10]
    (drawn,) = [line for line in lines if frame.box.x <= line.points[0][0] <= frame.box.right]
    assert drawn.stroke.dash == dash
    pose = pose_of_case(tibia)
    contour = pose.uv_of("leg", "side", limb_of_case(tibia).skin_outline("leg", "side"))
    across = [x for x, _ in (frame.point(*point) for point in contour.tolist())]
    least = min(abs(x - edge) for x, _ in drawn.points for edge in (min(across), max(across)))
    assert least > 12 * frame.scale


def test_the_bar_table_tells_where_each_clamp_stands(knee: Case) -> None:
    """From the end at the first clamp: what a bar holds, and the bar that is laid on it."""
    paths = bar_paths(knee)
    words = clamp_words(knee, paths["bar-1"]).replace("\u00a0", " ")
    first, second, link = re.findall(r"(\w+ \d) at (\d+)", words)
    assert [first[0], second[0], link[0]] == ["pin 1", "pin 2", "bar 3"]
    joints = [joint.along_mm for joint in paths["bar-1"].joints]
    assert int(second[1]) - int(first[1]) == pytest.approx(joints[1] - joints[0], abs=1)
    assert int(first[1]) == pytest.approx(paths["bar-1"].overhang_mm, abs=1)
