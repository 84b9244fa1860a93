"""How large each part of a limb is, from what is known of the patient (D10)."""

import math
from collections.abc import Mapping

import msgspec

from fixplan.errors import LibraryError
from fixplan.limb.authored import AuthoredSegment, BoneGrowth, GirthModel
from fixplan.limb.authored_files import authored_segments, scaling
from fixplan.limb.reference import ReferenceSegment, group_of

SEXES = ("female", "male", "not given")

Typed = Mapping[str, float]


class Growth(msgspec.Struct, frozen=True, eq=False):
    """Factors against the reference limb: `along` and `skin` by segment, `across` by bone.

    `canal` and `cortex` hold bones whose canal was measured: factors of the reference canal's width
    and of its cortex's thickness. Other bones take `across` for both.
    """

    kind: str
    size_key: str
    reference: bool
    along: dict[str, float]
    across: dict[str, float]
    skin: dict[str, float]
    length_errors_mm: dict[str, float]
    notes: tuple[str, ...]
    canal: dict[str, float] = {}
    cortex: dict[str, float] = {}


class Patient(msgspec.Struct, frozen=True):
    """What is known: sizes in mm and kg, None or absent where it is not."""

    sex: str
    stature_mm: float | None
    mass_kg: float | None
    lengths_mm: dict[str, float]
    widths_mm: dict[str, float]
    girths_mm: dict[str, float]
    canals_mm: dict[str, float] = {}


def _by_sex(sex: str, male: float, female: float) -> float:
    return {"male": male, "female": female}.get(sex, (male + female) / 2)


def bone_length_mm(bone: BoneGrowth, patient: Patient) -> float:
    """A bone's length from stature and sex; the reference length without a stature."""
    if patient.stature_mm is None:
        return bone.length_mm
    return _by_sex(patient.sex, bone.male_ratio, bone.female_ratio) * patient.stature_mm


def _length_error_mm(bone: BoneGrowth, patient: Patient) -> float:
    """Standard deviation of a guessed length; wider when the stature is not known either."""
    ratio = _by_sex(patient.sex, bone.male_ratio, bone.female_ratio)
    own = bone.sd_fraction * bone_length_mm(bone, patient)
    stature = 0.0 if patient.stature_mm is not None else ratio * scaling().stature_sd_mm
    return math.hypot(own, stature)


def _sex_factor(bone: BoneGrowth, sex: str) -> float:
    """Women's bones are narrower for their length."""
    if sex == "not given":
        return bone.unknown_sex_width_factor
    return _by_sex(sex, 1.0, bone.female_width_factor)


def _width_factor(bone: BoneGrowth, length_mm: float | None, sex: str) -> float:
    """A bone's width from its length and the sex; the reference width without a length."""
    if length_mm is None:
        return 1.0
    return float((length_mm / bone.length_mm) ** bone.width_exponent) * _sex_factor(bone, sex)


def _reference_width_mm(kind: str, segment: AuthoredSegment, bone: str) -> float:
    """Width of a reference bone from side to side at the middle of its sections."""
    reference = group_of(kind, segment.segment, bone)
    z = _middle_z(reference)
    blend = reference.blend_at(z)
    ring = blend.bones[bone].ring
    across = ring.rays[:, 0] * ring.at(blend.share(z))
    return float(across.max() - across.min())


def _middle_z(reference: ReferenceSegment) -> float:
    """Where a bone's width is taken: the middle of its segment, of a further group's sections."""
    return 0.5 if reference.group == reference.name else sum(reference.known_z) / 2


def _girth_mm(model: GirthModel, sex: str, stature_mm: float, mass_kg: float) -> float:
    terms = (1.0, stature_mm, mass_kg)
    male = sum(a * b for a, b in zip(model.male, terms, strict=True))
    female = sum(a * b for a, b in zip(model.female, terms, strict=True))
    return _by_sex(sex, male, female)


def _skin_factor(segment: AuthoredSegment, patient: Patient, bone_factor: float) -> float:
    """Measured girth, else the girth model, else the bone's own factor."""
    measured = patient.girths_mm.get(segment.segment)
    if measured is not None:
        return measured / segment.girth.reference_mm
    model = scaling().girths.get(segment.girth_as or segment.segment)
    if model is None or patient.mass_kg is None or patient.stature_mm is None:
        return bone_factor
    return _girth_mm(model, patient.sex, patient.stature_mm, patient.mass_kg) / model.reference_mm


def _notes(patient: Patient, segments: Mapping[str, AuthoredSegment]) -> tuple[str, ...]:
    notes = []
    first = next(iter(segments.values()))
    mean_factor = scaling().bones[first.grows_as or first.primary].unknown_sex_width_factor
    if patient.stature_mm is None and not patient.lengths_mm:
        notes.append("size not given: drawn as the reference adult, a man of 175 cm")
    elif patient.stature_mm is None:
        notes.append("stature not given: bones without a typed length as in a man of 175 cm")
    if patient.sex == "not given" and patient.stature_mm is not None:
        notes.append(f"sex not given: mean of both ratios, width factor {mean_factor:g}")
    elif patient.sex == "not given" and patient.lengths_mm:
        notes.append(f"sex not given: width factor {mean_factor:g}")
    bones = {bone.name for segment in segments.values() for bone in segment.bones}
    primaries = {segment.primary for segment in segments.values()}
    notes += [
        f"typed length of the {bone} not used: it is drawn with its neighbour"
        for bone in patient.lengths_mm
        if bone not in primaries and bone in bones
    ]
    if patient.mass_kg is None and not patient.girths_mm:
        notes.append("skin from bone size, without swelling: neither mass nor girth given")
    return tuple(notes)


def _unused(kind: str, patient: Patient, segments: Mapping[str, AuthoredSegment]) -> list[str]:
    """Notes on sizes of what this limb does not have."""
    bones = {bone.name for segment in segments.values() for bone in segment.bones}
    strange = [bone for bone in (*patient.lengths_mm, *patient.widths_mm) if bone not in bones]
    strange += [segment for segment in patient.girths_mm if segment not in segments]
    return [f"size of {name} not used: this {kind} has none" for name in dict.fromkeys(strange)]


def growth_of(kind: str, patient: Patient, size_key: str) -> Growth:
    """All factors of a limb for one patient.

    Raises:
        LibraryError: if the limb's kind or the sex is not known.
    """
    if patient.sex not in SEXES:
        raise LibraryError(f"Sex {patient.sex!r} is not known: use one of {list(SEXES)}.")
    segments = authored_segments(kind)
    along: dict[str, float] = {}
    across: dict[str, float] = {}
    skin: dict[str, float] = {}
    errors: dict[str, float] = {}
    for name, segment in segments.items():
        bone = scaling().bones[segment.grows_as or segment.primary]
        typed = patient.lengths_mm.get(segment.primary)
        length = bone_length_mm(bone, patient) if typed is None else typed
        along[name] = length / bone.length_mm
        is_known = typed is not None or patient.stature_mm is not None
        guess = _width_factor(bone, length if is_known else None, patient.sex)
        across |= {
            one.name: _typed_width(kind, segment, one.name, patient, guess) for one in segment.bones
        }
        skin[name] = _skin_factor(segment, patient, across[segment.primary])
        if typed is None:
            errors[segment.primary] = _length_error_mm(bone, patient)
    plain = patient.stature_mm is None and not patient.lengths_mm and not patient.widths_mm
    canal, cortex, unused = _canals(kind, patient, segments, across)
    notes = (*_notes(patient, segments), *_unused(kind, patient, segments), *unused)
    return Growth(kind, size_key, plain, along, across, skin, errors, notes, canal, cortex)


def _canals(
    kind: str,
    patient: Patient,
    segments: Mapping[str, AuthoredSegment],
    across: Mapping[str, float],
) -> tuple[dict[str, float], dict[str, float], list[str]]:
    """Factors of measured canals and of the cortex about them, with notes on those not used."""
    canal: dict[str, float] = {}
    cortex: dict[str, float] = {}
    notes = []
    for bone, typed in patient.canals_mm.items():
        segment = next(
            (one for one in segments.values() if bone in _sectioned(one)),
            None,
        )
        own = None if segment is None else _reference_canal_mm(kind, segment, bone)
        if segment is None or own is None:
            notes.append(f"canal of {bone} not used: none is drawn at the middle of its segment")
            continue
        outer = _reference_width_mm(kind, segment, bone)
        wide = across[bone] * outer
        if typed >= wide:
            notes.append(f"canal of {bone} not used: {typed:g} mm is as wide as the bone")
            continue
        canal[bone] = typed / own
        cortex[bone] = (wide - typed) / (outer - own)
    return canal, cortex, notes


def _reference_canal_mm(kind: str, segment: AuthoredSegment, bone: str) -> float | None:
    """Width of a reference canal from side to side at the middle of its sections, if it has one."""
    reference = group_of(kind, segment.segment, bone)
    z = _middle_z(reference)
    blend = reference.blend_at(z)
    ring = blend.bones[bone].canal
    if ring is None:
        return None
    across = ring.rays[:, 0] * ring.at(blend.share(z))
    return float(across.max() - across.min())


def _sectioned(segment: AuthoredSegment) -> set[str]:
    """The bones of a segment that its first level, or that of a further group, cuts."""
    return {cut.bone for one in segment.each_group for cut in one.levels[0].bones}


def _typed_width(
    kind: str, segment: AuthoredSegment, bone: str, patient: Patient, guess: float
) -> float:
    """The width factor of one bone: typed width against the reference, else the guess.

    A bone that is drawn only follows the segment's primary bone.
    """
    typed = patient.widths_mm.get(bone)
    sections = _sectioned(segment)
    if typed is None and bone not in sections:
        typed, bone = patient.widths_mm.get(segment.primary), segment.primary
    if typed is None or bone not in sections:
        return guess
    return typed / _reference_width_mm(kind, segment, bone)
