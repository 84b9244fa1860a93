"""One night's cases from their files, and the kit for them: what `fixplan kit` says."""

from collections.abc import Iterator, Sequence
from pathlib import Path

import msgspec

from fixplan.case.linking import linked_paths
from fixplan.checks.answer import CLEAN, OPEN_STOP, UNREADABLE, answer_for
from fixplan.checks.run import Opened
from fixplan.errors import FixplanError
from fixplan.kit.answer import KitAnswer, kit_for
from fixplan.kit.offers import NOTHING_MENDS, Offer, night_offers
from fixplan.kit.plain import plain, plain_offer
from fixplan.kit.tray_files import house_trays, read_trays


class Night(msgspec.Struct, frozen=True, kw_only=True, eq=False):
    """The answer for some case files; `errors` one sentence for each that could not be read.

    `patients` counts from 0: linked cases are one patient's. `offers` are changes that leave less
    missing, each with the place of its case.
    """

    paths: tuple[str, ...] = ()
    patients: tuple[int, ...] = ()
    answer: KitAnswer | None = None
    offers: tuple[tuple[int, Offer], ...] = ()
    errors: tuple[str, ...] = ()

    @property
    def code(self) -> int:
        """2: something could not be read; 1: a part missing or a clash; 0: all is there."""
        if self.errors or self.answer is None:
            return UNREADABLE
        return CLEAN if self.answer.is_complete else OPEN_STOP

    def as_json(self) -> dict[str, object]:
        """The answer as plain values."""
        told: dict[str, object] = {"cases": list(self._cases())}
        if self.errors:
            told["errors"] = list(self.errors)
        return (
            told
            if self.answer is None
            else {
                **told,
                **plain(self.answer),
                "offered": [plain_offer(at, one) for at, one in self.offers],
            }
        )

    def lines(self) -> Iterator[str]:
        """The answer as lines to print; none without a readable case."""
        if self.answer is None:
            return
        many = len(self.paths) > 1
        for number, (path, who) in enumerate(zip(self.paths, self.patients, strict=True), start=1):
            yield f"{number}: {path} (patient {who + 1})" if many else path
        yield from (f"  {line}" for line in self.answer.lines())
        yield from (f"  {line}" for line in self._offered())
        yield "  Other kit of the trip:"
        yield from (f"    {one}" for one in self.answer.other)

    def _offered(self) -> Iterator[str]:
        if self.answer is not None and self.answer.missing and not self.offers:
            yield NOTHING_MENDS
        for at, one in self.offers:
            yield f"Case {at + 1}: {one.sentence}" if len(self.paths) > 1 else one.sentence

    def _cases(self) -> Iterator[dict[str, object]]:
        families = self.answer.families if self.answer else ("",) * len(self.paths)
        for path, who, letter in zip(self.paths, self.patients, families, strict=True):
            yield {"case": path, "patient": who + 1, "family": letter}


def night_of(typed: Sequence[str], trays_path: Path | None = None) -> Night:
    """Read the cases, those they are linked with and the trays, and ask what to open.

    A case that cannot be read gives its sentence; the others are answered.
    """
    opened, errors = _opened(typed)
    paths = tuple(opened)
    patients = _patients(tuple(opened.values()))
    answer: KitAnswer | None = None
    offers: tuple[tuple[int, Offer], ...] = ()
    try:
        trays = house_trays() if trays_path is None else read_trays(trays_path)
        if opened:
            cases = tuple(one.case for one in opened.values())
            answer = kit_for(cases, trays, patients)
            offers = tuple(night_offers(cases, patients, trays, answer))
    except FixplanError as problem:
        errors.append(str(problem))
    return Night(paths=paths, patients=patients, answer=answer, offers=offers, errors=tuple(errors))


def _opened(typed: Sequence[str]) -> tuple[dict[str, Opened], list[str]]:
    """Every case once, each followed by those it is linked with."""
    opened: dict[str, Opened] = {}
    errors: list[str] = []
    seen: set[Path] = set()
    waiting = list(typed)
    while waiting:
        name = waiting.pop(0)
        place = Path(name).absolute()
        if place.resolve() in seen:
            continue
        seen.add(place.resolve())
        told = answer_for(name)
        if told.opened is None or told.error:
            errors.append(told.error)
            continue
        opened[name] = told.opened
        waiting[:0] = [str(path) for path in linked_paths(told.opened.case, Path(name))]
    return opened, errors


def _patients(opened: tuple[Opened, ...]) -> tuple[int, ...]:
    """A number for each case: the same for cases that are linked, directly or through others."""
    places = [one.path.resolve() for one in opened]
    whose = list(range(len(opened)))
    for at, one in enumerate(opened):
        for path in linked_paths(one.case, one.path):
            if path.resolve() in places:
                other = whose[places.index(path.resolve())]
                whose = [whose[at] if who == other else who for who in whose]
    order = list(dict.fromkeys(whose))
    return tuple(order.index(who) for who in whose)
