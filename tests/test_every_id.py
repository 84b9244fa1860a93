"""Every id of what is known of pin sizes, places and corridors: the data that name it, or why none.

The ids are those of resources/evidence.toml and of what was read beside it. A new one fails here
until a rule, a default or a reason names it.
"""

import re
from pathlib import Path

import pytest

from fixplan.limb.library import resources_dir

CORRIDORS = {
    "T": 7,
    "F": 6,
    "H": 10,
    "R": 5,
    "U": 1,
    "M": 3,
    "P": 8,
    "C": 3,
    "A": 1,
    "X": 4,
}
IDS = (
    *(f"PD-{number:02}" for number in range(1, 24)),
    *(f"PP-{number:02}" for number in range(1, 37)),
    *(f"CO-{letter}{n}" for letter, count in CORRIDORS.items() for n in range(1, count + 1)),
)
REASONS = {
    "PD-18": "disputed loss of strength by small holes; PD-15 and PD-17 carry the steps",
    "PD-19": "synthetic bone; agrees with PD-17, which carries the step",
    "PD-20": "bending of dog bone; agrees with PD-17",
    "PD-21": "energy of dog bone; supports a stepped warning and no figure of its own",
    "PD-22": "adds both holes and so blames every tibia; not adopted",
    "PP-05": "by number of pins: the frame model; tests/validation/test_hold_experiments.py",
    "PP-13": "time to conversion: of the trips, not of a pin",
    "PP-19": "heat of drilling: nothing drawn tells it",
    "PP-20": "heat of drilling: nothing drawn tells it",
    "PP-35": "pin-site infection of ring frames left for months; nothing drawn tells it",
}


def named_in_data() -> set[str]:
    """Ids that rules, defaults, frames or anatomy name; evidence itself does not count."""
    files = [*resources_dir().glob("*.toml"), *resources_dir().glob("anatomy/*.json")]
    texts = (path.read_text(encoding="utf-8") for path in files if path.name != "evidence.toml")
    return {one for text in texts for one in re.findall(r"\b(?:PD|PP|CO)-[A-Z]?\d{1,2}\b", text)}


@pytest.mark.parametrize("id_", IDS)
def test_an_id_is_named_by_data_or_by_a_reason(id_: str) -> None:
    assert (id_ in named_in_data()) != (id_ in REASONS)


def test_data_name_no_id_that_is_not_listed() -> None:
    assert named_in_data() <= set(IDS)


def test_a_test_that_a_reason_names_is_there() -> None:
    root = Path(__file__).parents[1]
    named = [word for why in REASONS.values() for word in re.findall(r"\S+\.py", why)]
    assert named
    assert [name for name in named if not (root / name.strip("(),;")).is_file()] == []
