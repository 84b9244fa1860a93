"""The difference between two versions of a case, in words: what moved, and what the checks say."""

from collections.abc import Callable, Iterator, Sequence

import msgspec

from fixplan.case.film_pixels import without_pixels
from fixplan.case.limbs import limb_of_case
from fixplan.case.meaning import Drawn
from fixplan.case.naming import KINDS
from fixplan.case.records import Bar, Candidate, Case, Fracture, Injury, Pin, Support, Wound
from fixplan.checks.finding import Finding
from fixplan.checks.texts import candidate_words, number
from fixplan.frame.pin_words import enters_words, place_words
from fixplan.limb.words import ways_of_bone
from fixplan.sheet.tables import bar_cells

SEEN_MM, SEEN_DEG = 0.05, 0.05
SLIGHTLY = "changed by less than is told here"
QUIET = ("label", "notes", "last_number", "retired", "acceptances", "kept_plans", "built", "talks")
"""Fields of a case that are told in words of their own, or not at all."""


class Change(msgspec.Struct, frozen=True, kw_only=True):
    """One change: the id of the thing, "" for the case itself, and words that name it."""

    subject: str
    words: str


def differences(before: Case, after: Case) -> tuple[Change, ...]:
    """Every change of the plan, in the order in which it is drawn; empty: none.

    Where a picture's pixels are kept is no change of the plan.
    """
    before, after = without_pixels(before), without_pixels(after)
    return (*_of_case(before, after), *_of_things(before, after), *_of_rest(before, after))


def finding_changes(before: Sequence[Finding], after: Sequence[Finding]) -> tuple[str, ...]:
    """What the checks say now and did not before, and what is gone; notes are left out."""
    then = {(one.rule, one.subjects): one for one in before if _counts(one)}
    now = {(one.rule, one.subjects): one for one in after if _counts(one)}
    fresh = [f"New {one.severity}: {one.message}" for key, one in now.items() if key not in then]
    gone = [f"No longer found: {one.message}" for key, one in then.items() if key not in now]
    both = [(then[key], one) for key, one in now.items() if key in then]
    return (*fresh, *(words for old, new in both for words in _of_finding(old, new)), *gone)


def _counts(one: Finding) -> bool:
    return one.severity != "note"


def _of_finding(old: Finding, new: Finding) -> Iterator[str]:
    if old.severity != new.severity:
        yield f"Now {new.severity}, was {old.severity}: {new.message}"
    elif old.message != new.message:
        yield f"{new.severity.capitalize()} changed: {new.message}"
    if new.accepted is not None and old.accepted != new.accepted:
        yield f"Accepted since ({new.accepted}): {new.message}"
    if old.accepted is not None and new.accepted is None:
        yield f"No longer accepted: {new.message}"


def _of_case(before: Case, after: Case) -> Iterator[Change]:
    if (before.side, before.limb) != (after.side, after.limb):
        words = f"{after.side} {after.limb}, was {before.side} {before.limb}"
        yield Change(subject="", words=f"The plan is for the {words}")
    if before.label != after.label:
        yield Change(subject="", words=f"Title: {after.label or 'none'}")
    for talk in after.talks:
        if talk not in before.talks:
            yield Change(subject="", words=f"Discussed with {talk.discussed_with}")
    if before.notes != after.notes:
        yield Change(subject="", words="The notes were written anew")


def _of_rest(before: Case, after: Case) -> Iterator[Change]:
    """Whatever else is stored in a case: named, so that no change is left untold."""
    told = {*QUIET, "side", "limb", *(field for _, field in KINDS.values())}
    for field in Case.__struct_fields__:
        if field not in told and getattr(before, field) != getattr(after, field):
            words = field.removesuffix("_deg").replace("_", " ")
            yield Change(subject="", words=f"Changed: {words}")


def _of_things(before: Case, after: Case) -> Iterator[Change]:
    for kind, (_, field) in KINDS.items():
        then = {one.id: one for one in getattr(before, field)}
        now = {one.id: one for one in getattr(after, field)}
        for id_ in [*then, *(one for one in now if one not in then)]:
            old, new = then.get(id_), now.get(id_)
            if old == new and kind is not Bar:
                continue
            words = _words(before, after, old, new)
            if words:
                yield Change(subject=id_, words=f"{name_of(new or old)}: {words}")


def name_of(thing: Drawn | None) -> str:
    """How a thing is called: "Pin 3", "Wound 1"."""
    id_ = "" if thing is None else thing.id
    return id_.replace("-", " ").capitalize()


def _words(before: Case, after: Case, old: Drawn | None, new: Drawn | None) -> str:
    if old is None or new is None:
        gone = "" if old is None else f"taken away, was {_described(before, old)}"
        return gone if new is None else f"added, {_described(after, new)}"
    if isinstance(old, Pin) and isinstance(new, Pin):
        told = list(_of_pin(after, old, new))
    elif isinstance(old, Bar) and isinstance(new, Bar):
        told = list(_of_bar(before, after, old, new))
        if not told and old == new:
            return ""
    else:
        told = list(_of_other(old, new))
    return "; ".join(told) or SLIGHTLY


def _described(case: Case, thing: Drawn) -> str:
    return _DESCRIBE[type(thing)](case, thing)


def _pin_described(case: Case, thing: Drawn) -> str:
    assert isinstance(thing, Pin)
    limb = limb_of_case(case)
    if thing.bone not in limb.bones:
        return f"{thing.bone}, which is not a bone of this limb"
    place, enters = place_words(limb, thing), enters_words(limb, thing)
    title = limb.bones[thing.bone].title
    return f"{title}, {place}, enters from {enters}, {thing.diameter_mm:g} mm thick"


def _bar_described(case: Case, thing: Drawn) -> str:
    assert isinstance(thing, Bar)
    _, held, diameter, length, _ = bar_cells(case, thing)
    return f"holds {held}, {diameter} mm thick, length {length}"


def _title(case: Case, bone: str) -> str:
    """A bone's printed name; its id where the limb has no such bone."""
    known = limb_of_case(case).bones.get(bone)
    return known.title if known else bone


def _kind_described(case: Case, thing: Drawn) -> str:
    if isinstance(thing, Fracture):
        return f"{_title(case, thing.bone)}, {thing.code or 'no code'}, {thing.open_grade}"
    if isinstance(thing, Injury):
        return thing.grade
    if isinstance(thing, Candidate):
        return candidate_words(thing)
    return str(getattr(thing, "kind", ""))


_DESCRIBE: dict[type, Callable[[Case, Drawn], str]] = {
    Pin: _pin_described,
    Bar: _bar_described,
    Fracture: _kind_described,
    Wound: _kind_described,
    Injury: _kind_described,
    Candidate: _kind_described,
    Support: _kind_described,
}


def _of_pin(after: Case, old: Pin, new: Pin) -> Iterator[str]:
    yield from _of_place(after, old, new)
    if old.kind != new.kind:
        yield f"now a {new.kind}-pin, was a {old.kind}-pin"
    if old.diameter_mm != new.diameter_mm:
        yield f"{new.diameter_mm:g} mm thick, was {old.diameter_mm:g}"
    if old.length_mm != new.length_mm:
        yield f"length {_length(new.length_mm)}, was {_length(old.length_mm)}"
    if abs(old.tip_mm - new.tip_mm) > SEEN_MM:
        yield f"tip {number(new.tip_mm, 1)} mm past the far surface, was {number(old.tip_mm, 1)}"
    for field in ("open_approach", "out_before_reaming"):
        now = getattr(new, field)
        if now != getattr(old, field):
            yield f"{field.replace('_', ' ')}: {'yes' if now else 'no'}"
    if old.note != new.note:
        yield f"note: {new.note or 'none'}"


def _of_place(after: Case, old: Pin, new: Pin) -> Iterator[str]:
    """Level, side of entry, tilt and aim; told from where the pin was."""
    if old.bone != new.bone:
        yield f"in the {_title(after, new.bone)}, was in the {_title(after, old.bone)}"
    limb = limb_of_case(after)
    ways = ways_of_bone(limb, new.bone)
    along = new.level_mm - old.level_mm
    if old.bone == new.bone and abs(along) > SEEN_MM:
        now = f", now {place_words(limb, new)}" if limb.edges.get(new.bone) else ""
        yield f"{_mm(along)} mm further {ways.places[along > 0]}{now}"
    turn = (new.bearing_deg - old.bearing_deg + 180) % 360 - 180
    if abs(turn) > SEEN_DEG:
        enters = enters_words(limb, new)
        yield f"turned by {number(abs(turn))}\u00b0, now enters from {enters}"
    tilt = new.tilt_deg - old.tilt_deg
    if abs(tilt) > SEEN_DEG:
        way = ways.places[tilt < 0]
        yield f"outer end tilted {number(abs(tilt))}\u00b0 further {way}"
    if abs(new.offset_mm - old.offset_mm) > SEEN_MM:
        yield f"aim moved across by {_mm(new.offset_mm - old.offset_mm)} mm"


def _mm(value: float) -> str:
    size = abs(value)
    return number(size, 0 if size >= 1 else 1)


def _length(length_mm: float | None) -> str:
    return "as stocked" if length_mm is None else f"{length_mm:g} mm"


def _of_bar(before: Case, after: Case, old: Bar, new: Bar) -> Iterator[str]:
    """What the bar table would say otherwise, also where only its pins have moved."""
    then, now = bar_cells(before, old), bar_cells(after, new)
    for place, words in ((1, "holds {}"), (2, "{} mm thick"), (3, "length {}"), (4, "{} mm off")):
        if then[place] != now[place]:
            yield f"{words.format(now[place])}, was {then[place] or 'not known'}"
    if old.material != new.material:
        yield f"{new.material}, was {old.material}"
    if old.lay != new.lay:
        yield "on the other side of its pins"


def _of_other(old: Drawn, new: Drawn) -> Iterator[str]:
    """A fracture, wound, injury, candidate or support: which of its fields are other ones."""
    for field in type(new).__struct_fields__:
        was, now = getattr(old, field), getattr(new, field)
        if was == now:
            continue
        if isinstance(now, str):
            yield f"{field.replace('_', ' ')} {now or 'none'}, was {was or 'none'}"
        else:
            yield f"{field.removesuffix('_mm').replace('_', ' ')} drawn anew"
