"""Whatever a case holds: it is told in words, compared, and its record as built reads back."""

import json
import random

from hypothesis import given, settings
from hypothesis import strategies as st

from fixplan.case.built_records import PartUsed, Talk
from fixplan.case.edits import change_case
from fixplan.case.file import decode, encode
from fixplan.case.records import Case
from fixplan.errors import CaseFileError, FixplanError
from fixplan.notes.built import built_changes, marked
from fixplan.notes.difference import Change, differences
from fixplan.notes.plain import as_markdown, as_text
from fixplan.notes.section import Told
from tests.property.test_mutations import BYTES, mutated, read_or_told


def built(source: bytes) -> Case | None:
    """A case marked as built, with a talk and a count; None without a frame."""
    case = decode(source, "x.json")
    if not case.pins:
        return None
    parts = (PartUsed(name="half-pin 5 mm, 150 mm", planned=4, opened=5, used=4, wasted=1),)
    talked = change_case(case, talks=(Talk(discussed_with="anaesthetist", agreed_at="21:40"),))
    return marked(talked, parts, "2030-01-02 03:04", is_as_drawn=False)


BUILT = [encode(case) for case in map(built, BYTES) if case is not None]


@settings(deadline=None, max_examples=200)
@given(seed=st.integers(0, 2**32), source=st.sampled_from(BUILT))
def test_a_built_case_with_its_structure_changed_is_read_or_told(seed: int, source: bytes) -> None:
    read_or_told(json.dumps(mutated(json.loads(source), random.Random(seed))).encode())


@settings(deadline=None, max_examples=60)
@given(seed=st.integers(0, 2**32), source=st.sampled_from(BUILT))
def test_any_two_versions_are_compared_and_the_plan_is_told(seed: int, source: bytes) -> None:
    before = decode(source, "x.json")
    try:
        after = decode(
            json.dumps(mutated(json.loads(source), random.Random(seed))).encode(), "x.json"
        )
    except CaseFileError:
        return
    refused = ""
    found: tuple[Change, ...] = ()
    text = ""
    try:
        found = (*differences(before, after), *differences(after, before), *built_changes(after))
        told = Told(case=after, findings=())
        text = as_text(told) + as_markdown(told)
    except FixplanError as problem:
        refused = str(problem)
    assert bool(refused) != bool(text)
    assert len(refused.splitlines()) <= 1
    assert all(one.words.strip() for one in found)
    if not refused and before.pins != after.pins:
        assert any(one.subject.startswith("pin-") for one in found)
