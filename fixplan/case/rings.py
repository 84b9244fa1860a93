"""The pelvic ring as told in a case: its sense, its words, and the usual patterns of its injury."""

from collections.abc import Iterator, Mapping
from typing import Literal

import msgspec

from fixplan.case.records import Case
from fixplan.case.ring_records import BackOfRing, RingInjury
from fixplan.limb.kinds import limb_kind
from fixplan.limb.library import load_toml

Half = Literal["right", "left"]
HALVES: tuple[Half, Half] = ("right", "left")
FRONT_ALONE: BackOfRing = "torn in front"
UNSTABLE: frozenset[BackOfRing] = frozenset(("torn through", "broken through"))


class RingPattern(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A usual injury of the ring, to begin a case with."""

    name: str
    ring: RingInjury
    evidence: tuple[str, ...]


class RingFile(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """resources/rings.toml."""

    schema: int
    source: str
    patterns: dict[str, RingPattern]


def ring_patterns() -> Mapping[str, RingPattern]:
    """The usual injuries by name. Raises LibraryError for a file that does not hold them."""
    return load_toml("rings.toml", RingFile).patterns


def backs_of(ring: RingInjury) -> dict[Half, BackOfRing]:
    """The back of the ring on either side."""
    return {"right": ring.back_right, "left": ring.back_left}


def ring_problems(case: Case) -> Iterator[str]:
    """What makes no sense of the ring: on a limb without one, or a gap of a closed symphysis."""
    ring = case.ring
    if ring == RingInjury():
        return
    if not limb_kind(case.limb).has_both_sides:
        yield f"ring is told, and a {case.limb} has none"
    if ring.symphysis == "intact" and ring.symphysis_mm is not None:
        yield f"ring tells a symphysis that is intact and open by {ring.symphysis_mm:g} mm"


def ring_words(ring: RingInjury) -> str:
    """What is torn, in words for a title; empty when nothing is told."""
    parts = [_front_words(ring)] if ring.symphysis != "not known" else []
    backs = backs_of(ring)
    if backs["right"] == backs["left"]:
        both = backs["right"]
        parts += [] if both == "not known" else [f"back {both} on both sides"]
    else:
        parts += [f"back {state} on the {half}" for half, state in backs.items()]
    return ", ".join(parts)


def _front_words(ring: RingInjury) -> str:
    open_words = "" if ring.symphysis_mm is None else f" and {ring.symphysis_mm:g} mm open"
    return f"symphysis {ring.symphysis}{open_words}"
