"""What a control is for: every entry leads to rules that exist."""

import pytest

from fixplan.case.records import Bar, Fracture, Injury, Pin, Plate
from fixplan.checks.rules import evidence, rule_by_id
from fixplan.desk.actions import TOOLS
from fixplan.desk.panels.fields import FIELDS
from fixplan.teach.control_why import control_html, controls, plain


def test_every_entry_leads_somewhere_and_no_name_stands_twice():
    names = [plain(name) for one in controls() for name in one.names]
    assert len(names) == len(set(names))
    for one in controls():
        assert [name for name in one.rules if rule_by_id(name) is None] == []
        assert [name for name in one.evidence if name not in evidence()] == []


@pytest.mark.parametrize("record", [Pin, Bar, Fracture, Injury, Plate])
def test_every_property_that_a_rule_looks_at_has_an_entry(record):
    free = {"note", "code", "open_grade"}
    missing = [f.name for f in FIELDS[record] if f.name not in free and not control_html((f.name,))]
    assert missing == []


def test_every_drawing_tool_has_an_entry():
    assert [t.words for t in TOOLS if t.name != "select" and not control_html((t.words,))] == []


def test_the_answer_names_rule_number_and_strength():
    html = control_html(("diameter_mm",))
    assert "Pin not too thick for its bone" in html
    assert "PD-15" in html
    assert "convention" in html


def test_a_control_without_an_entry_tells_its_tip():
    assert control_html(("nowhere",), "Does <this>") == "<p>Does &lt;this&gt;</p>"
    assert control_html(("nowhere",)) == ""
