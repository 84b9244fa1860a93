"""The pieces of bone that a frame holds, and the gaps between them.

A piece is a fragment of a segment's main bone that carries a pin reached by a clamp. Other bones of
the segment (the fibula) count as one with it, unless they are broken and pinned themselves, and so
does the forefoot with the hindfoot. Between
two neighbouring pieces of one frame lies a gap: a fracture, a spanned joint, or both with whatever
the frame does not hold.
"""

from collections.abc import Iterator
from itertools import pairwise

import msgspec

from fixplan.case.fragments import Fragment, broken_ranges, fragments
from fixplan.case.limbs import limb_of_case, segment_of
from fixplan.case.records import Bar, BarAnchor, Case, Pin
from fixplan.case.remembered import remembered
from fixplan.frame.assumed import assumed
from fixplan.frame.joining import BarPath, Clamp, laid_bars, pins_named
from fixplan.limb.kinds import limb_kind

BACK_OF_RING = (
    "A front frame alone does not hold an unstable back of the ring: the back is counted as absent."
)


class Body(msgspec.Struct, frozen=True):
    """A held piece of bone with its pins, in the order of their levels."""

    fragment: Fragment
    segment: str
    pins: tuple[Pin, ...]

    @property
    def id(self) -> str:
        """Name of the piece, used for its nodes: bone and index."""
        return f"{self.fragment.bone}-{self.fragment.index}"

    @property
    def words(self) -> str:
        """The piece in a sentence: "proximal fragment of the tibia"."""
        return self.fragment.words


class Gap(msgspec.Struct, frozen=True):
    """What lies between two neighbouring held pieces; `words` tell it to a surgeon.

    `joint` is the joint it spans, "" for none; `broken`: a fracture lies in it.
    """

    proximal: Body
    distal: Body
    words: str
    joint: str
    broken: bool

    @property
    def id(self) -> str:
        """Both pieces, proximal first."""
        return f"{self.proximal.id}/{self.distal.id}"


class Held(msgspec.Struct, frozen=True):
    """One frame: pieces from proximal to distal, their gaps, and the parts that join them."""

    bodies: tuple[Body, ...]
    gaps: tuple[Gap, ...]
    parts: frozenset[str]


class Holding(msgspec.Struct, frozen=True):
    """All frames of a case that hold two pieces or more.

    `loose` names what is free to move, a sentence each, and `loose_parts` are the parts that hold
    it; `said` is what the calculation leaves out.
    """

    frames: tuple[Held, ...]
    loose: tuple[str, ...]
    said: tuple[str, ...]
    loose_parts: frozenset[str] = frozenset()


@remembered
def holding(case: Case) -> Holding:
    """What the drawn bars hold, as far as their clamps reach."""
    joints = [joint for path in laid_bars(case).paths.values() for joint in path.joints]
    reached = {joint.other for joint in joints if joint.reaches}
    pieces = _bodies(case, reached)
    systems = _systems(pieces, [joint for joint in joints if joint.reaches])
    frames = tuple(
        Held(held, tuple(_gaps(case, held)), parts)
        for parts in systems
        if len(held := tuple(body for body in pieces if body.id in parts)) > 1
    )
    apart = _apart(pieces, systems)
    ends = {body.id for pair in apart for body in pair}
    parts = frozenset().union(*(system for system in systems if system & ends))
    told = tuple(_loose_words(above, below) for above, below in apart)
    return Holding(frames, told, tuple(_said(case, joints, pieces, frames)), parts)


def bodies(case: Case) -> tuple[Body, ...]:
    """The pieces that frames of two pieces or more hold, from proximal to distal in each frame."""
    return tuple(body for frame in holding(case).frames for body in frame.bodies)


def gaps(case: Case) -> tuple[Gap, ...]:
    """The gaps between neighbouring held pieces, from proximal to distal in each frame."""
    return tuple(gap for frame in holding(case).frames for gap in frame.gaps)


def _bodies(case: Case, reached: set[str]) -> tuple[Body, ...]:
    limb = limb_of_case(case)
    order = list(limb.segments)
    found: dict[Fragment, list[Pin]] = {}
    for pin in case.pins:
        piece = _piece_of(case, pin) if pin.id in reached else None
        if piece is not None:
            found.setdefault(piece, []).append(pin)
    made = [
        Body(piece, limb.bones[piece.bone].segment, tuple(sorted(pins, key=_level_mm)))
        for piece, pins in found.items()
    ]
    return tuple(sorted(made, key=lambda b: (order.index(b.segment), b.fragment.from_mm)))


def _level_mm(pin: Pin) -> float:
    return pin.level_mm


def _piece_of(case: Case, pin: Pin) -> Fragment | None:
    """The piece that a pin holds: of the bone that counts for it, the nearest of another's."""
    limb = limb_of_case(case)
    if pin.bone not in limb.bones:
        return None
    main = _main_bone(case, pin.bone)
    pieces = fragments(case, main)
    for piece in pieces:
        if piece.from_mm <= pin.level_mm <= piece.to_mm:
            return piece
    if pin.bone == main or not pieces:
        return None
    beyond = pin.level_mm > pieces[-1].to_mm
    return pieces[-1] if beyond else pieces[0] if pin.level_mm < pieces[0].from_mm else None


def _main_bone(case: Case, bone: str) -> str:
    """The bone whose pieces count for a pin: a broken bone of its own, else its segment's main one.

    A segment that counts with another always has that one's main bone.
    """
    limb = limb_of_case(case)
    own = limb.bones[bone].segment
    counted = assumed().counts_with.get(own, own)
    if counted == own and bone in limb.bones and len(fragments(case, bone)) > 1:
        return bone
    return limb.segments[counted if counted in limb.segments else own].primary


def _systems(pieces: tuple[Body, ...], joints: list[Clamp]) -> list[frozenset[str]]:
    """Parts and pieces that hang together, by id."""
    bonds = [{joint.bar, joint.other} for joint in joints]
    bonds += [{body.id, *(pin.id for pin in body.pins)} for body in pieces]
    systems: list[set[str]] = []
    for bond in bonds:
        touching = [one for one in systems if one & bond]
        systems = [one for one in systems if one not in touching]
        systems.append(bond.union(*touching))
    return [frozenset(one) for one in systems]


def _apart(
    pieces: tuple[Body, ...], systems: list[frozenset[str]]
) -> tuple[tuple[Body, Body], ...]:
    """Neighbouring pieces of one bone that no frame joins, though bars hold each of them."""
    return tuple(
        (above, below)
        for above, below in pairwise(pieces)
        if _is_one_bone(above, below)
        and not any({above.id, below.id} <= system for system in systems)
    )


def _loose_words(above: Body, below: Body) -> str:
    return (
        f"Nothing joins the {above.words} to the {below.words}, so the {below.words} "
        "is free to move: join them by a bar."
    )


def _gaps(case: Case, held: tuple[Body, ...]) -> Iterator[Gap]:
    same = [above.fragment.bone for above, below in pairwise(held) if _is_one_bone(above, below)]
    for above, below in pairwise(held):
        if _is_one_bone(above, below):
            words = f"{above.fragment.title} fracture"
            if same.count(above.fragment.bone) > 1:
                words += f", {_short(above)} to {_short(below)} fragment"
            yield Gap(above, below, words, "", broken=True)
        else:
            yield _across(case, above, below)


def _is_one_bone(above: Body, below: Body) -> bool:
    return above.fragment.bone == below.fragment.bone


def _short(body: Body) -> str:
    return body.fragment.name.replace(" fragment", "")


def _across(case: Case, above: Body, below: Body) -> Gap:
    """A gap with a joint in it, and the fractures between the two pieces."""
    joint = joint_between(case, above.segment, below.segment)
    upper = [hi for _, hi in broken_ranges(case, above.fragment.bone)]
    lower = [lo for lo, _ in broken_ranges(case, below.fragment.bone)]
    broken = [above.fragment.title] if any(hi > above.fragment.to_mm for hi in upper) else []
    broken += [below.fragment.title] if any(lo < below.fragment.from_mm for lo in lower) else []
    words = f"{joint} with the fracture of the {' and '.join(broken)}" if broken else joint
    return Gap(above, below, words, joint, broken=bool(broken))


def joint_between(case: Case, above: str, below: str) -> str:
    """The joints between two segments by name: "knee", "knee and ankle"."""
    names = list(limb_of_case(case).segments)
    between = names[names.index(above) : names.index(below) + 1]
    crossed = [j.id for j in limb_kind(case.limb).joints if {j.above, j.below} <= set(between)]
    return " and ".join(crossed) or f"{above} to {below}"


def _said(
    case: Case, joints: list[Clamp], pieces: tuple[Body, ...], frames: tuple[Held, ...]
) -> Iterator[str]:
    yield from laid_bars(case).problems.values()
    for joint in joints:
        if not joint.reaches:
            bar, other = joint.bar.replace("-", " "), joint.other.replace("-", " ")
            yield f"{bar.capitalize()} does not reach {other}: not counted as joined."
    held = {body.id for frame in frames for body in frame.bodies}
    for body in pieces:
        if body.id in held:
            continue
        counted = [one for one in body.pins if segment_of(case, one.bone) != body.segment]
        if counted:
            yield "The foot counts as one piece: how firmly it is held within is not assessed."
        else:
            yield f"The {body.words} is held alone: its bars do not count."
    yield from _unheld(case, frames)
    if any(len({body.segment for body in frame.bodies}) > 1 for frame in frames):
        yield from [BACK_OF_RING] if case.limb == "pelvis" else []
    if any(support.kind == "splint" for support in case.supports):
        yield "A splint is not counted: the frame alone is calculated."


def _unheld(case: Case, frames: tuple[Held, ...]) -> Iterator[str]:
    """Pieces within the reach of a frame that carry no pin of it."""
    for gap in (gap for frame in frames for gap in frame.gaps):
        for bone in dict.fromkeys((gap.proximal.fragment.bone, gap.distal.fragment.bone)):
            for piece in fragments(case, bone):
                if _lies_in(piece, gap):
                    yield f"The {piece.words} carries no pin: it counts as absent."


def _lies_in(piece: Fragment, gap: Gap) -> bool:
    above, below = gap.proximal.fragment, gap.distal.fragment
    after = piece.bone != above.bone or piece.from_mm >= above.to_mm
    before = piece.bone != below.bone or piece.to_mm <= below.from_mm
    return after and before


def reached_bars(case: Case) -> dict[str, BarPath]:
    """The bars of frames that hold two pieces or more, by id."""
    parts = frozenset[str]().union(*(frame.parts for frame in holding(case).frames))
    return {bar: path for bar, path in laid_bars(case).paths.items() if bar in parts}


def runs_past_gap(bar: Bar, held: tuple[Body, ...]) -> bool:
    """Whether a bar joins two pieces of bone, by pins of both or as a link between bars."""
    pins = set(pins_named(bar))
    pieces = [body for body in held if pins & {pin.id for pin in body.pins}]
    return len(pieces) > 1 or any(isinstance(anchor, BarAnchor) for anchor in bar.anchors)
