"""Steps from one version of the file format to the next."""

from fixplan.case.migrations import FORMAT_VERSION, STEPS, Document, migrated


def renamed(document: Document) -> Document:
    return {"title": document["label"]}


def doubled(document: Document) -> Document:
    return document | {"title": f"{document['title']}{document['title']}"}


def test_every_step_from_version_1_to_the_newest_is_there() -> None:
    assert sorted(STEPS) == list(range(1, FORMAT_VERSION))


def test_steps_are_taken_one_after_the_other() -> None:
    document: Document = {"version": 1, "label": "a"}
    steps = {1: renamed, 2: doubled}
    assert migrated(document, steps=steps, newest=3) == {"version": 3, "title": "aa"}
    assert document == {"version": 1, "label": "a"}


def test_a_document_of_the_newest_version_is_left_as_it_is() -> None:
    document: Document = {"version": 3}
    assert migrated(document, steps={}, newest=3) is document
