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
CREST = "iliac_crest_top"
SYMPHYSIS = ("symphysis_top", "symphysis_bottom")
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


def torn_joints(ring: RingInjury) -> tuple[tuple[str, str], ...]:
    """The landmarks at both ends of each joint that is torn, wholly or in part."""
    backs = [half for half, state in backs_of(ring).items() if state in (FRONT_ALONE, *UNSTABLE)]
    front = [SYMPHYSIS] if ring.symphysis == "torn" else []
    return (*front, *(back_joint(half) for half in backs))


def back_joint(half: Half) -> tuple[str, str]:
    """The landmarks at both ends of the joint between sacrum and hip bone on one side."""
    return f"sacroiliac_top_{half}", f"sacroiliac_bottom_{half}"


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
    if set(backs.values()) != {"not known"}:
        parts.append(f"back {_back_words(backs)}")
    return ", ".join(parts)


def _front_words(ring: RingInjury) -> str:
    open_words = "" if ring.symphysis_mm is None else f" {ring.symphysis_mm:g} mm open"
    return f"symphysis {ring.symphysis}{open_words}"


def _back_words(backs: dict[Half, BackOfRing]) -> str:
    if backs["right"] == backs["left"]:
        return f"{backs['right']} on both sides"
    return " and ".join(f"{half} {state}" for half, state in backs.items())
