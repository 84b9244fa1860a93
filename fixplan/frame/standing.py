"""What of an earlier frame a starting frame across a joint can be joined to, or stand on."""

from collections.abc import Mapping

from fixplan.case.fragments import fragment_of, fragments
from fixplan.case.limbs import bar_systems, spanned_by
from fixplan.case.records import Case, Pin
from fixplan.frame.bar_choices import Group
from fixplan.frame.joining import bar_paths
from fixplan.frame.order import bars_in_words, pins_in_words
from fixplan.frame.patterns import Pattern

ENOUGH = 2
"""Pins in one fragment that can carry a further bar."""


def standing_bars(case: Case, chosen: Pattern) -> Mapping[str, str]:
    """For each of the pattern's bones with such a bar: the one nearest its joint that pins hold.

    None where a frame spans the joint already: that is a former frame of this kind.
    """
    if not chosen.spans or any(spanned_by(case, chosen.spans, one) for one in bar_systems(case)):
        return {}
    found = {bone: _nearest_bar(case, bone, chosen.bones) for bone in chosen.bones}
    return {bone: bar for bone, bar in found.items() if bar}


def _nearest_bar(case: Case, bone: str, bones: Group) -> str:
    """The bar on two pins of one fragment whose pins are nearest to the joint; empty for none."""
    pins = {pin.id: pin for pin in case.pins if pin.bone == bone}
    sign = 1.0 if bone == bones[0] else -1.0
    held: list[tuple[float, str]] = []
    for bar, path in bar_paths(case).items():
        on = [pins[joint.other] for joint in path.joints if joint.other in pins]
        by_piece = [fragment_of(case, pin) for pin in on]
        if any(one is not None and by_piece.count(one) >= ENOUGH for one in by_piece):
            held.append((max(sign * pin.level_mm for pin in on), bar))
    return max(held, default=(0.0, ""))[1]


def standing_pins(case: Case, chosen: Pattern) -> Mapping[str, Group]:
    """For each of the pattern's bones: the pins of its fragment nearest the joint with enough."""
    found = {bone: _nearest_pins(case, bone, chosen.bones) for bone in chosen.bones}
    return {bone: tuple(pin.id for pin in pins) for bone, pins in found.items() if pins}


def _nearest_pins(case: Case, bone: str, bones: Group) -> list[Pin]:
    pieces = fragments(case, bone)
    for piece in reversed(pieces) if bone == bones[0] else pieces:
        inside = [
            pin
            for pin in case.pins
            if pin.bone == bone
            and pin.kind == "half"
            and piece.from_mm <= pin.level_mm <= piece.to_mm
        ]
        if len(inside) >= ENOUGH:
            return sorted(inside, key=lambda pin: pin.level_mm)
    return []


def joined_words(before: Case, after: Case, bars: Mapping[str, str]) -> str:
    """Says which bars stay, with their pins, that the frame is joined to them, and which move."""
    meant = [bar for bar in before.bars if bar.id in bars.values()]
    words = bars_in_words(meant)
    kept, it = ("with its pins is", "it") if len(meant) == 1 else ("with their pins are", "them")
    moved = bars_in_words([bar for bar in meant if bar not in after.bars])
    further = f"; {moved} {'stand' if ' and ' in moved else 'stands'} further out now"
    return (
        f"{words[0].upper()}{words[1:]} {kept} kept, and this frame is joined to {it}"
        f"{further if moved else ''}."
    )


def stood_on_words(case: Case, pins: Mapping[str, Group]) -> str:
    """Says which pins stay and carry the frame, because there was no room for others."""
    ids = {pin for group in pins.values() for pin in group}
    words = pins_in_words([pin for pin in case.pins if pin.id in ids])
    return (
        f"{words[0].upper()}{words[1:]} stood there already and no other place was free, so they "
        "carry this frame."
    )
