from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from fixplan.sheet.spreading import spread

LEVELS = st.lists(st.floats(0, 100), min_size=1, max_size=12).map(sorted)


@given(LEVELS, st.floats(1, 6))
def test_labels_never_overlap(levels: list[float], height: float) -> None:
    placed = spread(levels, [height] * len(levels), 0.0, 200.0)
    gaps = [b - a for a, b in pairwise(placed)]
    assert all(gap >= height - 1e-6 for gap in gaps)


@given(LEVELS)
def test_labels_stay_between_the_ends_when_there_is_room(levels: list[float]) -> None:
    placed = spread(levels, [5.0] * len(levels), 10.0, 90.0)
    assert min(placed) >= 12.5 - 1e-6
    assert max(placed) <= 87.5 + 1e-6


def test_labels_with_room_stay_where_they_are_wanted() -> None:
    assert spread([10.0, 30.0, 50.0], [6.0] * 3, 0.0, 100.0) == [10.0, 30.0, 50.0]


def test_two_labels_at_one_place_move_apart_alike() -> None:
    assert spread([20.0, 20.0], [6.0, 6.0], 0.0, 100.0) == [17.0, 23.0]


def test_no_label_is_no_label() -> None:
    assert spread([], [], 0.0, 10.0) == []
