"""The pressure gap of a compartment: diastolic less compartment pressure, mmHg (SF-02, SF-03).

The diastolic pressure is the one from before anaesthesia, which lowers it. One reading
over-diagnoses; there is no validated test. A prompt, not a diagnosis.
"""

from collections.abc import Iterator

from fixplan.case.trip_records import Compartment
from fixplan.trips.flag_book import flag_book


def gap_mmhg(compartment: Compartment) -> float | None:
    """Diastolic less compartment pressure; None while either is not given."""
    if compartment.diastolic_mmhg is None or compartment.pressure_mmhg is None:
        return None
    return compartment.diastolic_mmhg - compartment.pressure_mmhg


def is_gap_low(compartment: Compartment) -> bool:
    """Whether the gap is below the published threshold."""
    gap = gap_mmhg(compartment)
    return gap is not None and gap < flag_book().compartment.gap_mmhg


def is_pressure_high(compartment: Compartment) -> bool:
    """Whether the pressure is above the absolute limit."""
    pressure = compartment.pressure_mmhg
    return pressure is not None and pressure > flag_book().compartment.absolute_mmhg


def pressure_lines(compartment: Compartment) -> Iterator[str]:
    """The pressures in words, a sentence each."""
    limits = flag_book().compartment
    gap = gap_mmhg(compartment)
    where = f" ({compartment.name})" if compartment.name else ""
    if gap is None:
        yield "Pressure gap: not assessed; give the diastolic and the compartment pressure."
    else:
        against = "under" if gap < limits.gap_mmhg else "not under"
        yield (
            f"Pressure gap{where}: {compartment.diastolic_mmhg:g} - {compartment.pressure_mmhg:g} "
            f"= {gap:g} mmHg, {against} {limits.gap_mmhg:g} (SF-02). One reading over-diagnoses."
        )
        if compartment.diastolic_from != "before anaesthesia":
            yield (
                "Use the diastolic pressure from before anaesthesia; this one was taken "
                f"{_taken(compartment)}."
            )
        if not compartment.after_length:
            yield "Measure again after pulling to length: the pressure rises with it."
    if is_pressure_high(compartment):
        yield (
            f"Compartment pressure{where} {compartment.pressure_mmhg:g} mmHg, over "
            f"{limits.absolute_mmhg:g}: with symptoms it needs release (SF-03)."
        )


def _taken(compartment: Compartment) -> str:
    told = compartment.diastolic_from
    return "at a time not given" if told == "not known" else told
