"""The guard round every method that Qt calls.

An exception that leaves such a method goes back into Qt, which may end in a broken process; so it
is caught here, given to `sys.excepthook` (see crash.py), and Qt gets an answer all the same.
"""

import sys
from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec, Protocol, TypeVar, runtime_checkable

Asked = ParamSpec("Asked")
Owner = TypeVar("Owner")
Answer = TypeVar("Answer")
Method = Callable[Concatenate[Owner, Asked], Answer]


@runtime_checkable
class LetsGo(Protocol):
    """Something that can drop what it was doing when a fault came between."""

    def let_go(self) -> None:
        """Drop what runs."""


def guarded(method: Method[Owner, Asked, None]) -> Method[Owner, Asked, None]:
    """For a method from which Qt wants no answer."""
    return guarded_with(None)(method)


def guarded_with(
    instead: Answer,
) -> Callable[[Method[Owner, Asked, Answer]], Method[Owner, Asked, Answer]]:
    """For a method that Qt asks; `instead` is the answer after a fault."""

    def guard(method: Method[Owner, Asked, Answer]) -> Method[Owner, Asked, Answer]:
        @wraps(method)
        def asked(self: Owner, /, *args: Asked.args, **kwargs: Asked.kwargs) -> Answer:
            try:
                return method(self, *args, **kwargs)
            except Exception as problem:  # noqa: BLE001 (nothing may go back into Qt)
                tell_fault(problem)
            if isinstance(self, LetsGo):
                try:
                    self.let_go()
                except Exception as problem:  # noqa: BLE001 (the same)
                    tell_fault(problem)
            return instead

        return asked

    return guard


def tell_fault(problem: Exception) -> None:
    """Hand a fault of the program to whoever takes them."""
    sys.excepthook(type(problem), problem, problem.__traceback__)
