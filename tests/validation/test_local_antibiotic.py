"""Beads, packets and drug against outside mathematics and the figures of LA-05 and LA-08."""

import math
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
import sympy

from fixplan.case.dead_space_records import DeadSpace, DrugInCement
from fixplan.case.records import Case, Wound
from fixplan.checks.rules import evidence
from fixplan.trips.beads import bead_surface_mm2, bead_volume_ml, block_surface_mm2
from fixplan.trips.dead_space import filling_of
from fixplan.trips.drugs import antibiotics

ROOT = Path(__file__).parents[2]


@pytest.mark.parametrize("diameter_mm", [4.0, 6.0, 8.0, 10.0, 13.5])
def test_bead_is_the_solid_of_revolution_that_sympy_integrates(diameter_mm: float) -> None:
    x, r = sympy.symbols("x r", positive=True)
    height = sympy.sqrt(r**2 - x**2)
    volume = sympy.integrate(sympy.pi * height**2, (x, -r, r))
    along = sympy.simplify(height * sympy.sqrt(1 + sympy.diff(height, x) ** 2))
    surface = sympy.integrate(2 * sympy.pi * along, (x, -r, r))
    radius = diameter_mm / 2
    assert bead_volume_ml(diameter_mm) == pytest.approx(float(volume.subs(r, radius)) / 1000)
    assert bead_surface_mm2(diameter_mm) == pytest.approx(float(surface.subs(r, radius)))


@pytest.mark.parametrize(("volume_ml", "length_mm"), [(20.0, 60.0), (5.0, 12.0), (90.0, 140.0)])
def test_block_is_the_cylinder_of_that_volume(volume_ml: float, length_mm: float) -> None:
    r = sympy.symbols("r", positive=True)
    (radius,) = sympy.solve(sympy.pi * r**2 * length_mm - volume_ml * 1000, r)
    surface = sympy.pi * 2 * radius * length_mm + 2 * sympy.pi * radius**2
    assert block_surface_mm2(volume_ml, length_mm) == pytest.approx(float(surface))


def test_without_a_length_the_block_has_the_least_surface_of_all_cylinders() -> None:
    lengths = [5 + 0.01 * step for step in range(20_000)]
    least = min(block_surface_mm2(30.0, length_mm) for length_mm in lengths)
    assert block_surface_mm2(30.0) == pytest.approx(least, rel=1e-6)
    assert block_surface_mm2(30.0) <= least


@pytest.mark.parametrize(("diameter_mm", "volume_ml"), [(6, 0.11), (8, 0.27), (10, 0.52)])
def test_bead_volumes_as_la_08_has_them(diameter_mm: float, volume_ml: float) -> None:
    assert round(bead_volume_ml(diameter_mm), 2) == volume_ml


@pytest.mark.parametrize(
    ("vancomycin_g", "tobramycin_g", "percent"), [(2, 2.4, 11.0), (3, 3.6, 16.5), (4, 4, 20.0)]
)
def test_per_cent_of_powder_as_la_05_has_it(
    vancomycin_g: float, tobramycin_g: float, percent: float
) -> None:
    load = load_with(
        DrugInCement(drug="vancomycin", amount=vancomycin_g),
        DrugInCement(drug="tobramycin", amount=1000 * tobramycin_g, unit="mg"),
    )
    assert load.percent_of_powder == pytest.approx(percent)
    added = vancomycin_g + tobramycin_g
    assert load.percent_of_mix == pytest.approx(100 * added / (40 + 19 + added))


def test_drug_in_the_cement_as_bought_is_part_of_its_powder() -> None:
    load = load_with(
        DrugInCement(drug="gentamicin", amount=1, preloaded=True),
        DrugInCement(drug="vancomycin", amount=2),
    )
    assert load.percent_of_powder == pytest.approx(7.5)
    assert load.percent_of_mix == pytest.approx(100 * 3 / (40 + 19 + 2))
    assert load.per_40_g == pytest.approx(3)


def test_32_beads_of_10_mm_are_the_17_ml_of_la_10() -> None:
    assert round(32 * bead_volume_ml(10)) == 17


def test_outline_area_times_depth_by_counting_squares() -> None:
    """A disc of 30 mm radius, 20 mm deep, counted on a grid of 0.5 mm."""
    outline = tuple(
        (30 * math.cos(math.tau * k / 360), 200 + 30 * math.sin(math.tau * k / 360))
        for k in range(360)
    )
    wound = Wound(id="wound-1", kind="opening", segment="leg", view="front", outline=outline)
    space = DeadSpace(id="dead-space-1", device="spacer", drawn="wound-1", depth_mm=20)
    found = filling_of(Case(side="right", wounds=(wound,), dead_spaces=(space,)), space)
    cells = [0.25 + 0.5 * k for k in range(-60, 60)]
    counted = sum(x * x + y * y <= 900 for x in cells for y in cells) * 0.25 * 20 / 1000
    assert found is not None
    assert found.cement_ml == pytest.approx(counted, rel=2e-3)


def test_implanted_is_what_the_set_cement_in_the_limb_holds() -> None:
    """45 mL set of a packet (LA-09): 15 mL implanted hold a third of 3 g."""
    space = DeadSpace(
        id="dead-space-1",
        device="spacer",
        volume_ml=15,
        drugs=(DrugInCement(drug="vancomycin", amount=3),),
    )
    found = filling_of(Case(side="right", dead_spaces=(space,)), space)
    assert found is not None
    (vancomycin,) = found.load.drugs
    assert (vancomycin.mixed_g, vancomycin.implanted_g) == (3, pytest.approx(1.0))


def test_every_drug_value_names_an_id_that_is_listed() -> None:
    known = evidence()
    named = list(drug_values())
    assert len(named) > 20
    assert [value for value, ids in named if not ids or set(ids) - set(known)] == []


def test_ranges_stand_in_the_evidence_that_they_name() -> None:
    """Each end of each range is a figure in the value or the note of its evidence."""
    known = evidence()
    for drug in antibiotics().drug:
        for one in drug.ranges:
            told = " ".join(f"{known[id_].value} {known[id_].note}" for id_ in one.evidence)
            figures = told.replace(";", " ").replace(",", " ").split()
            assert f"{one.low_g:g}" in figures, (drug.id, one.low_g, told)
            assert f"{one.high_g:g}" in figures, (drug.id, one.high_g, told)


def drug_values() -> Iterator[tuple[object, list[str]]]:
    """Every figure of antibiotics.toml with the evidence ids beside it."""
    table = tomllib.loads((ROOT / "resources" / "antibiotics.toml").read_text(encoding="utf-8"))
    for name in ("packet", "beads"):
        yield from ((one, table[name]["evidence"]) for one in table[name].values())
    yield from ((one["weeks"], one["evidence"]) for one in table["stay"])
    limits = table["limits"]
    for name in ("bearing", "setting", "one_drug"):
        yield limits[f"{name}_g"], limits[f"{name}_evidence"]
    for drug in table["drug"]:
        yield drug["heat"], drug["heat_evidence"]
        yield from (((drug["id"], one["low_g"]), one["evidence"]) for one in drug["ranges"])


def load_with(*drugs: DrugInCement):  # type: ignore[no-untyped-def]
    space = DeadSpace(id="dead-space-1", device="beads", volume_ml=30, drugs=drugs)
    found = filling_of(Case(side="right", dead_spaces=(space,)), space)
    assert found is not None
    return found.load
