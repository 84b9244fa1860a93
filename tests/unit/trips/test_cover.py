"""Cover: each prompt can be raised, and each can be silent."""

import pytest
from msgspec.structs import replace

from fixplan.case.dead_space_records import Cover, DeadSpace
from fixplan.case.records import Case, Fracture, Wound
from fixplan.case.trip_records import Trip
from fixplan.trips.cover import border_mm, bulk_mm, cover_prompts

CASE = Case(side="right")
PATCH = ((0.0, 100.0), (30.0, 100.0), (30.0, 150.0))


def wound(kind: str) -> Wound:
    return Wound(id="wound-1", kind=kind, segment="leg", view="front", outline=PATCH)  # type: ignore[arg-type]


def found(case: Case = CASE, **fields: object) -> dict[str, str]:
    cover = Cover(id="cover-1", **fields)  # type: ignore[arg-type]
    return {one.id: one.severity for one in cover_prompts(case, cover)}


@pytest.mark.parametrize(
    ("tension", "severity"), [("yes", "caution"), ("not known", "not assessed"), ("no", None)]
)
def test_primary_closure_asks_for_tension(tension: str, severity: str | None) -> None:
    assert found(kind="primary closure", tension=tension).get("cover.tension") == severity
    assert "cover.tension" not in found(kind="flap", tension=tension)


def test_drawn_or_answered_degloving_prompts_what_it_should() -> None:
    drawn = replace(CASE, wounds=(wound("degloving"),))
    assert found(drawn, kind="primary closure")["cover.degloving"] == "caution"
    assert found(kind="skin graft", degloving="yes")["cover.degloving"] == "caution"
    assert "cover.degloving" not in found(drawn, kind="primary closure", degloving="no")
    assert "cover.degloving" not in found(kind="primary closure")


def test_skin_loss_and_closure_do_not_go_together() -> None:
    drawn = replace(CASE, wounds=(wound("skin loss"),))
    assert found(drawn, kind="primary closure")["cover.skin-loss"] == "caution"
    assert found(drawn, kind="simple dressing")["cover.skin-loss"] == "note"
    assert "cover.skin-loss" not in found(drawn, kind="flap")


@pytest.mark.parametrize(
    ("bare", "severity"), [("yes", "caution"), ("not known", "not assessed"), ("no", None)]
)
def test_a_graft_needs_a_bed(bare: str, severity: str | None) -> None:
    assert found(kind="skin graft", bare_bone=bare).get("cover.graft") == severity


def test_a_flap_wants_its_territory_drawn() -> None:
    assert found(kind="flap")["cover.flap"] == "not assessed"
    assert "cover.flap" not in found(replace(CASE, wounds=(wound("flap territory"),)), kind="flap")


def test_a_grade_that_needs_a_flap() -> None:
    broken = Fracture(id="fracture-1", bone="tibia", from_mm=100, to_mm=120, open_grade="IIIB")
    case = replace(CASE, fractures=(broken,))
    assert found(case, kind="skin graft")["cover.flap-grade"] == "caution"
    assert "cover.flap-grade" not in found(case, kind="flap")


def test_a_pouch_needs_beads() -> None:
    assert found(kind="bead pouch")["cover.pouch"] == "caution"
    beads = DeadSpace(id="dead-space-1", device="beads")
    assert found(replace(CASE, dead_spaces=(beads,)), kind="bead pouch")["cover.pouch"] == "note"


def test_bulk_and_border_hold_only_for_what_has_them() -> None:
    flap = Cover(id="cover-1", kind="flap")
    assert bulk_mm(flap) > 0
    assert bulk_mm(replace(flap, bulk_mm=40.0)) == 40
    assert bulk_mm(replace(flap, kind="vacuum")) == 0
    assert border_mm(flap) == 0
    assert border_mm(replace(flap, kind="vacuum", border_mm=50.0)) == 50


def test_closing_a_wound_before_any_debridement_is_told() -> None:
    first = Trip(id="trip-1", what=("cover",))
    second = Trip(id="trip-2", what=("debridement",))
    case = replace(CASE, trips=(first, second))
    assert found(case, kind="flap", trip="trip-1")["cover.too-early"] == "caution"
    assert "cover.too-early" not in found(case, kind="vacuum", trip="trip-1")
    assert "cover.too-early" not in found(case, kind="flap", trip="trip-2")
    assert "cover.too-early" not in found(
        replace(case, trips=(second, first)), kind="flap", trip="trip-1"
    )
