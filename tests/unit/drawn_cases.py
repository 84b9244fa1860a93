"""Drawn cases and findings, shared by the tests of the sheet and of the case notes."""

from pathlib import Path

import pytest

from fixplan.case.file import read_case
from fixplan.case.records import Case
from fixplan.checks.finding import Finding

CASES = Path(__file__).parents[1] / "golden" / "cases"


@pytest.fixture(params=["tibia-right", "femur-left", "knee-right", "ankle-left"])
def any_case(request: pytest.FixtureRequest) -> Case:
    return read_case(CASES / f"{request.param}.json")


@pytest.fixture
def tibia() -> Case:
    return read_case(CASES / "tibia-right.json")


@pytest.fixture
def knee() -> Case:
    return read_case(CASES / "knee-right.json")


def _finding(severity: str, pin: int, **more: object) -> Finding:
    values = {
        "rule": f"rule.test.{severity.replace(' ', '-')}",
        "severity": severity,
        "subjects": (f"pin-{pin}",),
        "subject": f"Pin {pin}",
        "message": f"Pin {pin} to the drawn region: 12 mm, limit 20 mm (PP-00; ours)",
    }
    return Finding(**(values | more))


@pytest.fixture
def findings() -> tuple[Finding, ...]:
    """One finding of every severity, one accepted, one reopened."""
    return (
        _finding("stop", 1, advice="slide it 8 mm proximally"),
        _finding("caution", 2, reopened="accepted at 12, now 8"),
        _finding("caution", 3, accepted="no better bone is left"),
        _finding("note", 1),
        _finding("not assessed", 1),
    )
