"""Sections in groups: a phalanx is cut with its own finger's skin, and only where it is known."""

import msgspec
import numpy as np
import pytest
import shapely

from fixplan.case.records import Case
from fixplan.checks.clear_sides import clear_bands, shape_of
from fixplan.checks.hazards import hazards_assessed
from fixplan.checks.run import check
from fixplan.errors import LibraryError
from fixplan.frame.new_pins import new_pin
from fixplan.geometry.clear_limb import Margins, bands_at
from fixplan.geometry.hazard_gaps import hazard_gaps
from fixplan.geometry.obstacle_hits import other_bones_met
from fixplan.geometry.paths import pin_path
from fixplan.geometry.section_structures import structures_at
from fixplan.limb.authored import AuthoredSegment, SectionGroup
from fixplan.limb.authored_files import authored_segments
from fixplan.limb.judging import judge
from fixplan.limb.kinds import limb_kinds
from fixplan.limb.rings import middle
from fixplan.limb.scale import limb_of

LIMBS = {kind: limb_of(kind) for kind in limb_kinds()}
GROUPS = [
    (kind, name)
    for kind, limb in LIMBS.items()
    for name, one in limb.groups.items()
    if name != one.name
]
HAND = authored_segments("arm")["hand"]
INDEX = "proximal-phalanx-2"
change = msgspec.structs.replace

groups = pytest.mark.parametrize(("kind", "group"), GROUPS, ids=[name for _, name in GROUPS])


@groups
def test_a_group_is_known_between_its_levels_and_not_beyond(kind: str, group: str) -> None:
    limb = LIMBS[kind]
    first, last = limb.known_mm(group)
    assert limb.group_of(group) == group
    assert not limb.bones[group].drawn_only
    case = Case(limb=limb.kind, side="right")
    for level, is_known in ((first + 0.1, True), ((first + last) / 2, True), (last + 1.5, False)):
        cut = limb.section(group, level)
        assert cut is None or cut.known is is_known
        if cut is None:
            continue
        path = pin_path(limb, change(new_pin(case, group, level), tilt_deg=0.0))
        assert hazards_assessed(path) is is_known
        bands = clear_bands(limb, group, level, shape_of(path.pin))
        assert (bands is not None) is is_known


@groups
def test_what_bands_leave_clear_is_clear_in_space(kind: str, group: str) -> None:
    """Bearings in the plane against gaps of the same pins in space, 5 mm on both sides."""
    limb = LIMBS[kind]
    round_ones = {h.name for lv in limb.groups[group].authored.levels for h in lv.hazards if h.at}
    random = np.random.default_rng(11)
    for level in random.uniform(*limb.known_mm(group), 3).tolist():
        like = change(new_pin(Case(limb=limb.kind, side="right"), group, level), tilt_deg=0.0)
        bands = bands_at(limb, group, level, shape_of(like), Margins(5.0))
        assert bands is not None
        for bearing in random.uniform(0, 360, 12).tolist():
            blocks = bands.clear.blocked_at(bearing)
            told = {one.part for one in blocks if one.name in round_ones}
            gaps = hazard_gaps(limb, pin_path(limb, change(like, bearing_deg=bearing)), 12.0)
            if any(abs(gap.gap_mm - 5.0) < 0.5 for gap in gaps):
                continue
            assert {gap.part for gap in gaps if gap.gap_mm < 5.0} == told, (level, bearing)


@groups
def test_a_typed_width_widens_the_bone_where_it_lies(kind: str, group: str) -> None:
    usual = LIMBS[kind]
    level = sum(usual.known_mm(group)) / 2
    before = usual.section(group, level)
    assert before is not None
    width = float(np.ptp(before.outline[:, 0]))
    wide = limb_of(kind, bones=((group, None, 1.2 * width),))
    after = wide.section(group, level)
    assert after is not None
    assert np.ptp(after.outline[:, 0]) == pytest.approx(1.2 * width)
    assert after.target == pytest.approx(before.target, abs=1e-6)
    line = shapely.LineString([(-300, level), (300, level)])
    off = []
    for limb, cut in ((usual, before), (wide, after)):
        drawn = shapely.Polygon(limb.outline(group, "side")).intersection(line).bounds
        off.append((drawn[0] + drawn[2]) / 2 - middle(cut.outline)[1])
    assert off[1] == pytest.approx(1.2 * off[0], abs=0.15)
    if usual.segments[usual.bones[group].segment].front_shows == "forward":
        first, second = (limb.outline(group, "front") for limb in (usual, wide))
        about = (second - 1.2 * first)[0] / -0.2
        assert first.min(axis=0)[0] < about[0] < first.max(axis=0)[0]
        assert first.min(axis=0)[1] < about[1] < first.max(axis=0)[1]


@pytest.mark.parametrize("group", [name for kind, name in GROUPS if kind == "arm"])
def test_a_pin_as_a_click_gives_it_in_a_finger_has_no_stop(group: str) -> None:
    case, (first, last) = Case(limb="arm", side="right"), LIMBS["arm"].known_mm(group)
    for share in (0.02, 0.3, 0.6, 0.98):
        pin = change(new_pin(case, group, first + share * (last - first)), id="pin-1")
        found = check(change(case, pins=(pin,), last_number=1))
        assert [one.message for one in found if one.severity == "stop"] == []
        assert not {one.rule for one in found} & {"rule.pin.side", "rule.section.unknown"}


@pytest.mark.parametrize("kind", sorted({kind for kind, _ in GROUPS}))
def test_a_mirrored_limb_with_pins_in_every_group_gives_the_same_findings(kind: str) -> None:
    limb = LIMBS[kind]
    case = Case(limb=limb.kind, side="right")
    pins = tuple(
        change(
            new_pin(case, group, sum(limb.known_mm(group)) / 2),
            id=f"pin-{number}",
            number=number,
        )
        for number, group in enumerate((name for of, name in GROUPS if of == kind), 1)
    )
    found = [
        check(change(case, side=side, pins=pins, last_number=len(pins)))
        for side in ("right", "left")
    ]
    assert found[0] == found[1]
    told = {subject for one in found[0] for subject in one.subjects}
    assert {pin.id for pin in pins} <= told


@groups
def test_a_small_hand_or_foot_keeps_bone_within_skin_and_structures_off_bone(
    kind: str, group: str
) -> None:
    small = limb_of(kind, "female", 1500.0, 45.0)
    for level in np.linspace(*small.known_mm(group), 7).tolist():
        cut, skin = small.section(group, level), small.skin(group, level)
        assert cut is not None
        assert skin is not None
        bone = shapely.Polygon(cut.outline)
        assert shapely.Polygon(skin).contains(bone)
        for one in structures_at(small, group, level).round:
            assert shapely.distance(bone, shapely.Point(one.at)) > 0, one.name


def test_a_finger_has_its_own_skin_and_the_next_one_is_an_obstacle() -> None:
    limb = LIMBS["arm"]
    level = sum(limb.known_mm(INDEX)) / 2
    skin, cut = limb.skin(INDEX, level), limb.section(INDEX, level)
    middle_finger = limb.section("proximal-phalanx-3", level)
    assert skin is not None
    assert cut is not None
    assert middle_finger is not None
    assert np.ptp(skin[:, 0]) < 24
    finger = shapely.Polygon(skin)
    assert finger.contains(shapely.Polygon(cut.outline))
    assert finger.disjoint(shapely.Polygon(middle_finger.outline))
    towards = new_pin(Case(limb="arm", side="right"), "proximal-phalanx-3", level)
    met = other_bones_met(limb, pin_path(limb, change(towards, bearing_deg=0.0, tip_mm=0.0)))
    assert met == ()
    bands = bands_at(limb, "proximal-phalanx-3", level, shape_of(towards), Margins(0.5))
    assert bands is not None
    assert INDEX in {one.name for one in bands.clear.blocked_at(0.0)}


def with_group(**changes: object) -> AuthoredSegment:
    first, *others = HAND.groups
    return change(HAND, groups=(change(first, **changes), *others))


GROUP: SectionGroup = HAND.groups[0]


@pytest.mark.parametrize(
    ("segment", "words"),
    [
        (change(HAND, groups=(*HAND.groups, HAND.groups[0])), "cut in two groups of sections"),
        (
            with_group(levels=(change(GROUP.levels[0], id="hand-0"), *GROUP.levels[1:])),
            "hand-0 stands in two groups",
        ),
        (
            change(HAND, levels=(*HAND.levels[:-1], change(HAND.levels[-1], z=1.4))),
            "beyond the segment's span",
        ),
        (with_group(primary="metacarpal-2"), "its primary bone"),
    ],
)
def test_a_fault_of_groups_is_told(segment: AuthoredSegment, words: str) -> None:
    with pytest.raises(LibraryError, match=words):
        judge(segment, b"changed groups")
