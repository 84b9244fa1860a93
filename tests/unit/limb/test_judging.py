"""Faults in authored anatomy are told where they stand, when it is read."""

import msgspec
import pytest

from fixplan.errors import LibraryError
from fixplan.limb.authored import AuthoredLevel, AuthoredSegment, Spread
from fixplan.limb.authored_files import authored_segments
from fixplan.limb.judging import judge, judge_level, judge_segment
from fixplan.limb.kinds import limb_kinds

SEGMENTS = [one for kind in limb_kinds() for one in authored_segments(kind).values()]
HAND = authored_segments("arm")["hand"]
change = msgspec.structs.replace


def with_level(level: AuthoredLevel) -> AuthoredSegment:
    return change(HAND, levels=(level, *HAND.levels[1:]))


def with_hazard(**changes: object) -> AuthoredLevel:
    first, *others = HAND.levels[0].hazards
    return change(HAND.levels[0], hazards=(change(first, **changes), *others))


def with_outline(*corners: tuple[float, float]) -> AuthoredLevel:
    return with_hazard(at=None, radius_mm=None, outline=corners)


def with_bone(**changes: object) -> AuthoredSegment:
    first, *others = HAND.bones
    return change(HAND, bones=(change(first, **changes), *others))


SPREAD = Spread(
    track="radial-artery",
    what="crosses",
    measure="bearing",
    evidence=("AN-01",),
    source="",
    status="",
)


@pytest.mark.parametrize("segment", SEGMENTS, ids=lambda one: one.segment)
def test_what_is_shipped_has_no_fault(segment: AuthoredSegment) -> None:
    judge_segment(segment)
    for level in segment.levels:
        judge_level(segment, level)


@pytest.mark.parametrize(
    ("level", "words"),
    [
        (with_hazard(at=(0.0, 0.0)), "lies inside the metacarpal-2"),
        (with_hazard(at=(0.0, 60.0)), "lies outside the skin"),
        (with_hazard(radius_mm=None), "no radius"),
        (with_hazard(at=None), "either a place or an outline"),
        (with_outline((20, 5), (24, 9), (24, 5), (20, 9)), "crosses itself"),
        (with_outline((20, 5), (60, 5), (20, 9)), "reaches outside the skin"),
        (with_outline((-2, -2), (2, -2), (0, 2)), "reaches into the metacarpal-2"),
        (
            change(HAND.levels[0], skin=tuple(reversed(HAND.levels[0].skin))),
            "skin is not seen whole",
        ),
        (
            change(HAND.levels[0], skin=tuple((0.2 * x, 0.2 * y) for x, y in HAND.levels[0].skin)),
            "outside the skin",
        ),
    ],
)
def test_a_fault_of_a_level_is_told(level: AuthoredLevel, words: str) -> None:
    with pytest.raises(LibraryError, match=f"Anatomy of the hand, level hand-0: .*{words}"):
        judge(with_level(level), b"changed")


@pytest.mark.parametrize(
    ("segment", "words"),
    [
        (change(HAND, bones=(*HAND.bones, HAND.bones[0])), "metacarpal-2 stands twice"),
        (change(HAND, levels=HAND.levels[::-1]), "proximal to distal"),
        (
            with_level(change(HAND.levels[0], bones=HAND.levels[0].bones[1:])),
            "lacks metacarpal-2",
        ),
        (change(HAND, bones=HAND.bones[1:]), "not among its bones"),
        (
            with_level(
                change(HAND.levels[0], hazards=(HAND.levels[0].hazards[0], *HAND.levels[0].hazards))
            ),
            "radial-artery twice",
        ),
        (
            with_bone(front=((0, 0), (9, 9), (9, 0), (0, 9))),
            "the front outline of .* crosses itself",
        ),
        (with_bone(side=((0, 0), (9, 9), (9, 0), (0, 9))), "the side outline of .* crosses itself"),
        (change(HAND, spreads=(SPREAD,)), "radial-artery .* holds no number"),
        (
            change(HAND, spreads=(change(SPREAD, track="tendon-of-nothing", sd=2.0),)),
            "tendon-of-nothing .* is of no structure",
        ),
    ],
)
def test_a_fault_of_a_segment_is_told_when_it_is_read(segment: AuthoredSegment, words: str) -> None:
    with pytest.raises(LibraryError, match=words):
        judge(segment, b"changed")


def test_a_file_found_whole_is_not_judged_again_until_it_changes(tmp_path, monkeypatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    faulty = change(HAND, levels=HAND.levels[::-1])
    judge(HAND, b"one")
    judge(faulty, b"one")
    with pytest.raises(LibraryError):
        judge(faulty, b"two")
    judge(HAND, b"two")
    assert len(list(tmp_path.rglob("*.whole"))) == 1
