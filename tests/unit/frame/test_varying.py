"""One thing of the frame varied: the present frame at 100 %, the others solved as by themselves."""

from itertools import pairwise
from pathlib import Path
from typing import get_args

import pytest
from msgspec.structs import replace

from fixplan.case.file import decode
from fixplan.case.records import Case
from fixplan.errors import UnstableFrame
from fixplan.frame.hold import quick_hold
from fixplan.frame.joining import laid_bars
from fixplan.frame.trying import firmness_of_all
from fixplan.frame.varying import Thing, varied

CASES = Path(__file__).parents[3] / "sample_cases"
NAMES = ["open-tibial-shaft", "pilon-delta", "open-femoral-shaft"]
MODES = range(4)


def case_of(name):
    path = CASES / f"{name}.json"
    return decode(path.read_bytes(), str(path))


@pytest.fixture(scope="module", params=NAMES)
def case(request):
    return case_of(request.param)


@pytest.mark.parametrize("thing", get_args(Thing))
def test_each_variant_is_as_stiff_as_its_case_by_itself(case, thing):
    found = varied(case, thing)
    assert len(found.points) > 1
    for point in found.points:
        alone = [one.firmness for one in quick_hold(point.variant.case).gaps]
        for gap, firm in enumerate(alone):
            assert point.firmness[gap] == pytest.approx(firm, rel=1e-6)


@pytest.mark.parametrize("thing", get_args(Thing))
def test_the_present_frame_is_marked_and_stands_at_100_percent(case, thing):
    present = [point for point in varied(case, thing).points if point.variant.is_present]
    assert len(present) == 1
    for mode in MODES:
        assert varied(case, thing).share(present[0], 0, mode) == pytest.approx(1.0)


@pytest.mark.parametrize("thing", get_args(Thing))
def test_variants_stand_in_the_order_of_the_axis(case, thing):
    places = [point.variant.x for point in varied(case, thing).points]
    assert places == sorted(places)


def test_thicker_pins_are_stiffer_in_every_way(case):
    found = varied(case, "pin diameter")
    for mode in MODES:
        shares = [found.share(point, 0, mode) for point in found.points]
        assert shares == sorted(shares)


def test_a_bar_further_off_is_softer_along_the_bone(case):
    found = varied(case, "bar distance")
    shares = [found.share(point, 0, 0) for point in found.points]
    assert shares == sorted(shares, reverse=True)


def test_more_pins_never_make_a_frame_softer(case):
    found = varied(case, "pin number")
    for mode in MODES:
        shares = [found.share(point, 0, mode) for point in found.points]
        assert all(b >= a - 1e-9 for a, b in pairwise(shares))


def test_added_pins_are_held_by_a_bar_that_reaches_them():
    found = varied(case_of("open-tibial-shaft"), "pin number")
    five = found.points[-1].variant.case
    assert len(five.pins) == 10
    joints = [j for path in laid_bars(five).paths.values() for j in path.joints]
    reached = {joint.other for joint in joints if joint.reaches}
    assert {pin.id for pin in five.pins} <= reached


def test_what_would_not_be_done_says_why():
    found = varied(case_of("open-tibial-shaft"), "bar distance")
    near = [point.variant for point in found.points if point.variant.against]
    assert near
    assert all(one.x < 21 and "from the skin" in one.against for one in near)
    spread = varied(case_of("open-tibial-shaft"), "spread").points[-1].variant
    assert "of the fracture" in spread.against


def test_mixed_diameters_have_no_present_point():
    case = case_of("open-tibial-shaft")
    first = replace(case.pins[0], diameter_mm=6.0)
    mixed = replace(case, pins=(first, *case.pins[1:]))
    assert not any(p.variant.is_present for p in varied(mixed, "pin diameter").points)


def test_a_loose_frame_cannot_be_varied():
    case = case_of("open-tibial-shaft")
    with pytest.raises(UnstableFrame):
        varied(replace(case, bars=case.bars[:2]), "spread")


def test_a_case_without_a_frame_among_others_is_left_out():
    case = case_of("open-tibial-shaft")
    loose = replace(case, bars=case.bars[:2])
    whole, none, again = firmness_of_all([case, loose, case])
    assert none == ()
    assert whole == again != ()
    assert firmness_of_all([]) == ()
    assert firmness_of_all([Case(side="left")]) == ((),)
