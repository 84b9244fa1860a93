"""Resuscitation by both schools, side by side: they disagree, and neither is chosen for you."""

from collections.abc import Iterator

from fixplan.case.trip_records import Resuscitation
from fixplan.trips.flag_book import flag_book


def schools_raised(told: Resuscitation) -> bool:
    """Whether either school would hold final fixation back by what is given."""
    early = early_met(told)
    return early is False or bool(tuple(strict_reasons(told)))


def early_met(told: Resuscitation) -> bool | None:
    """Whether any value of early care is met (SF-08); None when none of them is given."""
    limits = flag_book().early
    lactate, ph, excess = told.lactate_mmol_per_l, told.ph, told.base_excess_mmol_per_l
    met = [
        value
        for value in (
            None if lactate is None else lactate < limits.lactate_below,
            None if ph is None else ph >= limits.ph_from,
            None if excess is None else excess >= limits.base_excess_from,
        )
        if value is not None
    ]
    return any(met) if met else None


def strict_reasons(told: Resuscitation) -> Iterator[str]:
    """What damage control calls borderline or worse (SF-09, SF-10), in words."""
    limits = flag_book().strict
    lactate = told.lactate_mmol_per_l
    if lactate is not None and lactate > limits.lactate_above:
        yield f"lactate {lactate:g}, over {limits.lactate_above:g} mmol/L"
    yield from _below(
        "platelets",
        told.platelets_e9_per_l,
        (limits.platelets_below, limits.platelets_worse_below),
        "10\u2079/L",
    )
    yield from _below(
        "temperature",
        told.temperature_c,
        (limits.temperature_below, limits.temperature_worse_below),
        "\u00b0C",
    )
    yield from _load_reasons(told)


def _below(name: str, value: float | None, limits: tuple[float, float], unit: str) -> Iterator[str]:
    """A value under the borderline limit, or under the worse one."""
    borderline, worse = limits
    if value is None or value >= borderline:
        return
    passed = worse if value < worse else borderline
    yield f"{name} {value:g}, under {passed:g} {unit}"


def _load_reasons(told: Resuscitation) -> Iterator[str]:
    limits, score, chest = flag_book().strict, told.injury_score or 0, told.chest_score or 0
    if score > limits.score_above:
        yield f"injury score {score}, over {limits.score_above}"
    elif score > limits.score_with_chest_above and chest > limits.chest_above:
        yield (
            f"injury score {score}, over {limits.score_with_chest_above}, "
            f"with chest {chest}, over {limits.chest_above}"
        )
    systolic = told.systolic_mmhg
    is_low = systolic is not None and systolic < limits.systolic_below
    if told.pelvis_or_abdomen == "yes" and is_low:
        yield f"pelvis or abdomen with systolic {systolic:g}, under {limits.systolic_below:g}"
    if told.both_lungs_bruised == "yes":
        yield "both lungs bruised"


def school_lines(told: Resuscitation) -> Iterator[str]:
    """Both schools in a sentence each."""
    limits, early = flag_book().early, early_met(told)
    wanted = (
        f"lactate under {limits.lactate_below:g}, or pH from {limits.ph_from:g}, "
        f"or base excess from {limits.base_excess_from:g}"
    )
    state = {True: "one is met", False: "none is met", None: "not assessed, no value given"}[early]
    yield f"Early care wants {wanted} (SF-08): {state}."
    reasons = tuple(strict_reasons(told))
    if reasons:
        yield f"Damage control holds back for: {'; '.join(reasons)} (SF-09, SF-10)."
    elif told == Resuscitation():
        yield "Damage control (SF-09, SF-10): not assessed, no value given."
    else:
        yield "Damage control finds nothing in the values given (SF-09, SF-10)."
