"""What the record of a built frame can get wrong in a well-formed case."""

from collections import Counter
from collections.abc import Iterator

from fixplan.case.records import AsBuilt, Case


def built_problems(case: Case) -> Iterator[str]:
    """Every error of meaning about the frame as built, one clause each."""
    if case.built is not None:
        yield from (f"the plan that was built {text}" for text in _plan_problems(case.built))
        yield from _part_problems(case.built)


def _plan_problems(built: AsBuilt) -> Iterator[str]:
    if built.plan.built is not None or built.plan.kept_plans:
        yield "holds a plan of its own"


def _part_problems(built: AsBuilt) -> Iterator[str]:
    counts = Counter(part.name for part in built.parts)
    yield from (f"the part {name!r} is counted {n} times" for name, n in counts.items() if n > 1)
    for part in built.parts:
        if part.used + part.wasted > part.opened:
            yield (
                f"of {part.name!r} {part.opened} were opened, and {part.used} used "
                f"with {part.wasted} wasted are more"
            )
