"""The inputs of dead spaces, debridements, cover and the answers about the patient. No Qt."""

from typing import get_args

from fixplan.case.dead_space_records import Answer, CoverKind
from fixplan.case.debridement_records import MuscleSign
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case
from fixplan.case.scalars import OpenGrade
from fixplan.desk.panels.fields import Choice, Field
from fixplan.trips.clock_words import trip_words
from fixplan.trips.cover import usual_border_mm, usual_bulk_mm
from fixplan.trips.debridement import SIGN_WORDS
from fixplan.trips.drug_checks import QUESTIONS
from fixplan.trips.drugs import antibiotics

NOT_GIVEN = "not given"
WHOLE = frozenset(("strands", "packets", "beads_in", "beads_out", "samples"))
"""Fields that hold whole numbers."""

ANSWERS = tuple(Choice(word, word) for word in get_args(Answer))
NOTE = Field("note", "Note")


def _amount(name: str, label: str, unit: str, low: float, high: float, step: float = 1) -> Field:
    return Field(name, label, "optional number", unit, low, high, step, NOT_GIVEN)


def _usual(
    name: str, label: str, unit: str, low: float, high: float, usual: float, step: float = 1
) -> Field:
    return Field(name, label, "optional number", unit, low, high, step, f"usual: {usual:g} {unit}")


def _named(pairs: tuple[tuple[object, str], ...]) -> tuple[Choice, ...]:
    return tuple(Choice(value, words) for value, words in pairs)


def _answer(name: str, label: str, tip: str = "") -> Field:
    return Field(name, label, "choice", choices=ANSWERS, tip=tip)


def trip_choices(case: Case) -> tuple[Choice, ...]:
    """The trips of the case, with what is done at each."""
    named = tuple(
        Choice(trip.id, f"{trip_words(trip)}: {', '.join(trip.what) or 'nothing planned yet'}")
        for trip in case.trips
    )
    return (Choice(None, "no trip named"), *named)


def drawn_choices(case: Case) -> tuple[Choice, ...]:
    """Wounds and injuries that have an outline."""
    wounds = tuple(Choice(one.id, f"{one.kind} ({one.id})") for one in case.wounds if one.outline)
    injuries = tuple(Choice(one.id, f"{one.grade} injury ({one.id})") for one in case.injuries)
    return (Choice(None, "no outline"), *wounds, *injuries)


def space_fields(case: Case) -> tuple[Field, ...]:
    """What a dead space is told by."""
    listed = antibiotics()
    beads, packet = listed.beads, listed.packet
    return (
        Field(
            "device",
            "Filled with",
            "choice",
            choices=_named(
                (
                    ("not decided", "beads or spacer?"),
                    ("beads", "beads"),
                    ("spacer", "a spacer, before bone graft"),
                )
            ),
            tip="They stay for different times: ask which",
        ),
        Field(
            "carrier",
            "Carrier",
            "choice",
            choices=_named(
                (
                    ("not asked", "not asked yet"),
                    ("bone cement", "bone cement"),
                    ("absorbable", "absorbable (not assessed)"),
                )
            ),
        ),
        Field(
            "bears_load",
            "Bears load",
            "choice",
            choices=ANSWERS,
            tip="Cement that bears load should carry little drug",
        ),
        Field("trip", "In at", "choice", choices=trip_choices(case)),
        Field("out_trip", "Out or changed at", "choice", choices=trip_choices(case)),
        _amount("volume_ml", "Volume", "mL", 0.1, 2000),
        Field("drawn", "Or area of", "choice", choices=drawn_choices(case)),
        _amount("depth_mm", "times depth", "mm", 0.5, 300),
        _amount("strand_mm", "Or strand of", "mm", 1, 3000, 5),
        Field("strands", "Strands", "optional number", "", 1, 40, 1, "as many as it takes"),
        _usual("bead_mm", "Bead", "mm", 2, 30, beads.diameter_mm),
        Field(
            "packing_percent",
            "Beads fill",
            "optional number",
            "%",
            20,
            74,
            1,
            f"usual: {beads.packing_percent:g} %",
            tip=f"Loose beads fill {beads.packing_usual_percent[0]:g} to "
            f"{beads.packing_usual_percent[1]:g} % of a space",
        ),
        _usual("packet_powder_g", "Powder in a packet", "g", 5, 100, packet.powder_g),
        _usual("packet_usable_ml", "A packet gives", "mL", 2, 120, packet.usable_ml),
        Field("packets", "Packets mixed", "optional number", "", 1, 2000, 1, "as many as it takes"),
        Field("beads_in", "Beads counted in", "optional number", "", 0, 2000, 1, "not counted"),
        Field("beads_out", "Beads counted out", "optional number", "", 0, 2000, 1, "not counted"),
        NOTE,
    )


def answer_fields() -> tuple[Field, ...]:
    """What is asked of the patient."""
    return tuple(_answer(one.field, one.words) for one in QUESTIONS)


def debridement_fields(case: Case) -> tuple[Field, ...]:
    """What a debridement is told by, muscle apart."""
    known = limb_of_case(case).bones
    bones = tuple(Choice(name, one.title) for name, one in known.items())
    titles = {
        one.id: known[one.bone].title if one.bone in known else one.bone for one in case.fractures
    }
    fractures = tuple(Choice(name, f"{words} ({name})") for name, words in titles.items())
    injuries = tuple(Choice(one.id, f"{one.grade} injury ({one.id})") for one in case.injuries)
    grades = tuple(Choice(word, word) for word in get_args(OpenGrade))
    return (
        Field("trip", "At", "choice", choices=trip_choices(case)),
        _answer("bone_ends", "Bone ends cleaned", "Delivered into the wound and cleaned"),
        _answer("fragments_out", "Dead fragments out"),
        Field("bone", "Bone lost", "choice", choices=(Choice(None, "none told"), *bones)),
        _amount("defect_mm", "Length lost", "mm", 0, 500),
        _amount("defect_percent", "Share of the ring", "%", 0, 100, 5),
        _amount("space_ml", "Space measured", "mL", 0.1, 2000),
        _amount("irrigation_l", "Irrigation", "L", 0, 50),
        Field(
            "irrigant",
            "With",
            "choice",
            choices=_named(
                (
                    ("not given", NOT_GIVEN),
                    ("saline", "saline"),
                    ("soap", "soap"),
                    ("other", "other"),
                )
            ),
        ),
        Field(
            "pressure",
            "Pressure",
            "choice",
            choices=_named((("not given", NOT_GIVEN), ("low", "low"), ("high", "high"))),
        ),
        _amount("samples", "Samples", "", 0, 50),
        Field("samples_from", "Taken from"),
        Field("fracture", "Fracture", "choice", choices=(Choice(None, "none told"), *fractures)),
        Field(
            "grade_after",
            "Its open grade now",
            "choice",
            choices=(Choice(None, "not graded anew"), *grades),
        ),
        Field("injury", "Injury", "choice", choices=(Choice(None, "none told"), *injuries)),
        _amount("injury_further_mm", "reached further by", "mm", 0, 200),
        Field(
            "look_again",
            "A further look",
            "choice",
            choices=_named((("not decided", "not decided"), ("yes", "yes"), ("no", "no"))),
            tip="A question, not automatic",
        ),
        NOTE,
    )


def muscle_fields() -> tuple[Field, ...]:
    """The four signs of one compartment, and whether its muscle was taken out."""
    signs = tuple(Choice(word, word) for word in get_args(MuscleSign))
    return (
        *(
            Field(name, f"{words[:1].upper()}{words[1:]}", "choice", choices=signs)
            for name, words in SIGN_WORDS.items()
        ),
        _answer("taken_out", "Taken out"),
    )


def cover_fields(case: Case) -> tuple[Field, ...]:
    """What cover is told by."""
    kinds = tuple(Choice(word, word) for word in get_args(CoverKind))
    return (
        Field("kind", "Cover", "choice", choices=kinds),
        Field("trip", "At", "choice", choices=trip_choices(case)),
        Field(
            "vacuum_over",
            "Vacuum lies on",
            "choice",
            choices=_named(
                (
                    ("not asked", "not asked yet"),
                    ("closed layer", "a closed layer"),
                    ("straight over beads", "the beads themselves"),
                    ("no beads", "no beads beneath"),
                )
            ),
        ),
        _answer("tension", "Tension"),
        _answer("degloving", "Degloving"),
        _answer("skin_loss", "Skin loss"),
        _answer("bare_bone", "Bare bone or metal", "Bone, tendon or metal bare in the wound"),
        _usual("bulk_mm", "Flap stands out", "mm", 0, 100, usual_bulk_mm()),
        _usual("border_mm", "Film border", "mm", 0, 150, usual_border_mm()),
        NOTE,
    )
