from pathlib import Path

import pytest
from msgspec.structs import replace

from fixplan.checks.rules import evidence, publications, rule_by_id, rule_set_version, rules
from fixplan.checks.run import check
from fixplan.checks.scene import default_margin_mm
from fixplan.errors import LibraryError
from fixplan.frame.patterns import kin_of
from fixplan.limb.authored_files import authored_segments
from fixplan.limb.kinds import limb_kinds
from fixplan.limb.scale import limb_of


def house(monkeypatch: pytest.MonkeyPatch, folder: Path, text: str) -> None:
    path = folder / "house.toml"
    path.write_text(text)
    monkeypatch.setenv("FIXPLAN_HOUSE", str(path))


def test_a_house_file_changes_a_limit_and_a_margin(leg, monkeypatch, tmp_path: Path):
    before = {one.rule for one in check(leg)}
    house(
        monkeypatch,
        tmp_path,
        "[[rules.rule]]\nid = 'rule.pin.fracture'\nbelow = { stop = 60 }\n"
        "[margins.margin_mm]\nleg = 45\n",
    )
    after = {one.rule for one in check(replace(leg))}
    assert "rule.pin.fracture" not in before
    assert {"rule.pin.fracture", "rule.pin.injury"} <= after
    assert default_margin_mm("leg") == 45


def test_a_house_rule_without_known_evidence_is_refused_by_name(leg, monkeypatch, tmp_path: Path):
    house(monkeypatch, tmp_path, "[[rules.rule]]\nid = 'rule.pin.wound'\nevidence = ['XX-1']\n")
    with pytest.raises(LibraryError, match=r"rule\.pin\.wound cites XX-1"):
        check(leg)


def test_a_house_rule_of_an_unknown_kind_is_refused_by_name(leg, monkeypatch, tmp_path: Path):
    house(
        monkeypatch,
        tmp_path,
        "[[rules.rule]]\nid = 'rule.ours'\nkind = 'moon'\nsubject = 'pin'\ntext = 'x'\n"
        "why = 'x'\nevidence = ['PP-01']\n",
    )
    with pytest.raises(LibraryError, match=r"rule\.ours.*moon"):
        check(leg)


def test_a_new_rule_of_a_known_kind_needs_no_code(leg, monkeypatch, tmp_path: Path):
    house(
        monkeypatch,
        tmp_path,
        "[[rules.rule]]\nid = 'rule.pin.fracture-wide'\nkind = 'pin-to-fracture'\n"
        "subject = 'pin'\nunit = 'mm'\nbelow = { note = 70 }\n"
        "text = '{pin} to the fracture: {measured} mm, limit {limit} mm'\n"
        "why = 'ours'\nevidence = ['PP-01']\n",
    )
    (found,) = [one for one in check(leg) if one.rule == "rule.pin.fracture-wide"][:1]
    assert found.severity == "note"
    assert found.limit == 70


def test_every_rule_says_why_and_what_it_cites():
    for rule in rules():
        assert rule.why.endswith(".")
        assert rule.cited.startswith(rule.evidence[0])
        assert set(rule.sources) <= set(publications())


def test_every_rule_names_landmarks_and_bones_that_some_limb_has():
    limbs = [limb_of(kind, "male", 1750.0, 80.0, (), ()) for kind in limb_kinds()]
    known = {mark.id for limb in limbs for mark in limb.landmarks}
    known |= {name.removesuffix(end) for name in known for end in ("_right", "_left")}
    bones = {bone for limb in limbs for bone in limb.bones}
    bones |= {name.removesuffix(end) for name in bones for end in ("-right", "-left")}
    bones |= {kin_of(name) for name in bones}
    for rule in rules():
        named = [rule.landmark] if rule.landmark else []
        named += [band.landmark for band in rule.bands]
        named += rule.numbers if rule.kind == "pin-in-heel" else []
        assert set(named) <= known
        assert set(rule.bones) <= bones


def test_every_structure_that_a_rule_names_is_drawn_in_some_limb():
    drawn = {
        hazard.track
        for kind in limb_kinds()
        for segment in authored_segments(kind).values()
        for level in segment.levels
        for hazard in level.hazards
    }
    for rule in rules():
        assert set(rule.tracks) <= drawn


def test_evidence_says_how_sure_it_is():
    for one in evidence().values():
        assert one.status
        assert one.strength
        assert one.cite


def test_the_rule_set_has_a_short_version():
    assert rule_set_version() == rule_set_version()
    assert len(rule_set_version()) < 20


def test_an_unknown_rule_is_none():
    assert rule_by_id("rule.moon") is None
