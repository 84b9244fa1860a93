"""Whether a moved pin gets on with the pins beside it and with the bars that it carries."""

from collections.abc import Callable
from functools import cached_property
from typing import Protocol

from msgspec.structs import replace

from fixplan.case.records import Case, Pin
from fixplan.checks.finding import SEVERITIES, Finding
from fixplan.checks.fragments import stands_closer
from fixplan.checks.scene import Scene

Only = Callable[[Case, frozenset[str]], tuple[Finding, ...]]
Ranks = dict[tuple[str, tuple[str, ...]], int]

SPACING = "pin-spacing"
ASKED = frozenset({SPACING, "bar-to-skin", "bar-laid", "bar-clamp", "bar-reach", "parts-clash"})
"""Kinds of rule about pins beside each other and about the bars that they carry."""


class Company(Protocol):
    """What a pin is moved beside.

    `further_mm`: how much further than needed a place is looked for, where the nearest one brings
    something new.
    """

    @property
    def further_mm(self) -> tuple[float, ...]:
        """How much further than needed is tried."""

    def accepts(self, moved: Pin) -> bool:
        """Whether nothing is found of a moved pin that was not found before."""


class BesidePins:
    """Other pins alone, quick enough while something moves."""

    further_mm = (0.0,)

    def __init__(self, scene: Scene, pins: tuple[Pin, ...]) -> None:
        self._scene, self._pins = scene, pins

    def accepts(self, moved: Pin) -> bool:
        """Whether a moved pin comes too near to no neighbour."""
        asked = (rule for rule in self._scene.rules if rule.kind == SPACING)
        return not any(stands_closer(one, self._scene.limb, self._pins, moved) for one in asked)


class InCase:
    """Other pins and the bars, for a case at rest."""

    further_mm = (0.0, 2.0, 5.0, 10.0, 15.0, 20.0)
    """How much further than needed is tried (ours)."""

    def __init__(self, case: Case, rule_ids: frozenset[str], only: Only) -> None:
        self._case, self._rule_ids, self._only = case, rule_ids, only

    def accepts(self, moved: Pin) -> bool:
        """Whether these rules find nothing of a moved pin that they did not find before."""
        pins = tuple(moved if pin.id == moved.id else pin for pin in self._case.pins)
        after = _ranks(self._only(replace(self._case, pins=pins), self._rule_ids))
        none = len(SEVERITIES)
        return all(rank >= self._before.get(key, none) for key, rank in after.items())

    @cached_property
    def _before(self) -> Ranks:
        return _ranks(self._only(self._case, self._rule_ids))


def _ranks(found: tuple[Finding, ...]) -> Ranks:
    """How grave each open finding is, 0 the worst."""
    return {
        (one.rule, tuple(sorted(one.subjects))): SEVERITIES.index(one.severity)
        for one in found
        if one.is_open
    }
