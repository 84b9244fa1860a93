"""Cover of a wound: what its kind, tension, degloving and skin loss make somebody ask."""

from collections.abc import Iterator
from typing import Annotated

import msgspec
from msgspec import Meta

from fixplan.case.dead_space_records import Answer, Cover, DeadSpace
from fixplan.case.records import Case
from fixplan.case.scalars import Face, Severity, View, WoundKind
from fixplan.case.trip_edits import in_order
from fixplan.checks.cover import SEALED
from fixplan.checks.rules import rule_by_id
from fixplan.errors import LibraryError
from fixplan.limb.library import load_toml
from fixplan.trips.covering import CLOSING
from fixplan.trips.prompts import Prompt, by_weight

STRAIGHT = (
    "vacuum straight over beads takes drug away (animal data); close a layer over them, or seal "
    "them under film as a pouch"
)
FLAP_GRADES = ("IIIB", "IIIC")


class Place(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A level: mm distal of a landmark."""

    at: str
    mm: float


class LinePreset(msgspec.Struct, frozen=True, forbid_unknown_fields=True, rename={"from_": "from"}):
    """A line on the skin, told from an edge of a bone and between two levels.

    `edge`: the crest, the posteromedial border, or the middle as the view shows it.
    """

    id: str
    label: str
    kind: WoundKind
    segment: str
    bone: str
    view: View
    face: Face
    edge: str
    across_mm: float
    from_: Place
    to: Place
    evidence: tuple[str, ...]


class Extension(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """How far a wound's extension is drawn at first."""

    each_way_mm: float
    evidence: tuple[str, ...]


class Perforators(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Where perforators are looked for: `above_mm` a landmark, or halfway between two."""

    name: str
    segment: str
    bone: str
    view: View
    face: Face
    edge: str
    across_mm: float
    at: Annotated[tuple[str, ...], Meta(min_length=1, max_length=2)]
    radius_mm: float
    evidence: tuple[str, ...]
    above_mm: tuple[float, ...] = ()


class CoverFile(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What cover.toml holds; `prompts` are the evidence ids of each prompt."""

    schema: int
    reviewed: str
    prompts: dict[str, tuple[str, ...]]
    line: tuple[LinePreset, ...]
    extension: Extension
    perforators: tuple[Perforators, ...]


def listed() -> CoverFile:
    """Cover's figures and presets, house values included. Raises LibraryError."""
    return load_toml("cover.toml", CoverFile)


def usual_bulk_mm() -> float:
    """How far a flap stands above the skin until it is typed, as its rule has it."""
    return _of_rule("rule.bar.flap", "bulk")


def usual_border_mm() -> float:
    """The whole skin that a film needs until it is typed, as its rule has it."""
    return _of_rule("rule.pin.film", "border")


def _of_rule(rule_id: str, name: str) -> float:
    rule = rule_by_id(rule_id)
    if rule is None or name not in rule.numbers:
        raise LibraryError(f"rules.toml does not hold {rule_id} with {name}: list it there.")
    return rule.numbers[name]


def bulk_mm(cover: Cover) -> float:
    """How far the flap of a cover stands above the skin; 0 for any other cover."""
    if cover.kind != "flap":
        return 0.0
    return usual_bulk_mm() if cover.bulk_mm is None else cover.bulk_mm


def border_mm(cover: Cover) -> float:
    """The whole skin that a cover's film needs round the wound; 0 without a film."""
    if cover.kind not in SEALED:
        return 0.0
    return usual_border_mm() if cover.border_mm is None else cover.border_mm


def cover_prompts(case: Case, cover: Cover) -> tuple[Prompt, ...]:
    """What one cover makes somebody ask, the weightiest first."""
    return by_weight(_prompts(case, cover))


def _prompts(case: Case, cover: Cover) -> Iterator[Prompt]:
    if cover.kind == "not decided":
        yield _prompt(cover, "flap", "not assessed", "cover is not decided; plan it together")
    yield from _too_early(case, cover)
    yield from _tension(cover)
    yield from _degloving(case, cover)
    yield from _skin_loss(case, cover)
    yield from _graft(cover)
    yield from _flap(case, cover)
    yield from _vacuum(case, cover)


def _prompt(cover: Cover, key: str, severity: Severity, text: str) -> Prompt:
    return Prompt(f"cover.{key.replace('_', '-')}", severity, cover.id, text, listed().prompts[key])


def _too_early(case: Case, cover: Cover) -> Iterator[Prompt]:
    """Cover that closes the wound before the first debridement of an open fracture."""
    if cover.kind not in CLOSING or cover.trip is None:
        return
    for trip in case.trips:
        if "debridement" in trip.what:
            return
        if trip.id == cover.trip:
            text = f"{cover.kind} at {trip.id.replace('-', ' ')} comes before any debridement"
            yield _prompt(cover, "too_early", "caution", text)
            return


def _tension(cover: Cover) -> Iterator[Prompt]:
    if cover.kind == "primary closure":
        yield from _asked(
            cover,
            "tension",
            cover.tension,
            "closed under tension: leave it open under a dressing, or bring other cover",
            "does the skin come together without tension? Not told",
        )


def _asked(cover: Cover, key: str, answer: Answer, fault: str, question: str) -> Iterator[Prompt]:
    """A caution for a yes, the question where nobody has answered it."""
    if answer == "yes":
        yield _prompt(cover, key, "caution", fault)
    elif answer == "not known":
        yield _prompt(cover, key, "not assessed", question)


def _degloving(case: Case, cover: Cover) -> Iterator[Prompt]:
    if _either(case, cover.degloving, "degloving") and cover.kind in (
        "primary closure",
        "skin graft",
        "not decided",
    ):
        text = "degloved skin: trim it to where it bleeds, and look again before it is trusted"
        yield _prompt(cover, "degloving", "caution", text)


def _skin_loss(case: Case, cover: Cover) -> Iterator[Prompt]:
    lost = _either(case, cover.skin_loss, "skin loss")
    if lost and cover.kind == "primary closure":
        text = "skin is lost, and primary closure is planned: think of a graft or a flap"
        yield _prompt(cover, "skin_loss", "caution", text)
    elif lost and cover.kind in ("not decided", "simple dressing"):
        text = "skin is lost: ask the plastic surgeon for a graft or a flap now"
        yield _prompt(cover, "skin_loss", "note", text)


def _graft(cover: Cover) -> Iterator[Prompt]:
    if cover.kind == "skin graft":
        yield from _asked(
            cover,
            "graft",
            cover.bare_bone,
            "bare bone, tendon or metal under a skin graft: it does not take there",
            "is bone, tendon or metal bare under the skin graft? Not told",
        )


def _flap(case: Case, cover: Cover) -> Iterator[Prompt]:
    drawn = any(wound.kind == "flap territory" for wound in case.wounds)
    if cover.kind == "flap" and not drawn:
        text = "the flap's territory is not drawn: pins and bars are not checked against it"
        yield _prompt(cover, "flap", "not assessed", text)
    grades = sorted({one.open_grade for one in case.fractures} & set(FLAP_GRADES))
    if grades and cover.kind in ("primary closure", "skin graft"):
        text = f"grade {' and '.join(grades)} usually needs a flap, and {cover.kind} is planned"
        yield _prompt(cover, "flap_grade", "caution", text)


def _vacuum(case: Case, cover: Cover) -> Iterator[Prompt]:
    if cover.kind == "bead pouch":
        beads = any(one.device == "beads" for one in case.dead_spaces)
        text = (
            "a bead pouch is changed at each further look"
            if beads
            else ("a bead pouch is planned, and no dead space has beads")
        )
        yield _prompt(cover, "pouch", "note" if beads else "caution", text)
    if cover.kind == "vacuum":
        yield from _over_beads(case, cover)
        text = "a vacuum holds a wound for days; it did not beat a plain dressing in a trial"
        yield _prompt(cover, "vacuum", "note", text)


def _over_beads(case: Case, cover: Cover) -> Iterator[Prompt]:
    """Vacuum said to lie straight over beads of which no dead space tells (LA-15)."""
    beads = any(lies_on(case, one, cover) for one in case.dead_spaces)
    if cover.vacuum_over == "straight over beads" and not beads:
        yield _prompt(cover, "vacuum_over_beads", "caution", STRAIGHT)


def lies_on(case: Case, space: DeadSpace, cover: Cover) -> bool:
    """Whether beads of a dead space can lie under a cover: in by its trip, and not out before it.

    What names no trip can lie there. Beads that come out at the trip of the cover itself lie there
    only where the cover says so.
    """
    if space.device != "beads":
        return False
    order = {trip.id: number for number, trip in enumerate(in_order(case.trips))}
    at = order.get(cover.trip or "")
    into, out = order.get(space.trip or ""), order.get(space.out_trip or "")
    if at is None:
        return cover.trip is None or space.trip in (None, cover.trip)
    is_told = cover.vacuum_over == "straight over beads"
    is_in = into is None or into <= at
    return is_in and (out is None or out > at or (out == at and is_told))


def _either(case: Case, answer: Answer, kind: WoundKind) -> bool:
    """Whether it was answered with yes, or is drawn and was not denied."""
    return answer == "yes" or (
        answer == "not known" and any(wound.kind == kind for wound in case.wounds)
    )
