"""What would make a frame firmer: each possible change is calculated, the most telling come first.

Changes that leave the arrangement as it is are reduced together (`fixplan.frame.network`); a second
bar makes another arrangement and is solved by itself.
"""

from collections.abc import Sequence
from math import exp, log
from typing import NamedTuple

from fixplan.case.limbs import pose_of_case
from fixplan.case.records import Case
from fixplan.case.remembered import remembered
from fixplan.errors import UnstableFrame
from fixplan.frame.beams import FrameModel, frame_model
from fixplan.frame.changes import Change, changes, steps
from fixplan.frame.elements import Array, Model
from fixplan.frame.hold import Firmness, firmness_of, gap_axes, quick_hold
from fixplan.frame.network import Network, variants_of

MODES = ("along", "front-back", "side", "twist")
Arrangement = tuple[tuple[str, str], ...]


class Tried(NamedTuple):
    """A change, and by which factor each stiffness grows at the gap that gains least.

    `gain` is the middle (geometric) of the four.
    """

    change: Change
    ratios: Firmness
    gain: float

    @property
    def words(self) -> str:
        """The change with its gains: "pin 2: 6 mm instead of 5 (along +12 %, twist +8 %)"."""
        told = [
            f"{mode} {100 * (ratio - 1):+.0f} %"
            for mode, ratio in zip(MODES, self.ratios, strict=True)
        ]
        return f"{self.change.words} ({', '.join(told)})"


@remembered
def tried(case: Case) -> tuple[Tried, ...]:
    """Changes worth telling, the most telling first. Raises UnstableFrame."""
    base = quick_hold(case)
    before = [one.firmness for one in base.gaps]
    made = [one for change in changes(case) if (one := _modelled(change)) is not None]
    after = _firmnesses(case, [model for _, model in made])
    found = [
        _judged(change, before, now) for (change, _), now in zip(made, after, strict=True) if now
    ]
    least = 1 + steps().telling_percent / 100
    telling = [one for one in found if one.gain >= least]
    return tuple(sorted(telling, key=lambda one: -one.gain))


def best(case: Case) -> tuple[Tried, ...]:
    """The few most telling changes, no two of the same parts and kind."""
    shown: list[Tried] = []
    for one in tried(case):
        kind = one.change.words.split(":")[0].rstrip("0123456789 ")
        if kind not in [each.change.words.split(":")[0].rstrip("0123456789 ") for each in shown]:
            shown.append(one)
    return tuple(shown[: steps().shown])


def firmness_of_all(cases: Sequence[Case]) -> tuple[tuple[Firmness, ...], ...]:
    """Stiffness of every gap of frames on one limb; nothing for one that is free to move."""
    models: list[FrameModel] = []
    made: list[int] = []
    for number, case in enumerate(cases):
        try:
            models.append(frame_model(case))
        except UnstableFrame:
            continue
        made.append(number)
    out: list[tuple[Firmness, ...]] = [()] * len(cases)
    if models:
        for number, firm in zip(made, _firmnesses(cases[made[0]], models), strict=True):
            out[number] = firm
    return tuple(out)


def _modelled(change: Change) -> tuple[Change, FrameModel] | None:
    try:
        return change, frame_model(change.case)
    except UnstableFrame:
        return None


def _firmnesses(case: Case, models: Sequence[FrameModel]) -> list[tuple[Firmness, ...]]:
    """Stiffness of every gap of every model; like models are reduced at once."""
    groups: dict[Arrangement, list[int]] = {}
    for number, model in enumerate(models):
        groups.setdefault(_arrangement(model.model), []).append(number)
    out: list[tuple[Firmness, ...]] = [()] * len(models)
    pose = pose_of_case(case)
    for numbers in groups.values():
        first = models[numbers[0]]
        alike = tuple(models[n].model for n in numbers)
        for gap, faces in zip(first.gaps, first.faces, strict=True):
            turn = gap_axes(pose, gap)
            found = turn @ compliances(alike, faces) @ turn.T
            for n, one in zip(numbers, found, strict=True):
                out[n] = (*out[n], firmness_of(one))
    return out


def compliances(models: tuple[Model, ...], faces: tuple[str, str]) -> Array:
    """Gap compliance (models, 6, 6) of frames that differ in sizes and places alone."""
    return Network(models[0], *faces).compliance(variants_of(models, faces[1]))


def _arrangement(model: Model) -> Arrangement:
    beams = [(beam.i, beam.j) for beam in model.beams]
    return (*beams, *((spring.i, spring.j) for spring in model.springs))


def _judged(change: Change, before: list[Firmness], after: tuple[Firmness, ...]) -> Tried:
    gains = [
        Firmness(*(new / old for new, old in zip(now, then, strict=True)))
        for then, now in zip(before, after, strict=True)
    ]
    worst = min(gains, key=_mean)
    return Tried(change, worst, _mean(worst))


def _mean(ratios: Firmness) -> float:
    return exp(sum(log(ratio) for ratio in ratios) / len(ratios))
