"""What the patient's limb weighs, and where: resources/segments.toml.

A segment's weight is spread along it so that mass and centre agree with the table; the foot counts
as a point. Newtons; levels in mm along the segment.
"""

from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

import msgspec

from fixplan.case.growing import growth_plates
from fixplan.case.limbs import limb_of_case
from fixplan.case.records import Case
from fixplan.frame.growing import asks_growth
from fixplan.frame.vectors import Vector
from fixplan.limb.anatomy import Limb
from fixplan.limb.library import load_toml


class Foot(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """How long the foot is, as a share of stature."""

    segment: str
    length_share: float
    source: str


class SegmentMass(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A segment's share of body mass by sex, and where its centre lies along it."""

    male_mass_share: float
    female_mass_share: float
    centre_share: float

    def mass_share(self, sex: str) -> float:
        """Share of body mass; the mean of both where the sex is not given."""
        shares = {"male": self.male_mass_share, "female": self.female_mass_share}
        return shares.get(sex, (self.male_mass_share + self.female_mass_share) / 2)


class SegmentTable(msgspec.Struct, frozen=True, eq=False, forbid_unknown_fields=True):
    """resources/segments.toml."""

    schema: int
    source: str
    evidence: tuple[str, ...]
    foot: Foot
    segments: dict[str, SegmentMass]


class Patient(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The body that counts where the case does not say."""

    mass_kg: float
    stature_mm: float
    gravity_m_per_s2: float
    source: str


class Growing(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A growing patient's mass (kg) by stature (mm), where it is not told."""

    mass_kg: tuple[tuple[float, float], ...]
    source: str

    def at(self, stature_mm: float) -> float:
        """The mass of that stature; beyond the list that of its end."""
        (first, lightest), *_ = self.mass_kg
        if stature_mm <= first:
            return lightest
        for (low, lighter), (high, heavier) in pairwise(self.mass_kg):
            if stature_mm <= high:
                return lighter + (heavier - lighter) * (stature_mm - low) / (high - low)
        return self.mass_kg[-1][1]


class Weight(NamedTuple):
    """A weight in N at a point (x, y, level) of a segment, mm."""

    segment: str
    at_mm: Vector
    force_n: float


def segment_table() -> SegmentTable:
    """Shares of mass. Raises LibraryError when the file does not hold what it should."""
    return load_toml("segments.toml", SegmentTable)


class Body(NamedTuple):
    """Whose limb it is: what weights depend on, beside the limb's size."""

    limb: Limb
    sex: str
    mass_kg: float
    stature_mm: float
    gravity_m_per_s2: float


def is_growing(case: Case) -> bool:
    """Whether a patient is taken as growing: told so, or so short that it is asked."""
    return growth_plates(case) == "open" or asks_growth(case)


def mass_of(case: Case, patient: Patient, growing: Growing) -> float:
    """Body mass in kg: as told; else by stature, a growing patient's from its own list."""
    size = case.size
    if size.mass_kg is not None:
        return size.mass_kg
    if size.stature_mm is None:
        return patient.mass_kg
    if is_growing(case):
        return growing.at(size.stature_mm)
    return patient.mass_kg * (size.stature_mm / patient.stature_mm) ** 2


def body_of(case: Case, patient: Patient, growing: Growing) -> Body:
    """The patient's body, with the listed one's values where the case gives none."""
    size = case.size
    return Body(
        limb_of_case(case),
        size.sex,
        mass_of(case, patient, growing),
        size.stature_mm or patient.stature_mm,
        patient.gravity_m_per_s2,
    )


@lru_cache(maxsize=256)
def weight_of(
    body: Body, table: SegmentTable, segment: str, from_mm: float, to_mm: float
) -> Weight | None:
    """Weight of a segment between two levels; None where the table knows no such segment."""
    row = table.segments.get(segment)
    if row is None:
        return None
    whole_n = row.mass_share(body.sex) * body.mass_kg * body.gravity_m_per_s2
    if segment == table.foot.segment:
        reach_mm = table.foot.length_share * body.stature_mm * row.centre_share
        return Weight(segment, _foot_centre(body.limb, reach_mm), whole_n)
    known = body.limb.segments[segment]
    long_mm = known.to_mm - known.from_mm
    shares = [min(1.0, max(0.0, (at - known.from_mm) / long_mm)) for at in (from_mm, to_mm)]
    part, centre = _part(row.centre_share, *shares)
    return Weight(segment, (0.0, 0.0, known.from_mm + centre * long_mm), whole_n * part)


def _foot_centre(limb: Limb, reach_mm: float) -> Vector:
    """The foot's centre, so far before the back of the heel."""
    heel = limb.landmark("heel_point")
    known = limb.segments[heel.segment]
    return 0.0, heel.y_mm + reach_mm, (known.from_mm + known.to_mm) / 2


def _part(centre_share: float, low: float, high: float) -> tuple[float, float]:
    """Share of the weight between two shares of the length, and the centre of that part.

    Weight per length a + b s, with a + b/2 = 1 and the centre a/2 + b/3 as given.
    """
    b = 12 * (centre_share - 0.5)
    a = 1 - b / 2
    weight = a * (high - low) + b * (high**2 - low**2) / 2
    moment = a * (high**2 - low**2) / 2 + b * (high**3 - low**3) / 3
    return weight, moment / weight if weight > 0 else low
