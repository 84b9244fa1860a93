"""The pieces of bone that a frame holds, and the gaps between them.

A piece is a fragment that carries at least one pin of the frame. Between two neighbouring held
pieces lies a gap: a fracture, a spanned joint, or both with whatever the frame does not hold.
"""

from itertools import pairwise

import msgspec

from fixplan.case.fragments import Fragment, fragment_of, fragments
from fixplan.case.limbs import bar_systems, limb_of_case
from fixplan.case.records import Case, Pin


class Body(msgspec.Struct, frozen=True):
    """A held piece of bone with its pins, in the order of their levels."""

    fragment: Fragment
    segment: str
    pins: tuple[Pin, ...]

    @property
    def id(self) -> str:
        """Name of the piece, used for its nodes: bone and index."""
        return f"{self.fragment.bone}-{self.fragment.index}"


class Gap(msgspec.Struct, frozen=True):
    """What lies between two neighbouring held pieces; `words` tell it to a surgeon."""

    proximal: Body
    distal: Body
    words: str


def bodies(case: Case) -> tuple[Body, ...]:
    """The pieces that carry a pin of some bar, from proximal to distal."""
    held = {pin for system in bar_systems(case) for pin in system}
    order = list(limb_of_case(case).segments)
    found: dict[Fragment, list[Pin]] = {}
    for pin in case.pins:
        fragment = fragment_of(case, pin) if pin.id in held else None
        if fragment is not None:
            found.setdefault(fragment, []).append(pin)
    bones = limb_of_case(case).bones
    made = [
        Body(piece, bones[piece.bone].segment, tuple(sorted(pins, key=lambda p: p.level_mm)))
        for piece, pins in found.items()
    ]
    return tuple(sorted(made, key=lambda b: (order.index(b.segment), b.fragment.from_mm)))


def gaps(case: Case) -> tuple[Gap, ...]:
    """The gaps between neighbouring held pieces, from proximal to distal."""
    held = bodies(case)
    return tuple(Gap(above, below, _words(case, above, below)) for above, below in pairwise(held))


def _words(case: Case, above: Body, below: Body) -> str:
    """Which fractures and joints lie between two pieces."""
    if above.fragment.bone == below.fragment.bone:
        return f"{above.fragment.bone} fracture"
    joint = "knee" if above.segment == "thigh" else "ankle"
    broken = [
        bone
        for bone, fragment in (
            (above.fragment.bone, above.fragment),
            (below.fragment.bone, below.fragment),
        )
        if len(fragments(case, bone)) > 1
        and _is_cut(case, fragment, upper=bone == below.fragment.bone)
    ]
    return f"{joint}, with the fracture of the {' and '.join(broken)}" if broken else joint


def _is_cut(case: Case, fragment: Fragment, *, upper: bool) -> bool:
    """Does a fracture lie between this piece and the joint beyond it?"""
    known = limb_of_case(case).bones[fragment.bone]
    return fragment.from_mm > known.from_mm if upper else fragment.to_mm < known.to_mm
