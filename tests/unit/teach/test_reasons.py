"""Why a rule is there: every rule explains itself, and the page holds all of it."""

from html.parser import HTMLParser

import pytest

from fixplan.case.records import Case, Fracture, LimbSize, Pin
from fixplan.checks.rules import evidence, rule_by_id, rules
from fixplan.checks.run import check
from fixplan.limb.library import load_toml
from fixplan.teach.reasons import (
    DisputeFile,
    disputes,
    found_entries,
    found_grounds,
    limit_words,
    rule_entries,
)
from fixplan.teach.rules_page import entry_html, whole_page, why_html


def test_every_rule_has_a_reason_a_limit_and_a_source():
    entries = rule_entries()
    assert [one.rule.id for one in entries] == [rule.id for rule in rules()]
    assert [one.name for one in entries if not one.rule.why or not one.limits] == []
    assert [one.name for one in entries if not all(ground.works for ground in one.grounds)] == []


def test_every_dispute_bears_on_a_rule():
    # a question of an exercise, lists of diameters and of customary sides
    elsewhere = {"VI-01", "PD-08", "PD-10", "CO-M2"}
    cited = {name for rule in rules() for name in rule.evidence} | elsewhere
    listed = load_toml("disputes.toml", DisputeFile).dispute
    assert [one.topic for one in listed if not set(one.evidence) <= set(evidence())] == []
    assert [one.topic for one in listed if not set(one.evidence) & cited] == []


def test_disputed_evidence_is_told_as_disputed():
    told = {
        name for one in load_toml("disputes.toml", DisputeFile).dispute for name in one.evidence
    }
    assert {one.id for one in evidence().values() if one.strength == "disputed"} <= told
    assert disputes(("PP-01",)) == ()


def test_limits_are_told_in_words():
    assert limit_words(rule_by_id("rule.pin.hole-ratio"))[:2] == (
        "a stop over 33.33 %",
        "a caution over 25 %",
    )
    front = "a stop under 46 mm, a caution under 75 mm (front)"
    assert front in limit_words(rule_by_id("rule.pin.suprapatellar-pouch"))
    zone = limit_words(rule_by_id("rule.pin.injury"))
    assert "a caution where the zone is bruised" in zone
    assert "a caution with an open approach" in limit_words(rule_by_id("rule.pin.nerve-near"))


def test_every_case_of_a_severity_has_words_of_its_own():
    cases = [line for rule in rules() for line in limit_words(rule)]
    assert not [line for line in cases if " if " in line]


def test_a_search_finds_by_any_word_of_rule_evidence_and_source():
    assert len(found_entries("")) == len(rules())
    by_author = {one.rule.id for one in found_entries("dissaneewate pouch")}
    assert "rule.pin.suprapatellar-pouch" in by_author
    assert len(by_author) < len(rules())
    assert found_entries("zzzz") == ()


def test_numbers_behind_no_rule_are_found_too():
    behind = {name for rule in rules() for name in rule.all_evidence}
    told = {one.evidence.id for one in found_grounds("")}
    assert told == set(evidence()) - behind
    assert {one.evidence.id for one in found_grounds("of-08 antibiotic")} <= {"OF-08"}
    assert all(name in whole_page() for name in told)


class _Tags(HTMLParser):
    """Counts what is opened and not closed."""

    def __init__(self):
        super().__init__()
        self.open, self.anchors = [], []

    def handle_starttag(self, tag, attrs):
        if tag not in ("meta", "br", "img"):
            self.open.append(tag)
        self.anchors += [value for name, value in attrs if name == "id"]

    def handle_endtag(self, tag):
        assert self.open.pop() == tag


def test_the_page_is_sound_html_and_holds_every_rule():
    page = _Tags()
    page.feed(whole_page())
    assert page.open == []
    assert page.anchors == [*(rule.id for rule in rules()), "other-numbers"]


def test_words_of_the_files_cannot_break_the_page():
    assert "<script" not in whole_page()
    assert "&lt;" in entry_html(rule_entries()[0]._replace(name="<script>"))


@pytest.fixture
def case():
    return Case(
        side="right",
        size=LimbSize(stature_mm=1780, sex="male"),
        fractures=(Fracture(id="fracture-1", bone="tibia", from_mm=190, to_mm=210),),
        pins=(
            Pin(id="pin-1", number=1, bone="tibia", level_mm=180, bearing_deg=140, diameter_mm=5),
        ),
        last_number=1,
    )


def test_the_answer_to_why_has_number_strength_and_source(case):
    finding = next(one for one in check(case) if one.rule == "rule.pin.fracture")
    page = why_html(finding)
    assert "Measured 8 mm, limit 20 mm" in page  # as the finding tells it
    assert "convention: habit or the opinion of experts" in page
    assert "Giotakis" in page
    assert "No outcome study of a cut-off was found" in page


def test_the_answer_to_why_tells_where_sources_disagree(case):
    low = Case(side="right", pins=(case.pins[0],), fractures=case.fractures)
    finding = next(one for one in check(low) if one.rule == "rule.pin.fracture")
    assert "Where sources disagree" not in why_html(finding)
    plated = next(one for one in rule_entries() if one.rule.id == "rule.pin.plate")
    assert "Where sources disagree" in entry_html(plated)
    assert "p = 0.48" in entry_html(plated)
