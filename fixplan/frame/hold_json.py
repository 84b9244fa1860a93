"""How firmly a frame holds, as plain values for JSON: N/mm, N*m per degree, mm, degrees, MPa, N."""

from fixplan.case.records import Case
from fixplan.frame.assumed import assumed
from fixplan.frame.hold import Hold, LoadHold
from fixplan.frame.hold_words import Range, firmness_ranges, ranged, said_lines
from fixplan.frame.limb_length import bar_lengths, left_short_mm, sag_mm
from fixplan.frame.peaks import Peak, give_by_part
from fixplan.frame.trying import tried
from fixplan.frame.usual import compared

KEYS = ("axial_n_per_mm", "front_back_nm_per_deg", "side_nm_per_deg", "torsion_nm_per_deg")
Told = dict[str, object]


def hold_json(case: Case, hold: Hold) -> Told:
    """Everything that `fixplan hold` says; withdrawn numbers are null and say why."""
    clamp = assumed().clamp
    return {
        "clamp_rotation_nmm_per_rad": {
            "low": clamp.low_rotation_nmm_per_rad,
            "middle": clamp.rotation_nmm_per_rad,
            "high": clamp.high_rotation_nmm_per_rad,
        },
        "gaps": [_gap(case, hold, number) for number in range(len(hold.middle.gaps))],
        "changes": [
            {
                "change": one.change.words,
                "ratios": dict(zip(KEYS, one.ratios, strict=True)),
                "gain": one.gain,
            }
            for one in tried(case)
        ],
        "length": _length(case, hold),
        "said": list(said_lines(case)),
        "caution": assumed().caution,
    }


def _range(values: Range) -> Told:
    return {"low": values.low, "middle": values.middle, "high": values.high}


def _gap(case: Case, hold: Hold, number: int) -> Told:
    found = hold.middle.gaps[number]
    against = compared(case, found)
    ranges = firmness_ranges(hold, number)
    return {
        "gap": found.gap.words,
        "between": [found.gap.proximal.id, found.gap.distal.id],
        **{key: _range(values) for key, values in zip(KEYS, ranges, strict=True)},
        "compliance": found.compliance.tolist(),
        "buckling_n": found.buckling_n,
        "usual_frame": None
        if against is None
        else {
            "name": against.name,
            "says": against.words,
            "ratios": dict(zip(KEYS, against.ratios, strict=True)),
        },
        "loads": [_load(hold, one, number) for one in hold.middle.loads],
    }


def _load(hold: Hold, load: LoadHold, gap: int) -> Told:
    movement = load.movements[gap]
    told: Told = {
        "load": load.load.id,
        "name": load.load.name,
        "force_n": load.load.force_n,
        "withdrawn": assumed().withdrawn.text if load.withdrawn[gap] else None,
    }
    if load.withdrawn[gap]:
        return {**told, "shift_mm": None, "turn_deg": None, "pin": None, "bar": None, "clamp": None}
    shifts = [one.load(load.load.id) for one in hold.all]
    low, middle, high = (one.movements[gap].shift_mm if one else 0.0 for one in shifts)
    shares = give_by_part(hold.middle.solved, load.peaks.column)
    return {
        **told,
        "shift_mm": _range(ranged((low, middle, high))),
        "forward_mm": movement.forward_mm,
        "medial_mm": movement.medial_mm,
        "closing_mm": movement.along_mm,
        "turn_deg": movement.angle_deg,
        "pin": _peak(load.peaks.pin, "stress_mpa", load.peaks.pin_share),
        "bar": _peak(load.peaks.bar, "stress_mpa", None),
        "clamp": _peak(load.peaks.clamp, "moment_nm", None),
        "strain_energy_share": shares,
    }


def _peak(peak: Peak | None, key: str, share: float | None) -> Told | None:
    if peak is None:
        return None
    return {"part": peak.part, "place": peak.place, key: peak.value, "share_of_limit": share}


def _length(case: Case, hold: Hold) -> Told:
    plan = case.length
    return {
        "shortening_mm": plan.shortening_mm,
        "correction_mm": plan.correction_mm,
        "left_short_mm": left_short_mm(case),
        "rotation_deg": plan.rotation_deg,
        "other_limb_mm": plan.other_limb_mm,
        "sag_mm": [None if one is None else one._asdict() for one in sag_mm(hold)],
        "bars": [one._asdict() for one in bar_lengths(case)],
    }
