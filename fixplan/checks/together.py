"""What is found about pins, looked up for many of them at once and remembered for each.

A whole case asks in one go, which takes hardly longer than for one pin; a pin that moves asks
alone. The function must say of each pin what it says of it alone.
"""

from collections.abc import Callable, Iterable
from typing import Generic, TypeVar

from fixplan.case.records import Pin
from fixplan.checks.scene import Scene

Answer = TypeVar("Answer")
Find = Callable[[Scene, tuple[Pin, ...]], Iterable[Answer]]

MOST_KNOWN = 8192
"""Answers that are remembered; when there would be more, all are forgotten."""


class Together(Generic[Answer]):
    """A function that finds the answers for some pins; called for one of them, it remembers."""

    def __init__(self, find: Find[Answer]) -> None:
        self._find = find
        self._known: dict[tuple[Scene, Pin], Answer] = {}

    def __call__(self, scene: Scene, pin: Pin) -> Answer:
        """The answer about one pin."""
        if (scene, pin) not in self._known:
            self.look_up(scene, (pin,))
        return self._known[scene, pin]

    def look_up(self, scene: Scene, pins: Iterable[Pin]) -> None:
        """Finds what is not known yet of pins whose bones the limb has."""
        asked = tuple(dict.fromkeys(pin for pin in pins if (scene, pin) not in self._known))
        if not asked:
            return
        if len(self._known) + len(asked) > MOST_KNOWN:
            self.forget()
        for pin, answer in zip(asked, self._find(scene, asked), strict=True):
            self._known[scene, pin] = answer

    def forget(self) -> None:
        """Forgets all answers."""
        self._known.clear()
