"""The frame's parts and a magnetic scanner: what the parts' data tell, and no more than that."""

from collections.abc import Iterator
from typing import Literal

from fixplan.case.records import Case
from fixplan.frame.stock import ScannerStatus, clamp_for, parts
from fixplan.kit.parts import PINS, Part, needs_of

WORDS: dict[ScannerStatus, str] = {
    "unsafe": "Not for the scanner, as the parts' list says",
    "conditional": "Under the conditions of the parts' papers alone",
    "not known": "Not known, look it up in the parts' papers",
}


def scanner_words(case: Case) -> str:
    """The parts by what is known of them, the worst first (SF-18). Raises LibraryError."""
    told: dict[ScannerStatus, list[str]] = {status: [] for status in WORDS}
    for name, status in dict.fromkeys(_statuses(case)):
        told[status].append(name)
    return "; ".join(
        f"{WORDS[status]}: {', '.join(names)}" for status, names in told.items() if names
    )


def _statuses(case: Case) -> Iterator[tuple[str, ScannerStatus]]:
    for need in needs_of(case):
        part = need.part
        if part.kind in PINS:
            yield f"{part.kind}s {part.diameter_mm:g} mm", _pin(part)
        elif part.kind == "bar":
            made = f"{part.material} " if part.material else ""
            yield f"{made}bars {part.diameter_mm:g} mm", _bar(part)
        elif part.kind in ("pin-to-bar clamp", "bar-to-bar clamp"):
            yield f"{part.kind}s on {part.bar_mm:g} mm", _clamp(part)


def _pin(part: Part) -> ScannerStatus:
    listed = parts().half_pins if part.kind == "half-pin" else parts().through_pins
    same = (one.scanner for one in listed.values() if one.diameter_mm == part.diameter_mm)
    return next(same, "not known")


def _bar(part: Part) -> ScannerStatus:
    same = (one.scanner for one in parts().bars.values() if one.diameter_mm == part.diameter_mm)
    return next(same, "not known")


def _clamp(part: Part) -> ScannerStatus:
    joins: Literal["pin", "bar"] = "pin" if part.kind == "pin-to-bar clamp" else "bar"
    name = clamp_for(joins, part.diameter_mm, part.bar_mm)
    return "not known" if name is None else parts().clamps[name].scanner
