"""What is worked out about the selected thing, in words, line by line. No Qt."""

from functools import singledispatch

from fixplan.case.fragments import fragment_of
from fixplan.case.limbs import limb_of_case, segment_of
from fixplan.case.records import Bar, Candidate, Case, Fracture, Injury, Pin
from fixplan.case.scalars import Record
from fixplan.checks.candidate_table import candidate_findings, cell_words
from fixplan.checks.details import pin_details
from fixplan.checks.texts import pins_words
from fixplan.frame.groups import pins_without_bar
from fixplan.frame.joining import laid_bars
from fixplan.frame.lengths import pin_length
from fixplan.frame.pin_words import enters_words, place_lines
from fixplan.geometry.measures import hole_ratio
from fixplan.geometry.paths import PinPath, pin_path
from fixplan.limb.words import level_words


def figures_of(case: Case, thing: Record) -> dict[str, str]:
    """Name and words of each figure, in the order in which they are shown."""
    return _figures(thing, case)


def beside_title(case: Case, thing: Record) -> str:
    """What stands beside a thing's title: its bone and fragment, or its segment."""
    if isinstance(thing, Pin):
        fragment = fragment_of(case, thing)
        title = _bone_title(case, thing.bone)
        return title if fragment is None else f"{title}, {fragment.name}"
    bone = str(getattr(thing, "bone", ""))
    return _bone_title(case, bone) if bone else _segment_title(case, getattr(thing, "segment", ""))


def _bone_title(case: Case, bone: str) -> str:
    known = limb_of_case(case).bones.get(bone)
    return known.title if known else bone


def _segment_title(case: Case, segment: str) -> str:
    known = limb_of_case(case).segments.get(segment)
    return known.title if known else segment


@singledispatch
def _figures(thing: Record, case: Case) -> dict[str, str]:
    del thing, case
    return {}


@_figures.register
def _pin_figures(pin: Pin, case: Case) -> dict[str, str]:
    limb = limb_of_case(case)
    if pin.bone not in limb.bones:
        return {"Unknown": f"this limb has no {pin.bone}; nothing about this pin is assessed"}
    path = pin_path(limb, pin)
    lines = {
        "On no bar": _loose(case, pin),
        "Level": "; ".join(place_lines(limb, pin)),
        "Enters from": enters_words(limb, pin),
        "Depth from skin": _depth(path),
        "Bone across": _ratio(case, pin),
        "Its hole": " ".join(pin_details(case, pin)),
        "Needs": _needs(case, pin),
        "Chosen": _chosen(case, pin),
    }
    return {name: words for name, words in lines.items() if words}


@_figures.register
def _bar_figures(bar: Bar, case: Case) -> dict[str, str]:
    laid = laid_bars(case)
    path = laid.paths.get(bar.id)
    if path is None:
        return {"Not laid": laid.problems.get(bar.id, "its anchors are not there")}
    held = [_held_words(joint.other, joint.reaches) for joint in path.joints]
    chosen = (
        "none is long enough"
        if path.stock_length_mm is None
        else (f"{path.stock_length_mm:.0f} mm")
    )
    return {
        "Holds": ", ".join(held),
        "Needs": f"{path.length_mm:.0f} mm with its overhang",
        "Chosen": f"{chosen}, {path.overhang_mm:.0f} mm over at each end",
    }


@_figures.register
def _fracture_figures(fracture: Fracture, case: Case) -> dict[str, str]:
    segment = segment_of(case, fracture.bone)
    if segment is None:
        return {"Unknown": f"this limb has no {fracture.bone}"}
    limb = limb_of_case(case)
    return {
        "From": level_words(limb, segment, fracture.from_mm, fracture.bone),
        "To": level_words(limb, segment, fracture.to_mm, fracture.bone),
        "Length": f"{fracture.to_mm - fracture.from_mm:.0f} mm",
    }


@_figures.register
def _injury_figures(injury: Injury, case: Case) -> dict[str, str]:
    del case
    views = [view for view in ("front", "side") if getattr(injury, view)]
    if len(views) == 2:
        return {"Reaches": "where its two outlines meet"}
    return {
        "Reaches": f"through the whole depth; drawn in the {views[0]} view only"
        if views
        else "nothing is drawn"
    }


@_figures.register
def _candidate_figures(candidate: Candidate, case: Case) -> dict[str, str]:
    """What each pin is in the way of, pins alike together."""
    findings = candidate_findings(case)
    alike: dict[str, list[Pin]] = {}
    for pin in case.pins:
        alike.setdefault(cell_words(findings, pin.id, candidate.id), []).append(pin)
    return {pins_words(pins): words for words, pins in alike.items()}


def _loose(case: Case, pin: Pin) -> str:
    if all(one.id != pin.id for one in pins_without_bar(case)):
        return ""
    return "not held" if case.bars else "not held; no bar is laid yet"


def _depth(path: PinPath) -> str:
    if not path.hits_bone:
        return "the pin misses the bone here"
    if not path.reaches_bone:
        short_mm = path.tip_end_mm - path.near_mm
        return f"its tip, as set, ends {short_mm:.0f} mm before the bone; set it anew"
    words = f"{path.depth_from_skin_mm:.0f} mm"
    return words if path.skin_known else f"{words}, skin guessed here"


def _ratio(case: Case, pin: Pin) -> str:
    path = pin_path(limb_of_case(case), pin)
    if path.hits_bone and not path.known:
        return "no section is known there; hole and cortices are not assessed"
    ratio = hole_ratio(limb_of_case(case), pin)
    if ratio is None or ratio <= 0:
        return ""
    return f"{pin.diameter_mm / ratio:.0f} mm; the hole takes {100 * ratio:.0f} %"


def _needs(case: Case, pin: Pin) -> str:
    return pin_length(case, pin).words


def _chosen(case: Case, pin: Pin) -> str:
    length = pin_length(case, pin)
    if length.stock_mm is None:
        return "no stocked pin is long enough"
    thread = "" if length.thread_mm is None else f", thread {length.thread_mm:.0f} mm"
    spans = {True: ", spans both cortices", False: ", does not span both cortices", None: ""}
    if _in_plate(case, pin):
        spans = {True: ", all along its way in bone", False: ", not all along its way in bone"}
    if not _is_known(case, pin):
        spans = {}
    doubt = "" if length.covers_doubt else ", too short where the skin lies further out"
    return f"{length.stock_mm:.0f} mm{thread}{spans.get(length.thread_spans, '')}{doubt}"


def _is_known(case: Case, pin: Pin) -> bool:
    """Whether a pin reaches its bone where a section is known: else no cortex of it is told."""
    path = pin_path(limb_of_case(case), pin)
    return path.known and path.reaches_bone


def _in_plate(case: Case, pin: Pin) -> bool:
    """Whether a pin lies between the two tables of a plate, and is not to pass the far one."""
    known = limb_of_case(case).bones.get(pin.bone)
    return known is not None and known.is_plate


def _held_words(subject: str, reaches: bool) -> str:
    words = subject.replace("-", " ")
    return words if reaches else f"{words} (does not reach)"
