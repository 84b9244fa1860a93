"""What to open for a case: taken, spare, missing, shared, replaced, clashing."""

from collections import Counter
from pathlib import Path

import pytest
from msgspec.structs import replace

from fixplan.case.file import read_case
from fixplan.case.records import Case
from fixplan.kit.answer import KitAnswer, kit_for
from fixplan.kit.clashes import mixing_acceptance
from fixplan.kit.parts import CLAMPS, Part, needs_of
from fixplan.kit.replacing import acceptance_for, part_of_key
from fixplan.kit.trays import Stock, Tray, Trays, shipped_trays

ROOT = Path(__file__).parents[3]
SAMPLES = sorted((ROOT / "sample_cases").glob("*.json"))


@pytest.fixture
def tibia() -> Case:
    return read_case(ROOT / "sample_cases" / "open-tibial-shaft.json")


def answer(case: Case, *trays: Tray) -> KitAnswer:
    return kit_for([case], Trays(trays=trays))


def tray_with(case: Case, name: str = "Leg A", **fields: object) -> Tray:
    """A tray that holds what the case takes and nothing else."""
    lines = tuple(_line(need.part, need.count) for need in needs_of(case))
    return Tray(**{"name": name, "kind": "large leg", "family": "K", "stock": lines, **fields})


def _line(part: Part, count: int) -> Stock:
    sizes = (part.diameter_mm, part.diameter_mm)
    return Stock(
        part=part.kind,
        count=count,
        diameter_mm=part.diameter_mm,
        length_mm=part.length_mm,
        takes_mm=sizes,
        bar_mm=(part.bar_mm, part.bar_mm),
        material=part.material,
    )


def without(tray: Tray, kind: str) -> Tray:
    return replace(tray, stock=tuple(line for line in tray.stock if line.part != kind))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_taken_and_missing_make_up_all_that_the_frame_takes(path: Path) -> None:
    case = read_case(path)
    found = kit_for([case], shipped_trays())
    taken = sum(one.count for tray in found.opened for one in tray.taken)
    taken += sum(pack.amount.count for pack in found.packs if not pack.is_ready)
    no_caps = sum(int(words.split()[0]) for words in found.lacking)
    assert taken + found.missing_count + no_caps == sum(n.count for n in needs_of(case))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_taken_spare_and_left_make_up_the_tray(path: Path) -> None:
    found = kit_for([read_case(path)], shipped_trays())
    counts = {tray.name: sum(line.count for line in tray.stock) for tray in shipped_trays().trays}
    for tray in found.opened:
        told = sum(one.count for one in (*tray.taken, *tray.spare, *tray.left))
        assert told == counts[tray.name]


def test_a_tray_that_holds_it_all_is_the_one_to_open(tibia: Case) -> None:
    found = answer(tibia, tray_with(tibia))
    assert found.is_complete
    assert [tray.name for tray in found.opened] == ["Leg A"]
    assert found.opened[0].is_last
    assert found.lacking == ()
    assert "half-pin" in " ".join(found.unspared)


def test_the_last_of_a_kind_stays_closed_when_another_serves(tibia: Case) -> None:
    lone = tray_with(tibia, "Alone", kind="rare")
    pair = [tray_with(tibia, f"Leg {x}", kind="common") for x in "AB"]
    (opened,) = answer(tibia, lone, *pair).opened
    assert (opened.name, opened.is_last) == ("Leg A", False)


def test_a_tray_that_is_out_is_not_opened_but_named(tibia: Case) -> None:
    away = tray_with(tibia, is_out=True, back_at="07:00")
    found = answer(tibia, away)
    assert found.opened == ()
    assert found.missing_count == sum(n.count for n in needs_of(tibia) if not n.is_wish)
    assert "4 in Leg A, back 07:00" in found.missing[0].words
    assert not found.is_complete


def test_a_single_pack_fills_what_the_tray_lacks(tibia: Case) -> None:
    (drill,) = [line for line in tray_with(tibia).stock if line.part == "drill"]
    shelf = Tray(name="Shelf", kind="packs", is_single=True, stock=(drill,))
    found = answer(tibia, without(tray_with(tibia), "drill"), shelf)
    assert found.is_complete
    assert [(pack.shelf, pack.is_ready) for pack in found.packs] == [("Shelf", False)]


def test_a_spare_in_a_closed_tray_is_to_be_ready_and_not_opened(tibia: Case) -> None:
    found = answer(tibia, tray_with(tibia), tray_with(tibia, "Leg B"))
    assert len(found.opened) == 1
    assert found.packs
    assert all(pack.is_ready and pack.shelf == "Leg B" for pack in found.packs)
    assert found.unspared == ()


def test_a_tray_is_opened_for_one_patient_alone(tibia: Case) -> None:
    big = tray_with(tibia)
    big = replace(big, stock=tuple(replace(line, count=2 * line.count) for line in big.stock))
    trays = Trays(trays=(big, replace(big, name="Leg B")))
    assert len(kit_for([tibia, tibia], trays).opened) == 2
    assert len(kit_for([tibia, tibia], trays, patients=(0, 0)).opened) == 1
    alone = kit_for([tibia, tibia], Trays(trays=(big,)))
    assert alone.missing_count == sum(n.count for n in needs_of(tibia) if not n.is_wish)


def test_families_of_clamps_are_not_mixed_unless_accepted(tibia: Case) -> None:
    whole = tray_with(tibia)
    half = tuple(
        replace(line, count=line.count // 2) if line.part in CLAMPS else line
        for line in whole.stock
    )
    trays = (
        replace(whole, stock=half),
        replace(whole, name="Leg M", family="M", stock=half),
    )
    found = answer(tibia, *trays)
    assert {one.part.kind for one in found.missing} == set(CLAMPS[:2])
    assert [one.is_open for one in found.clashes] == [True]
    kept = replace(tibia, acceptances=(mixing_acceptance("no other clamps tonight"),))
    mixed = answer(kept, *trays)
    assert mixed.missing == ()
    assert mixed.is_complete
    assert "accepted: no other clamps tonight" in mixed.clashes[0].words


def test_a_size_that_no_clamp_takes_is_a_stop(tibia: Case) -> None:
    found = answer(tibia, without(tray_with(tibia), "pin-to-bar clamp"))
    (clash,) = found.clashes
    assert clash.is_open
    assert "joins a pin of 5 mm to a bar of 11 mm" in clash.message


def test_other_clamps_than_those_drawn_are_noted(tibia: Case) -> None:
    found = answer(tibia, tray_with(tibia, family="M"))
    assert [one.severity for one in found.clashes] == ["note"]
    assert found.is_complete


def test_an_accepted_part_is_taken_only_where_the_drawn_one_is_short(tibia: Case) -> None:
    used = Part(kind="half-pin", diameter_mm=4.0, length_mm=100.0)
    kept = replace(tibia, acceptances=(acceptance_for("pin-1", used, "none left"),))
    whole = tray_with(kept)
    assert answer(kept, whole).replaced == ()
    few = tuple(replace(line, count=3) if line.part == "half-pin" else line for line in whole.stock)
    thin = tray_with(replace(kept, pins=tuple(replace(p, diameter_mm=4.0) for p in kept.pins)))
    found = answer(kept, replace(whole, stock=few), replace(thin, name="Leg T"))
    (one,) = found.replaced
    assert found.missing == ()
    assert "hole of pin 1" in one.effect
    assert "along -" in one.effect
    assert "accepted: none left" in one.words


@pytest.mark.parametrize(
    "part",
    [
        Part(kind="half-pin", diameter_mm=5.0, length_mm=150.0),
        Part(kind="through-pin", diameter_mm=4.5, length_mm=225.0),
        Part(kind="bar", diameter_mm=11.0, length_mm=300.0, material="steel"),
    ],
)
def test_a_key_gives_its_part_back(part: Part) -> None:
    assert part_of_key(part.key) == part


@pytest.mark.parametrize("key", ["", "spanner/11/5", "half-pin/5", "half-pin/a/b", "bar//"])
def test_a_key_of_nothing_gives_nothing(key: str) -> None:
    assert part_of_key(key) is None


def test_without_a_frame_there_is_nothing_to_open() -> None:
    found = kit_for([Case(side="left")], shipped_trays())
    assert found.opened == ()
    assert found.is_complete
    assert found.headline == "No tray to open"


def test_a_pin_longer_than_any_listed_takes_any_that_is_long_enough() -> None:
    long = Part(kind="half-pin", diameter_mm=5.0, length_mm=260.0, at_least=True)
    assert Stock(part="half-pin", count=1, diameter_mm=5, length_mm=300).serves(long)
    assert not Stock(part="half-pin", count=1, diameter_mm=5, length_mm=250).serves(long)
    threaded = Stock(part="half-pin", count=1, diameter_mm=5, length_mm=150, thread_mm=30)
    assert not threaded.serves(Part(kind="half-pin", diameter_mm=5, length_mm=150, thread_mm=40))


def test_every_shipped_tray_is_named_once_and_says_that_it_is_invented() -> None:
    names = Counter(tray.name for tray in shipped_trays().trays)
    assert max(names.values()) == 1
    for path in (ROOT / "resources" / "trays").glob("*.toml"):
        assert "invented" in path.read_text(encoding="utf-8").splitlines()[0]


def test_a_missing_part_names_whom_it_is_for(tibia: Case) -> None:
    barless = without(tray_with(tibia), "bar")
    words = {one.part.length_mm: one.words for one in answer(tibia, barless).missing}
    assert words[120.0] == "1 \u00d7 carbon bar 11 mm, 120 mm missing, for bar 1"
    night = kit_for([tibia, tibia], Trays(trays=(barless,)))
    assert any(one.words.endswith("for bar 1 of case 2") for one in night.missing)
    clamps = [one.words for one in night.missing if one.part.kind == "pin-to-bar clamp"]
    assert "the clamp of bar 1 and pin 1" in clamps[0]


def test_of_several_that_ask_for_a_part_some_one_goes_without(tibia: Case) -> None:
    full = tray_with(tibia)
    fewer = tuple(
        replace(line, count=line.count - 1) if line.part == "half-pin" else line
        for line in full.stock
    )
    (missing,) = answer(tibia, replace(full, stock=fewer)).missing
    assert missing.words == (
        "1 \u00d7 half-pin 5 mm, 100 mm missing, for pin 1, pin 2, pin 3 or pin 4"
    )
