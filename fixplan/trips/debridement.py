"""What a debridement found: verdicts on muscle, gaps in the record, what the next trip gets."""

from collections.abc import Iterator
from typing import NamedTuple

import msgspec
from msgspec.structs import replace

from fixplan.case.debridement_records import Debridement, MuscleSigns
from fixplan.case.edits import change
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case, Injury
from fixplan.case.sound import sound_case
from fixplan.errors import EditError
from fixplan.geometry.grown import grown_outline, outline_area_mm2
from fixplan.limb.library import load_toml
from fixplan.trips.beads import MM3_PER_ML
from fixplan.trips.prompts import Prompt, by_weight

SETTLING = frozenset({"debridement", "second look"})
SIGNS = ("colour", "consistency", "contraction", "bleeding")
SIGN_WORDS = {
    "colour": "colour",
    "consistency": "consistency",
    "contraction": "contraction",
    "bleeding": "capacity to bleed",
}


class Figures(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Evidence of one question, with its figures and words."""

    evidence: tuple[str, ...]
    usual: str = ""
    volume_note: str = ""
    pressure_note: str = ""
    habit_l: dict[str, float] = {}
    from_h: float = 0.0
    to_h: float = 0.0


class DebridementFile(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What debridement.toml holds; `limb` has the compartments of each segment of a limb."""

    schema: int
    reviewed: str
    signs: Figures
    irrigation: Figures
    look_again: Figures
    grade: Figures
    limb: dict[str, dict[str, tuple[str, ...]]]


class Compartments(NamedTuple):
    """The compartments of one segment, by name."""

    segment: str
    names: tuple[str, ...]


def asked() -> DebridementFile:
    """What a debridement is asked about. Raises LibraryError."""
    return load_toml("debridement.toml", DebridementFile)


def compartments(case: Case) -> tuple[Compartments, ...]:
    """The compartments of the case's limb, by segment."""
    listed = asked().limb.get(case.limb, {})
    return tuple(Compartments(segment, names) for segment, names in listed.items())


def compartment_id(segment: str, name: str) -> str:
    """The id of a compartment, such as leg-deep-posterior."""
    return f"{segment}-{name.replace(' ', '-')}"


def compartment_words(id_: str) -> str:
    """A compartment in words, such as "deep posterior (leg)"."""
    for segments in asked().limb.values():
        for segment, names in segments.items():
            for name in names:
                if compartment_id(segment, name) == id_:
                    return f"{name} ({segment.replace('-', ' ')})"
    return id_.replace("-", " ")


def verdict(muscle: MuscleSigns) -> str:
    """What the four signs say: dead, doubtful, alive, not judged, or taken out.

    Alive needs all four; one dead sign beside living ones is doubtful (VI-01: none of them tells
    alone).
    """
    signs = [getattr(muscle, name) for name in SIGNS]
    judged = [one for one in signs if one != "not judged"]
    if muscle.taken_out == "yes":
        return "taken out"
    if not judged:
        return "not judged"
    if set(judged) == {"dead"}:
        return "dead"
    return "alive" if judged == ["alive"] * len(SIGNS) else "doubtful"


def debridement_prompts(case: Case, record: Debridement) -> tuple[Prompt, ...]:
    """What a debridement's record leaves open or makes somebody ask."""
    wash = (*_wash(record), *_wash_judged(case, record))
    return by_weight((*_muscle(record), *_bone(record), *wash, *_verdict(record)))


def _muscle(record: Debridement) -> Iterator[Prompt]:
    evidence = asked().signs.evidence
    if not record.muscles:
        text = "no compartment is judged by the four signs of living muscle"
        yield Prompt("debridement.muscle", "not assessed", record.id, text, evidence)
    for muscle in record.muscles:
        found, name = verdict(muscle), compartment_words(muscle.compartment)
        if found == "dead":
            text = f"muscle of the {name} compartment is judged dead and not recorded as taken out"
            yield Prompt("debridement.dead-muscle", "caution", record.id, text, evidence)
        elif found == "doubtful":
            text = f"muscle of the {name} compartment is doubtful: look again"
            yield Prompt("debridement.doubtful-muscle", "caution", record.id, text, evidence)


def _bone(record: Debridement) -> Iterator[Prompt]:
    for answer, id_, done, open_ in (
        (record.bone_ends, "bone-ends", "bone ends were not delivered and cleaned", "bone ends"),
        (record.fragments_out, "fragments", "loose dead fragments are still in", "loose fragments"),
    ):
        if answer == "no":
            yield Prompt(f"debridement.{id_}", "caution", record.id, done, ("OF-07",))
        elif answer == "not known":
            text = f"{open_}: not recorded"
            yield Prompt(f"debridement.{id_}", "not assessed", record.id, text, ("OF-07",))


def _wash(record: Debridement) -> Iterator[Prompt]:
    told = asked().irrigation
    if record.irrigant == "soap":
        text = "soap went with more returns to theatre than saline (14.8 against 11.6 %)"
        yield Prompt("debridement.irrigant", "note", record.id, text, told.evidence)
    if record.irrigation_l is None:
        text = f"irrigation is not recorded; usual is {told.usual}; {told.volume_note}"
        yield Prompt("debridement.irrigation", "not assessed", record.id, text, told.evidence)
    if record.samples == 0:
        text = "no sample was taken"
        yield Prompt("debridement.samples", "note", record.id, text, ("OF-07",))


def _wash_judged(case: Case, record: Debridement) -> Iterator[Prompt]:
    """Pressure and volume against the trial, and against the habit by grade (OF-18)."""
    told = asked().irrigation
    if record.pressure == "high":
        text = f"high pressure: {told.pressure_note}"
        yield Prompt("debridement.pressure", "note", record.id, text, told.evidence)
    broken = next((one for one in case.fractures if one.id == record.fracture), None)
    grade = record.grade_after or (None if broken is None else broken.open_grade)
    habit_l = told.habit_l.get(grade or "")
    if habit_l is not None and record.irrigation_l is not None and record.irrigation_l < habit_l:
        text = (
            f"{record.irrigation_l:g} L of irrigation; the habit for grade {grade} is "
            f"{habit_l:g} L (from memory)"
        )
        yield Prompt("debridement.volume", "note", record.id, text, told.evidence)


def _verdict(record: Debridement) -> Iterator[Prompt]:
    told = asked().look_again
    hours = f"{told.from_h:g} to {told.to_h:g} h"
    doubtful = [one for one in record.muscles if verdict(one) in ("doubtful", "dead")]
    if record.look_again == "not decided":
        text = f"a further look after {hours}? Decide by the tissue; it is not automatic"
        yield Prompt("debridement.look", "not assessed", record.id, text, told.evidence)
    elif record.look_again == "no" and doubtful:
        text = f"no further look is planned although {len(doubtful)} compartment is not alive"
        if len(doubtful) > 1:
            text = f"no further look is planned although {len(doubtful)} compartments are not alive"
        yield Prompt("debridement.look", "caution", record.id, text, told.evidence)


def bone_defect_ml(case: Case, record: Debridement) -> float | None:
    """The volume of lost bone: schematic section times length times share of the ring.

    None without a bone, a length, or a section of that bone there.
    """
    if record.bone is None or not record.defect_mm:
        return None
    limb = limb_of_case(case)
    if record.bone not in limb.bones:
        return None
    section = limb.section(record.bone, _level_mm(case, record, record.bone))
    if section is None:
        return None
    outline = tuple((float(x), float(y)) for x, y in section.outline)
    share = (100.0 if record.defect_percent is None else record.defect_percent) / 100
    return outline_area_mm2(outline) * record.defect_mm * share / MM3_PER_ML


def _level_mm(case: Case, record: Debridement, bone: str) -> float:
    """The middle of the fracture that the record names, else of the bone's first, else of bone."""
    own = [one for one in case.fractures if one.bone == bone]
    for one in sorted(own, key=lambda one: one.id != record.fracture):
        return (one.from_mm + one.to_mm) / 2
    known = limb_of_case(case).bones[bone]
    return (known.from_mm + known.to_mm) / 2


def carried_on(case: Case, record: Debridement) -> Case:
    """The case with what the debridement found: grade, grown injury, volume of the dead space.

    The grade goes to the record's fracture, settled if its trip has been done; the injury grows by
    what it reached further; dead spaces without a size of their own take the measured space, else
    the volume of lost bone.

    Raises:
        EditError: the record holds nothing to carry on.
    """
    changed = case
    if record.fracture is not None and record.grade_after is not None:
        changed = change(changed, record.fracture, open_grade=record.grade_after)
        changed = _with_grade_settled(changed, record.trip)
    if record.injury is not None and record.injury_further_mm:
        changed = _with_grown(changed, record.injury, record.injury_further_mm)
    changed = _with_volume(changed, record)
    if changed == case:
        raise EditError(
            f"{record.id} changes nothing in the plan; record a grade, an injury that reached "
            "further, or a space"
        )
    return sound_case(changed)


def _with_grade_settled(case: Case, trip_id: str | None) -> Case:
    """The grade is settled at a debridement that has been done (OF-07), not before."""
    for trip in case.trips:
        if trip.id == trip_id and trip.done_at is not None and SETTLING & set(trip.what):
            return replace(case, course=replace(case.course, grade_settled_at=trip_id))
    return case


def _with_grown(case: Case, id_: str, further_mm: float) -> Case:
    injury = next(one for one in case.injuries if one.id == id_)
    return change(case, id_, **_grown_outlines(injury, further_mm))


def _grown_outlines(injury: Injury, further_mm: float) -> dict[str, object]:
    return {
        name: grown_outline(outline, further_mm)
        for name, outline in (("front", injury.front), ("side", injury.side))
        if outline
    }


def _with_volume(case: Case, record: Debridement) -> Case:
    volume_ml = record.space_ml or bone_defect_ml(case, record)
    if volume_ml is None:
        return case
    spaces = tuple(
        replace(one, volume_ml=round(volume_ml, 1))
        if one.volume_ml is None and one.drawn is None and one.strand_mm is None
        else one
        for one in case.dead_spaces
    )
    return replace(case, dead_spaces=spaces)
