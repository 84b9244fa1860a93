"""Each rule against its examples in tests/validation/rules: the program's own `check` is asked.

Every file names the publication and what it says (`source`, `from_source`); measured values are
worked out beside each example by hand. Tolerance 0.1 in the rule's unit: sections are polygons.
"""

import json
import re
from pathlib import Path

import msgspec
import pytest

from fixplan.case.meaning import case_problems
from fixplan.case.records import Case
from fixplan.checks.finding import Finding
from fixplan.checks.rules import publications, rules
from fixplan.checks.run import check

FOLDER = Path(__file__).parent / "rules"
TOLERANCE = 0.1


def examples() -> list[tuple[str, dict]]:
    found = []
    for path in sorted(FOLDER.glob("*.json")):
        told = json.loads(path.read_text(encoding="utf-8"))
        found += [(told["rule"], one) for one in told["examples"]]
    return found


def findings_of(rule_id: str, example: dict) -> list[Finding]:
    case = msgspec.convert(example["case"], Case)
    if rule_id != "rule.bar.laid":
        assert not case_problems(case)
    return [one for one in check(case) if one.rule == rule_id]


@pytest.mark.parametrize(
    ("rule_id", "example"), examples(), ids=lambda one: one if isinstance(one, str) else one["says"]
)
def test_rule_example(rule_id: str, example: dict):
    found = findings_of(rule_id, example)
    expected = example["expect"]
    if expected is None:
        assert found == []
        return
    assert len(found) == 1
    assert found[0].severity == expected["severity"]
    assert not re.search(r"(?<!\w)-\d|from memory|metatarsal-|metacarpal-", found[0].message)
    for name in ("measured", "limit"):
        if name in expected:
            assert getattr(found[0], name) == pytest.approx(expected[name], abs=TOLERANCE)


@pytest.mark.parametrize("rule", rules(), ids=lambda rule: rule.id)
def test_each_rule_has_a_passing_and_a_failing_example_with_its_source(rule):
    told = json.loads((FOLDER / f"{rule.id}.json").read_text(encoding="utf-8"))
    expected = [one["expect"] for one in told["examples"]]
    assert told["rule"] == rule.id
    assert None in expected
    assert any(one is not None for one in expected)
    assert told["source"] in publications()
    assert told["source"] in rule.sources


def test_every_example_file_belongs_to_a_rule():
    assert {path.stem for path in FOLDER.glob("*.json")} == {rule.id for rule in rules()}
