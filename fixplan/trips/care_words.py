"""Debridement and cover in words, and the lines for sheet and notes of all three."""

from collections.abc import Iterator

from fixplan.case.dead_space_records import Answer, Cover
from fixplan.case.debridement_records import Debridement
from fixplan.case.records import Case
from fixplan.case.remembered import remembered
from fixplan.trips.cover import border_mm, bulk_mm, cover_prompts
from fixplan.trips.crossing import crossing_prompts
from fixplan.trips.debridement import (
    bone_defect_ml,
    compartment_words,
    debridement_prompts,
    verdict,
)
from fixplan.trips.prompts import Prompt
from fixplan.trips.space_prompts import space_prompts
from fixplan.trips.space_words import device_words, space_lines

VERDICTS = ("dead", "doubtful", "taken out", "alive")
PRINTED = ("stop", "caution")
SHORT = {
    "space.size": "size of the dead space",
    "space.device": "beads or spacer",
    "space.vacuum": "layer between beads and vacuum",
    "drug.carrier": "carrier of the drug",
    "drug.none": "drug in the cement",
    "drug.bearing": "cement that bears load",
    "drug.heat": "heat of the cement",
    "drug.form": "powder or solution",
    "drug.unanswered": "questions before a drug",
    "debridement.muscle": "muscle by its four signs",
    "debridement.bone-ends": "bone ends",
    "debridement.fragments": "loose fragments",
    "debridement.irrigation": "irrigation",
    "debridement.look": "a further look",
    "cover.flap": "flap, or cover not decided",
    "cover.tension": "tension of the closure",
    "cover.graft": "bed of the graft",
    "trip.debridement-record": "record of a debridement that was done",
    "trip.bead-count": "count of beads that went in",
    "trip.beads-out": "trip at which beads came out",
    "trip.pouch": "change of the bead pouch",
}


def debridement_lines(case: Case, record: Debridement) -> tuple[str, ...]:
    """What a debridement found and did, a line each."""
    return (
        *_muscle_lines(record),
        *_bone_lines(case, record),
        *_wash_lines(record),
        *_after_lines(record),
    )


def _muscle_lines(record: Debridement) -> Iterator[str]:
    for found in VERDICTS:
        names = [
            compartment_words(one.compartment) for one in record.muscles if verdict(one) == found
        ]
        if names:
            yield f"Muscle {found}: {', '.join(names)}"


def _bone_lines(case: Case, record: Debridement) -> Iterator[str]:
    for words, answer in (
        ("Bone ends delivered and cleaned", record.bone_ends),
        ("Loose dead fragments out", record.fragments_out),
    ):
        if answer != "not known":
            yield f"{words}: {answer}"
    if record.defect_mm:
        share = (
            "" if record.defect_percent is None else f", {record.defect_percent:g} % of the ring"
        )
        bone = record.bone or "bone"
        yield f"Lost {bone}: {record.defect_mm:g} mm{share}{_lost_words(case, record)}"
    if record.space_ml is not None:
        yield f"Space measured: {record.space_ml:g} mL"


def _lost_words(case: Case, record: Debridement) -> str:
    lost_ml = bone_defect_ml(case, record)
    return "" if lost_ml is None else f", about {lost_ml:.2g} mL on the schematic bone"


def _wash_lines(record: Debridement) -> Iterator[str]:
    if record.irrigation_l is not None:
        how: list[str] = [] if record.irrigant == "not given" else [record.irrigant]
        if record.pressure != "not given":
            how.append(f"{record.pressure} pressure")
        yield f"Irrigation: {record.irrigation_l:g} L{' of ' if how else ''}{', '.join(how)}"
    if record.samples is not None:
        place = f" from {record.samples_from}" if record.samples_from else ""
        yield f"Samples: {record.samples}{place}"


def _after_lines(record: Debridement) -> Iterator[str]:
    if record.grade_after is not None:
        yield f"Open grade after debridement: {record.grade_after}"
    if record.injury_further_mm:
        yield f"Injury reached {record.injury_further_mm:g} mm further than drawn"
    if record.look_again != "not decided":
        yield f"A further look: {record.look_again}"
    if record.note:
        yield record.note


def cover_lines(cover: Cover) -> tuple[str, ...]:
    """Planned cover in words."""
    words = "not decided" if cover.kind == "not decided" else cover.kind
    lines = [f"Cover: {words}"]
    if cover.kind == "vacuum" and cover.vacuum_over != "not asked":
        lines = [f"Cover: vacuum, {_over_words(cover)}"]
    if bulk_mm(cover):
        lines.append(f"Flap stands {bulk_mm(cover):g} mm above the skin: bars further out by that")
    if border_mm(cover):
        lines.append(f"Film needs {border_mm(cover):g} mm of whole skin round the wound")
    lines.extend(f"{word}: {answer}" for word, answer in _asked_of(cover) if answer != "not known")
    return (*lines, *((cover.note,) if cover.note else ()))


def _over_words(cover: Cover) -> str:
    return {
        "closed layer": "over a closed layer",
        "straight over beads": "straight over beads",
        "no beads": "no beads beneath",
    }.get(cover.vacuum_over, "")


def _asked_of(cover: Cover) -> tuple[tuple[str, Answer], ...]:
    return (
        ("Tension", cover.tension),
        ("Degloving", cover.degloving),
        ("Skin loss", cover.skin_loss),
        ("Bare bone, tendon or metal", cover.bare_bone),
    )


@remembered
def all_prompts(case: Case) -> tuple[Prompt, ...]:
    """Every prompt about dead spaces, debridements and cover, and about trips without a record."""
    return (
        *crossing_prompts(case),
        *(one for space in case.dead_spaces for one in space_prompts(case, space)),
        *(one for record in case.debridements for one in debridement_prompts(case, record)),
        *(one for cover in case.cover for one in cover_prompts(case, cover)),
    )


@remembered
def care_lines(case: Case) -> tuple[str, ...]:
    """Sheet and notes: dead spaces, debridements, cover, then open stops and cautions."""
    return (*_record_lines(case), *_prompt_lines(case))


def _record_lines(case: Case) -> Iterator[str]:
    for space in case.dead_spaces:
        note = f" ({space.note})" if space.note else ""
        out = f", out or changed at {_at(space.out_trip)}" if space.out_trip else ""
        into = f", in at {_at(space.trip)}" if space.trip else ""
        yield f"Dead space: {device_words(space)}{into}{out}{note}"
        yield from (f"  {line}" for line in space_lines(case, space))
    for record in case.debridements:
        yield f"Debridement at {_at(record.trip)}" if record.trip else "Debridement"
        yield from (f"  {line}" for line in debridement_lines(case, record))
    for cover in case.cover:
        first, *others = cover_lines(cover)
        yield f"{first}, at {_at(cover.trip)}" if cover.trip else first
        yield from (f"  {line}" for line in others)


def _at(trip: str) -> str:
    return trip.replace("-", " ")


def _prompt_lines(case: Case) -> Iterator[str]:
    prompts = all_prompts(case)
    yield from (one.words for one in prompts if one.severity in PRINTED)
    open_ = [_short(one) for one in prompts if one.severity == "not assessed"]
    if open_:
        yield f"Not assessed or not answered here: {len(open_)} ({'; '.join(open_)})"


def _short(prompt: Prompt) -> str:
    """What is not answered, in two or three words: "debridement bone ends"."""
    return SHORT.get(prompt.id, prompt.id.replace(".", " ").replace("-", " "))
