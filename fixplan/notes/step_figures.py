"""The figures of what a step of the build order puts on, one line a pin or bar."""

from collections.abc import Sequence

from fixplan.case.limbs import limb_of_case, pose_of_case
from fixplan.case.records import Bar, Case, Pin
from fixplan.checks.texts import diameter_words, number
from fixplan.frame.joining import bar_paths
from fixplan.frame.lengths import pin_length
from fixplan.frame.pin_words import at_skin_words, place_words
from fixplan.frame.skin_gap import gap_of
from fixplan.geometry.paths import pin_path
from fixplan.limb.anatomy import Limb
from fixplan.limb.words import level_landmark
from fixplan.sheet.tables import NOT_KNOWN, entry_texts, off_words

BETWEEN = " \u00b7 "


def figure_lines(case: Case, puts_on: Sequence[str]) -> tuple[str, ...]:
    """Lines for these pins and bars, by their ids, in the case's own order; millimetres."""
    pins = [pin_line(case, pin) for pin in case.pins if pin.id in puts_on]
    return (*pins, *(bar_line(case, bar) for bar in case.bars if bar.id in puts_on))


def pin_line(case: Case, pin: Pin) -> str:
    """A pin's number, bone, diameter, level, side of entry and length."""
    limb = limb_of_case(case)
    bone = limb.bones.get(pin.bone)
    if bone is None:
        return f"Pin {pin.number}, {pin.bone}: bone not in this limb"
    length = pin_length(case, pin)
    chosen = _chosen_words(length.stock_mm, length.needed_mm)
    told = (
        f"Pin {pin.number}, {bone.title}: \u00d8 {diameter_words(pin.diameter_mm)} mm",
        _level_line(limb, pin),
        entry_texts(limb, pin).replace("\n", ", "),
        chosen if length.skin_known else f"{chosen}, skin not known",
    )
    return BETWEEN.join(told)


def _level_line(limb: Limb, pin: Pin) -> str:
    """A pin's level from its landmark; of a slanting pin that at the skin too (D3)."""
    path = pin_path(limb, pin)
    told, at_skin = place_words(limb, pin), at_skin_words(path)
    mark = level_landmark(limb, path.segment, path.level_at_skin_mm, pin.bone)
    for name in () if mark is None else (mark.name, mark.short):
        if told.endswith(f" the {name}"):
            at_skin = at_skin.replace(f"the {name}", "it")
    return ", ".join(text for text in (told, at_skin) if text)


def bar_line(case: Case, bar: Bar) -> str:
    """A bar's number, diameter, length, and least and most distance off the skin."""
    lead = f"Bar {bar.number}: \u00d8 {diameter_words(bar.diameter_mm)} mm"
    path = bar_paths(case).get(bar.id)
    if path is None:
        return f"{lead}{BETWEEN}cannot be laid"
    length = _chosen_words(path.stock_length_mm, path.length_mm)
    off = off_words(gap_of(pose_of_case(case), path))
    off = off if off == NOT_KNOWN else f"{off} mm"
    return BETWEEN.join((lead, length, f"off the skin: {off}"))


def _chosen_words(stock_mm: float | None, needed_mm: float) -> str:
    """The length to ask for; the needed one where that is short of it or none is stocked."""
    needs = f"needs {number(needed_mm)} mm"
    if stock_mm is None:
        return f"no length stocked, {needs}"
    chosen = f"length {number(stock_mm)} mm"
    return chosen if stock_mm >= needed_mm else f"{chosen}, {needs}"
