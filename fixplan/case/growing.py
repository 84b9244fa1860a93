"""Whether the patient still grows, as the case tells it in two ticks."""

from typing import Literal

from msgspec.structs import replace

from fixplan.case.records import Case

GrowthPlates = Literal["not told", "open", "closed"]
GROWTH_PLATES: tuple[GrowthPlates, ...] = ("not told", "open", "closed")


def growth_plates(case: Case) -> GrowthPlates:
    """What the case tells of the growth plates."""
    if case.open_growth_plates:
        return "open"
    return "closed" if case.closed_growth_plates else "not told"


def with_growth_plates(case: Case, told: str) -> Case:
    """The case that tells so; any other word than open or closed is not told."""
    return replace(case, open_growth_plates=told == "open", closed_growth_plates=told == "closed")


def growth_problems(case: Case) -> tuple[str, ...]:
    """An error of meaning where both are ticked."""
    both = case.open_growth_plates and case.closed_growth_plates
    return ("growth plates are told as open and as closed; tell one of them",) if both else ()
