"""Changes offered when a part is short: tried on the trays, with their consequence."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from fixplan.case.file import read_case
from fixplan.case.records import Case
from fixplan.kit.answer import kit_for
from fixplan.kit.offers import (
    Offer,
    kit_with,
    mixing_taken_back,
    offers_for,
    taken_back,
    trying,
)
from fixplan.kit.parts import CLAMPS, Need, needs_of
from fixplan.kit.trays import Stock, Tray, Trays

ROOT = Path(__file__).parents[3]


@pytest.fixture
def tibia() -> Case:
    return read_case(ROOT / "sample_cases" / "open-tibial-shaft.json")


def stock_for(need: Need) -> Stock:
    part = need.part
    return Stock(
        part=part.kind,
        count=need.count,
        diameter_mm=part.diameter_mm,
        length_mm=part.length_mm,
        takes_mm=(part.diameter_mm, part.diameter_mm),
        bar_mm=(part.bar_mm, part.bar_mm),
        material=part.material,
    )


def trays_for(case: Case, *more: Stock, lacking: str = "") -> Trays:
    lines = tuple(stock_for(need) for need in needs_of(case) if need.part.kind != lacking)
    return Trays(
        trays=(Tray(name="Leg A", kind="large leg", family="K", stock=(*lines, *more)),),
        origin="trays.toml",
    )


def offered(case: Case, trays: Trays) -> tuple[Offer, ...]:
    return offers_for(case, trays, kit_for([case], trays))


def longer(count: int, length_mm: float = 150.0, diameter_mm: float = 5.0) -> Stock:
    return Stock(part="half-pin", count=count, diameter_mm=diameter_mm, length_mm=length_mm)


def test_nothing_is_offered_when_nothing_is_short(tibia: Case) -> None:
    assert offered(tibia, trays_for(tibia)) == ()


def test_a_longer_pin_is_offered_and_makes_the_case_buildable(tibia: Case) -> None:
    trays = trays_for(tibia, longer(4), lacking="half-pin")
    (offer,) = offered(tibia, trays)
    assert "half-pin 5 mm, 150 mm in place of half-pin 5 mm, 100 mm" in offer.words
    assert "pin 1 stands 56 mm past its clamp" in offer.effect
    assert offer.outcome == "nothing is missing then"
    then = kit_for([offer.changed], trays)
    assert then.is_complete
    assert [one.owner for one in then.replaced] == ["pin-1", "pin-2", "pin-3", "pin-4"]
    assert "half-pin 5 mm, 100 mm is short" in then.replaced[0].reason


def test_the_pins_of_the_drawing_stay_as_drawn(tibia: Case) -> None:
    (offer,) = offered(tibia, trays_for(tibia, longer(4), lacking="half-pin"))
    assert offer.changed.pins == tibia.pins


def test_two_lengths_that_both_do_are_one_offer(tibia: Case) -> None:
    trays = trays_for(tibia, longer(4, 120.0), longer(4, 180.0), lacking="half-pin")
    (offer,) = offered(tibia, trays)
    assert "120 mm in place" in offer.words


def test_a_pin_too_short_to_reach_is_not_offered(tibia: Case) -> None:
    assert offered(tibia, trays_for(tibia, longer(4, 60.0), lacking="half-pin")) == ()


def test_a_pin_that_brings_a_new_stop_is_not_offered(tibia: Case) -> None:
    clamp = Stock(part="pin-to-bar clamp", count=9, takes_mm=(4.0, 12.0), bar_mm=(11.0, 11.0))
    tools = [
        Stock(part=kind, count=2, diameter_mm=6.0, takes_mm=(4.0, 12.0))
        for kind in ("drill", "sleeve")
    ]
    spanner = Stock(part="spanner", count=2, diameter_mm=11.0)
    thick = trays_for(tibia, longer(4, 150.0, 12.0), clamp, *tools, spanner, lacking="half-pin")
    assert offered(tibia, thick) == ()


def test_what_is_taken_can_be_taken_back(tibia: Case) -> None:
    trays = trays_for(tibia, longer(4), lacking="half-pin")
    (offer,) = offered(tibia, trays)
    case = offer.changed
    for used in kit_for([case], trays).replaced:
        case = taken_back(case, used.owner, used.used)
    assert case == tibia


def test_one_pin_short_changes_the_one_that_costs_least(tibia: Case) -> None:
    lines = tuple(
        replace(line, count=3) if line.part == "half-pin" else line
        for line in trays_for(tibia).trays[0].stock
    )
    tray = replace(trays_for(tibia).trays[0], stock=(*lines, longer(4, 150.0, 4.0)))
    clamps = Stock(part="pin-to-bar clamp", count=9, takes_mm=(4.0, 6.0), bar_mm=(11.0, 11.0))
    drill = Stock(part="drill", count=1, diameter_mm=2.5, takes_mm=(4.0, 4.0))
    sleeve = Stock(part="sleeve", count=1, takes_mm=(4.0, 4.0))
    tray = replace(tray, stock=(*tray.stock, clamps, drill, sleeve))
    trays = Trays(trays=(tray,))
    (offer,) = offered(tibia, trays)
    assert len(offer.changed.acceptances) == len(tibia.acceptances) + 1
    assert "hole of pin" in offer.effect


def test_families_may_be_mixed_once_accepted(tibia: Case) -> None:
    whole = trays_for(tibia).trays[0]
    half = tuple(
        replace(line, count=line.count // 2) if line.part in CLAMPS else line
        for line in whole.stock
    )
    trays = Trays(
        trays=(replace(whole, stock=half), replace(whole, name="Leg M", family="M", stock=half))
    )
    offer = offered(tibia, trays)[-1]
    assert offer.words == "Clamps of several families in one frame"
    assert "not assessed" in offer.effect
    assert kit_for([offer.changed], trays).is_complete
    assert mixing_taken_back(offer.changed) == tibia


def test_clamps_that_take_another_bar_lead_to_other_bars(tibia: Case) -> None:
    thin = [
        Stock(part="bar", count=3, diameter_mm=8.0, length_mm=length, material="carbon")
        for length in (100.0, 120.0, 250.0)
    ]
    joints = [
        Stock(part="pin-to-bar clamp", count=4, takes_mm=(5.0, 5.0), bar_mm=(8.0, 8.0)),
        Stock(part="bar-to-bar clamp", count=4, takes_mm=(8.0, 11.0), bar_mm=(8.0, 11.0)),
    ]
    spanners = [Stock(part="spanner", count=2, diameter_mm=size) for size in (8.0, 10.0, 11.0)]
    trays = trays_for(tibia, *thin, *joints, *spanners, lacking="pin-to-bar clamp")
    (offer,) = offered(tibia, trays)
    assert offer.words == "bars of 8 mm in place of 11 mm for bar 1 and bar 2"
    assert "firmness along -" in offer.effect
    assert {bar.diameter_mm for bar in offer.changed.bars} == {8.0, 11.0}


def test_another_case_of_the_same_patient_shares_the_trays(tibia: Case) -> None:
    trays = trays_for(tibia, longer(4))
    both = kit_with(tibia, (tibia,), trays)
    assert both.missing
    assert kit_with(tibia, (), trays).missing == ()
    tries = [one for one in trying(tibia, trays, both, (tibia,)) if one is not None]
    for one in tries:
        assert kit_with(one.changed, (tibia,), trays).missing_count == one.missing_after
