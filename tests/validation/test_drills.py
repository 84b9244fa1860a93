"""Drill and pin pairs against the publications behind PP-21.

Sources, pin mm / drill mm: Orthop Rev 2017 (self-drilling and self-tapping pins) 5.0 / 4.0;
Gardner 2010 (ankle-spanning frames) 4.0 / 2.5; Carrothers 2016 (supra-acetabular pins) 6.5 / 4.5;
Wheeless, online textbook, 3.3 / 2.7. No tolerance: these are nominal sizes.
"""

import pytest

from fixplan.checks.rules import evidence, publications
from fixplan.frame.stock import drill_for, parts
from fixplan.kit.parts import Part

PUBLISHED = [
    (5.0, 4.0, "source.self-drilling.2017"),
    (4.0, 2.5, "source.gardner.2010"),
    (6.5, 4.5, "source.carrothers.2016"),
    (3.3, 2.7, "source.wheeless.online"),
]


@pytest.mark.parametrize(("pin_mm", "drill_mm", "source"), PUBLISHED)
def test_a_published_pair_is_the_one_told(pin_mm: float, drill_mm: float, source: str) -> None:
    pair = drill_for(pin_mm)
    assert pair is not None
    assert (pair.drill_mm, pair.source) == (drill_mm, source)
    assert f"{drill_mm:.1f} mm" in Part(kind="drill", diameter_mm=pin_mm).name


def test_every_pair_has_its_evidence_and_its_publication() -> None:
    assert len(parts().drills) == len(PUBLISHED)
    for pair in parts().drills:
        assert pair.source in evidence()[pair.evidence].sources
        assert pair.source in publications()


def test_a_pin_without_a_published_drill_is_told_by_its_packet() -> None:
    assert drill_for(6.0) is None
    assert "as the pin's packet says" in Part(kind="drill", diameter_mm=6.0).name
