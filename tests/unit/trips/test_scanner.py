"""What the ward page says of the frame's parts and a magnetic scanner."""

from pathlib import Path

from fixplan.checks.run import open_case
from fixplan.frame.stock import parts
from fixplan.trips.scanner import scanner_words

CASE = open_case(Path(__file__).parents[3] / "sample_cases" / "open-tibial-shaft.json").case


def test_invented_parts_are_not_known():
    told = scanner_words(CASE)
    assert told.startswith("Not known, look it up in the parts' papers: ")
    assert "half-pins 5 mm" in told
    assert "pin-to-bar clamps on 11 mm" in told
    assert "afe" not in told


def test_what_the_house_knows_is_told_the_worst_first(tmp_path, monkeypatch):
    house = tmp_path / "house.toml"
    house.write_text(
        '[parts.half_pins.d5]\nscanner = "conditional"\n'
        '[parts.clamps.pin-to-bar]\nscanner = "unsafe"\n'
    )
    monkeypatch.setenv("FIXPLAN_HOUSE", str(house))
    parts.cache_clear()
    try:
        told = scanner_words(CASE)
    finally:
        monkeypatch.undo()
        parts.cache_clear()
    unsafe, conditional, unknown = told.split("; ")
    assert unsafe.endswith("list says: pin-to-bar clamps on 11 mm")
    assert conditional.endswith("alone: half-pins 5 mm")
    assert "bars 11 mm" in unknown
