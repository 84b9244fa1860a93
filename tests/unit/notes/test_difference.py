"""The difference between two versions, in words a surgeon would use."""

import pytest
from msgspec.structs import replace

from fixplan.case import edits
from fixplan.case.built_records import Talk
from fixplan.case.records import Case, LimbSize, Wound
from fixplan.checks.finding import Finding
from fixplan.notes.difference import SLIGHTLY, differences, finding_changes


def words(before: Case, after: Case, subject: str) -> str:
    found = [one.words for one in differences(before, after) if one.subject == subject]
    return " | ".join(found)


def test_the_same_case_has_no_difference(any_case: Case) -> None:
    assert differences(any_case, any_case) == ()


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"level_mm": 12.0}, "mm further proximal"),
        ({"bearing_deg": 90.0}, "now enters from anterior"),
        ({"tilt_deg": -10.0}, "further distal"),
        ({"offset_mm": 4.0}, "aim moved across by"),
        ({"diameter_mm": 4.0}, "4 mm thick, was 5"),
        ({"length_mm": 200.0}, "length 200 mm, was as stocked"),
        ({"tip_mm": 5.0}, "tip 5.0 mm past the far surface, was 2.0"),
        ({"open_approach": True}, "open approach: yes"),
        ({"note": "percutaneous"}, "note: percutaneous"),
        ({"kind": "through"}, "now a through-pin, was a half-pin"),
    ],
)
def test_a_changed_pin_says_what_is_otherwise(tibia: Case, change, told) -> None:
    after = edits.change(tibia, "pin-1", **change)
    assert told in words(tibia, after, "pin-1")


def test_a_pin_says_how_far_and_which_way_it_moved(tibia: Case) -> None:
    after = edits.slide_pin(tibia, "pin-1", 18.0)
    assert words(tibia, after, "pin-1") == "Pin 1: 18 mm further distal"
    assert words(after, tibia, "pin-1") == "Pin 1: 18 mm further proximal"


def test_a_turn_goes_the_short_way_round(tibia: Case) -> None:
    one = edits.change(tibia, "pin-1", bearing_deg=350.0)
    other = edits.change(tibia, "pin-1", bearing_deg=10.0)
    assert "turned by 20\u00b0" in words(one, other, "pin-1")


def test_a_change_too_small_for_words_is_still_told(tibia: Case) -> None:
    after = edits.slide_pin(tibia, "pin-1", 0.01)
    assert words(tibia, after, "pin-1") == f"Pin 1: {SLIGHTLY}"


def test_what_was_added_and_taken_away_is_described(tibia: Case) -> None:
    after = edits.remove(tibia, "pin-4")
    assert words(tibia, after, "pin-4").startswith("Pin 4: taken away, was tibia, ")
    assert words(after, tibia, "pin-4").startswith("Pin 4: added, tibia, ")


def test_a_bar_whose_pins_moved_is_told_by_what_it_now_needs(tibia: Case) -> None:
    after = edits.slide_pin(tibia, "pin-1", -25.0)
    assert "needs" in words(tibia, after, "bar-1")


def test_regions_and_other_fields_are_told(tibia: Case) -> None:
    line = ((0.0, 100.0), (0.0, 120.0))
    wound = Wound(id="wound", kind="fasciotomy line", segment="leg", view="front", line=line)
    after = edits.add_wound(tibia, wound)
    after = edits.change_case(after, notes="new", knee_flexion_deg=10.0)
    after = replace(after, size=LimbSize(stature_mm=1600.0))
    assert words(tibia, after, after.wounds[-1].id).endswith("added, fasciotomy line")
    told = words(tibia, after, "")
    for must in ("The notes were written anew", "Changed: knee flexion", "Changed: size"):
        assert must in told


def test_every_field_of_a_case_is_told_when_it_changes(tibia: Case) -> None:
    """No field may change in silence, but for what the program counts for itself."""
    silent = {"last_number", "retired", "acceptances", "kept_plans", "built"}
    fields = set(Case.__struct_fields__) - silent
    changed = {
        "side": "left",
        "limb": "arm",
        "label": "x",
        "notes": "x",
        "talks": (Talk(discussed_with="anaesthetist"),),
    }
    for field in fields - {"pins", "bars", "supports"}:
        value = changed.get(field, object())
        try:
            after = replace(tibia, **{field: value})
            told = differences(tibia, after)
        except (TypeError, AttributeError):  # a thing that no list of the case could hold
            continue
        assert told, field


def test_findings_that_came_went_and_were_accepted(findings: tuple[Finding, ...]) -> None:
    stop, caution, accepted, _, missing = findings
    opened = replace(accepted, accepted=None)
    told = finding_changes((stop, opened), (caution, accepted, missing))
    assert told[0].startswith("New caution: Pin 2")
    assert told[1].startswith("New not assessed: ")
    assert told[2].startswith("Accepted since (no better bone is left)")
    assert told[3].startswith("No longer found: Pin 1")
    assert finding_changes(findings, findings) == ()
