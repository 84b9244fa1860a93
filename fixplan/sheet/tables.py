"""The pin table and the bar table, as blocks of rows."""

import functools
from collections.abc import Iterator, Mapping

from fixplan.case.limbs import limb_of_case, pose_of_case
from fixplan.case.records import Bar, BarAnchor, Case, Pin, PinAnchor
from fixplan.checks.texts import listed, number, pins_words
from fixplan.frame.groups import pins_without_bar
from fixplan.frame.joining import BarPath, bar_paths
from fixplan.frame.lengths import PinLength
from fixplan.frame.pin_words import entry_lines, place_lines
from fixplan.frame.skin_gap import BarGap, gap_of
from fixplan.frame.vectors import dot, minus
from fixplan.geometry.paths import pin_path
from fixplan.limb.anatomy import Limb
from fixplan.limb.words import across_words, aside_words
from fixplan.sheet.rows import Block, Column, Row, head_row, table_row, text_row

NO_BAR = "on no bar"
NOT_KNOWN = "not known"
UNMEASURED_NOTE = "; as drawn: how much skin and fat vary there was not measured"
NO_BREAK = "\u00a0"

_PIN_SHARES = (
    ("No.", 0.05),
    ("Bone", 0.115),
    ("Level at the bone", 0.335),
    ("Enters from", 0.215),
    ("Skin to tip", 0.12),
    ("Ø", 0.045),
    ("Length", 0.12),
)
_BAR_SHARES = (
    ("No.", 0.1),
    ("Holds, at mm", 0.28),
    ("Ø", 0.08),
    ("Length", 0.29),
    ("Off the skin", 0.25),
)


@functools.cache
def _columns(kind: str, width_mm: float) -> tuple[Column, ...]:
    shares = _PIN_SHARES if kind == "pins" else _BAR_SHARES
    return tuple(
        Column(head, share * width_mm, bold=index == 0)
        for index, (head, share) in enumerate(shares)
    )


def entry_texts(limb: Limb, pin: Pin) -> str:
    """A pin's side of entry in words, with what else must be known at the table."""
    side, *slant = entry_lines(limb, pin)
    texts = [side, *_where(limb, pin), *slant]
    if pin.kind == "through":
        texts.append("through-pin")
    if pin.open_approach:
        texts.append("open approach")
    if pin.out_before_reaming:
        texts.append("out before reaming")
    return "\n".join(texts)


def _where(limb: Limb, pin: Pin) -> Iterator[str]:
    """Where across the limb a pin stands, where its level and its side do not tell it."""
    path = pin_path(limb, pin)
    across = across_words(limb, pin.bone, pin.bearing_deg, float(path.skin_point_mm[1]))
    if across:
        yield f"on the skin {across}"
    elif aside := aside_words(limb, pin.bone, pin.bearing_deg, pin.offset_mm):
        yield aside


def length_text(length: PinLength) -> str:
    """The chosen length, and the needed one beneath."""
    needed = f"needs {number(length.needed_mm)}"
    if length.stock_mm is None:
        return f"none stocked\n{needed}"
    return f"{number(length.stock_mm)}\n{needed}"


@functools.lru_cache(maxsize=1024)
def _pin_row(
    limb: Limb, pin: Pin, length: PinLength, width_mm: float, size_mm: float, remark: str
) -> Row:
    path = pin_path(limb, pin)
    depth = f"{number(path.depth_from_skin_mm)} {length.doubt_words}"
    if pin.kind == "through":
        depth = f"{depth}\nskin to skin"
    cells = (
        str(pin.number),
        limb.bones[pin.bone].title,
        "\n".join(place_lines(limb, pin)),
        "\n".join(text for text in (entry_texts(limb, pin), remark) if text),
        depth if path.skin_known else "skin not known",
        number(pin.diameter_mm, 0 if pin.diameter_mm == round(pin.diameter_mm) else 1),
        length_text(length),
    )
    return table_row(_columns("pins", width_mm), cells, size_mm)


def _unknown_row(pin: Pin, width_mm: float, size_mm: float) -> Row:
    cells = (str(pin.number), f"{pin.bone}: unknown", "bone not in this limb", "", "", "", "")
    return table_row(_columns("pins", width_mm), cells, size_mm)


def pin_block(
    case: Case, lengths: Mapping[str, PinLength], width_mm: float, size_mm: float
) -> Block:
    """The pin table; `lengths` holds the pins that can be drawn."""
    limb = limb_of_case(case)
    loose = pins_without_bar(case) if case.bars else ()
    rows = [
        _pin_row(limb, pin, lengths[pin.id], width_mm, size_mm, NO_BAR if pin in loose else "")
        if pin.id in lengths
        else _unknown_row(pin, width_mm, size_mm)
        for pin in case.pins
    ]
    if not rows:
        rows = [text_row("No pin is drawn.", width_mm, size_mm)]
    head = head_row(_columns("pins", width_mm), size_mm)
    return Block("table:pins", "PINS", tuple(rows), head, _length_note(lengths))


def _length_note(lengths: Mapping[str, PinLength]) -> str:
    """The unit, and what it means where a depth has no ±."""
    plain = any(one.skin_known and one.uncertainty_mm is None for one in lengths.values())
    return f"all lengths in mm{UNMEASURED_NOTE if plain else ''}"


def held_words(bar: Bar, case: Case) -> str:
    """What a bar holds, in words: "pins 1 and 2, bar 3"."""
    ids = [a.pin for a in bar.anchors if isinstance(a, PinAnchor)] + list(bar.also)
    pins = [pin for pin in case.pins if pin.id in ids]
    held = [a.bar for a in bar.anchors if isinstance(a, BarAnchor)]
    bars = [str(other.number) for other in case.bars if other.id in held]
    words = [pins_words(pins).lower()] if pins else []
    if bars:
        words.append(f"{'bar' if len(bars) == 1 else 'bars'} {listed(bars)}")
    return ", ".join(words)


@functools.lru_cache(maxsize=256)
def _bar_row(cells: tuple[str, ...], width_mm: float, size_mm: float) -> Row:
    return table_row(_columns("bars", width_mm), cells, size_mm)


def bar_cells(case: Case, bar: Bar) -> tuple[str, ...]:
    """A bar's number, what it holds, its diameter, its length and how far off the skin it runs."""
    return (str(bar.number), held_words(bar, case), *bar_sizes(case, bar))


def bar_sizes(case: Case, bar: Bar) -> tuple[str, str, str]:
    """A bar's diameter, its length and how far off the skin it runs."""
    path = bar_paths(case).get(bar.id)
    diameter = number(bar.diameter_mm)
    if path is None:
        return (diameter, "cannot be laid", "")
    stock = path.stock_length_mm
    chosen = "none stocked" if stock is None else number(stock)
    needed = f"needs {number(path.length_mm)}"
    off = off_words(gap_of(pose_of_case(case), path))
    return (diameter, f"{chosen}, {needed}", off)


def _placed_cells(case: Case, bar: Bar) -> tuple[str, ...]:
    """A bar's cells with the places of its clamps."""
    number_, held, *others = bar_cells(case, bar)
    path = bar_paths(case).get(bar.id)
    return (number_, held if path is None else clamp_words(case, path), *others)


def clamp_words(case: Case, path: BarPath) -> str:
    """What a bar holds and where: "pin 1 at 20, bar 3 at 62", mm from its end at the first."""
    start_mm, _ = path.ends_along_mm
    held = {joint.other: joint.along_mm for joint in path.joints}
    for other in bar_paths(case).values():
        for joint in other.joints:
            if joint.other == path.bar.id:
                across = minus(joint.at_other_mm, path.origin_mm)
                held[other.bar.id] = dot(across, path.direction)
    return ", ".join(
        f"{one.replace('-', NO_BREAK)}{NO_BREAK}at{NO_BREAK}{number(along - start_mm)}"
        for one, along in sorted(held.items(), key=lambda item: item[1])
    )


def off_words(gap: BarGap | None) -> str:
    """Least and most distance of a bar from the skin, mm."""
    if gap is None:
        return NOT_KNOWN
    if gap.most_mm is None:
        least = _off(gap.least_mm)
        return f"at least {least}" if gap.least_mm >= 0 else f"{least} at one place"
    return " to ".join(dict.fromkeys((_off(gap.least_mm), _off(gap.most_mm))))


def _off(gap_mm: float) -> str:
    """A distance from the skin; below it in words: "39 inside"."""
    return number(gap_mm) if gap_mm >= 0 else f"{number(-gap_mm)} inside"


def bar_block(case: Case, width_mm: float, size_mm: float) -> Block:
    """The bar table; distances run from the bar's surface."""
    rows = tuple(_bar_row(_placed_cells(case, bar), width_mm, size_mm) for bar in case.bars)
    if not rows:
        rows = (text_row("No bar is drawn.", width_mm, size_mm),)
    head = head_row(_columns("bars", width_mm), size_mm)
    return Block(
        "table:bars",
        "BARS",
        rows,
        head,
        "clamps from the end at the first; skin to surface of the bar; mm",
    )
