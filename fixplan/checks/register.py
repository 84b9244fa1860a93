"""The register of rule kinds: each kind of rule is one function, entered here by its name.

To add a rule of a known kind, add an entry to resources/rules.toml and its two examples. To add a
kind, write one function and enter it with `pin_kind` (asked for each pin, remembered with the pin
and the scene) or `case_kind` (asked once for the whole case). `resting_kind` is a `case_kind` whose
answer takes so long on a large frame that it waits until nothing moves. `lean_kind` enters a second
function for a kind: the same findings in less time, where nothing else asks for what the first one
works out besides.
"""

from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType

from fixplan.case.records import Case, Pin
from fixplan.checks.finding import Finding
from fixplan.checks.rules import Rule
from fixplan.checks.scene import Scene

PinCheck = Callable[[Rule, Scene, Pin], Iterable[Finding]]
CaseCheck = Callable[[Rule, Case], Iterable[Finding]]

_pin_checks: dict[str, PinCheck] = {}
_case_checks: dict[str, CaseCheck] = {}
_lean_checks: dict[str, CaseCheck] = {}
_resting: set[str] = set()

PIN_CHECKS: Mapping[str, PinCheck] = MappingProxyType(_pin_checks)
CASE_CHECKS: Mapping[str, CaseCheck] = MappingProxyType(_case_checks)
LEAN_CHECKS: Mapping[str, CaseCheck] = MappingProxyType(_lean_checks)


def pin_kind(name: str) -> Callable[[PinCheck], PinCheck]:
    """Enters a function that judges one pin; it must depend on nothing but its arguments."""

    def enter(check: PinCheck) -> PinCheck:
        _pin_checks[name] = check
        return check

    return enter


def case_kind(name: str) -> Callable[[CaseCheck], CaseCheck]:
    """Enters a function that judges the case as a whole."""

    def enter(check: CaseCheck) -> CaseCheck:
        _case_checks[name] = check
        return check

    return enter


def resting_kind(name: str) -> Callable[[CaseCheck], CaseCheck]:
    """Enters a function that judges the case as a whole, at rest where the frame is large."""
    _resting.add(name)
    return case_kind(name)


def lean_kind(name: str) -> Callable[[CaseCheck], CaseCheck]:
    """Enters a quicker function with the same findings as that of the kind."""

    def enter(check: CaseCheck) -> CaseCheck:
        _lean_checks[name] = check
        return check

    return enter


def waits_for_rest(name: str) -> bool:
    """Whether rules of this kind may wait until nothing moves."""
    return name in _resting
