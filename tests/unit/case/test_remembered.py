from fixplan.case.records import Case
from fixplan.case.remembered import remembered


def test_the_same_case_is_asked_about_once():
    asked = []

    @remembered
    def label(case: Case) -> str:
        asked.append(case)
        return case.label

    case = Case(side="right", label="one")
    assert [label(case), label(case)] == ["one", "one"]
    assert len(asked) == 1


def test_an_equal_case_that_is_another_object_is_asked_anew():
    asked = []

    @remembered
    def side(case: Case) -> str:
        asked.append(case)
        return case.side

    side(Case(side="left"))
    side(Case(side="left"))
    assert len(asked) == 2
