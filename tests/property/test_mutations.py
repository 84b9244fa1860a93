"""Whatever is done to a case file: a case comes back, or one sentence; never a traceback."""

import copy
import json
import random
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from fixplan.case.file import decode, encode
from fixplan.case.film_pixels import as_inside
from fixplan.case.film_records import Film
from fixplan.cli import main
from fixplan.errors import CaseFileError

ROOT = Path(__file__).parents[2]
FILES = [ROOT / "tests" / "data" / "case_v1.json", *sorted((ROOT / "sample_cases").glob("*.json"))]


def with_picture(content: bytes) -> bytes:
    """The same case with a picture kept inside it."""
    film = Film(
        id="film-1",
        view="front",
        segment="leg",
        file="plan-film-1.png",
        digest="0" * 64,
        width_px=40,
        height_px=60,
        placing=(1.0, 0.0, 0.0, 0.0, 1.0, 0.0),
        inside=as_inside(bytes(range(200))),
    )
    return encode(replace(decode(content, "plan.json"), films=(film,)))


BYTES = [path.read_bytes() for path in FILES]
BYTES.append(with_picture(BYTES[0]))
ODD_VALUES: list[object] = [
    None,
    True,
    False,
    0,
    -1,
    1,
    3,
    2**63,
    10**400,
    -0.0,
    0.5,
    1e-300,
    1e308,
    -1e308,
    "",
    "pin-1",
    "bar-1",
    "tibia",
    "femur",
    "ulna",
    "front",
    "x" * 300,
    "\ud800",
    "\x00",
    "\u202e",
    [],
    {},
    [[]],
    [0, 0],
    [[0, 0], [1, 1], [1, 0], [0, 1]],
]


def places(value: object) -> Iterator[tuple[object, object]]:
    """Every container with each of its keys, depth first."""
    if isinstance(value, dict):
        for key in list(value):
            yield value, key
            yield from places(value[key])
    elif isinstance(value, list):
        for index in range(len(value)):
            yield value, index
            yield from places(value[index])


def mutated(document: object, chance: random.Random) -> object:
    """The document with one to three places changed, doubled, swapped or taken away."""
    changed = copy.deepcopy(document)
    for _ in range(chance.randint(1, 3)):
        found = list(places(changed))
        if not found:
            break
        holder, key = chance.choice(found)
        other_holder, other_key = chance.choice(found)
        act = chance.randrange(6)
        if act == 0:
            holder[key] = copy.deepcopy(chance.choice(ODD_VALUES))
        elif act == 1:
            del holder[key]
        elif act == 2 and isinstance(holder[key], int | float):
            holder[key] *= chance.choice([-1, 0, 1.5, 10, 1000])
        elif act == 3 and isinstance(holder, list):
            holder.insert(key, copy.deepcopy(holder[key]))
        elif act == 4 and isinstance(holder, dict):
            holder["unknown"] = holder[key]
        else:
            holder[key] = copy.deepcopy(other_holder[other_key])
    return changed


def read_or_told(content: bytes) -> None:
    """Decode: either a case that writes and reads back alike, or one line."""
    try:
        case = decode(content, "plan.json")
    except CaseFileError as problem:
        told = str(problem)
    else:
        told = "plan.json: read"
        assert decode(encode(case), "again") == case
    assert told.startswith("plan.json: ")
    assert len(told.splitlines()) == 1


@settings(deadline=None, max_examples=200)
@given(content=st.binary(max_size=300))
def test_any_bytes_are_told(content: bytes) -> None:
    read_or_told(content)


@settings(deadline=None, max_examples=300)
@given(seed=st.integers(0, 2**32), source=st.sampled_from(BYTES))
def test_a_file_with_bytes_changed_is_read_or_told(seed: int, source: bytes) -> None:
    chance = random.Random(seed)
    content = bytearray(source)
    for _ in range(chance.randint(1, 6)):
        at = chance.randrange(len(content))
        act = chance.randrange(4)
        if act == 0:
            content[at] = chance.randrange(256)
        elif act == 1:
            del content[at : at + chance.randint(1, 40)]
        elif act == 2:
            content[at:at] = content[at : at + chance.randint(1, 200)]
        else:
            content[at:at] = chance.choice([b"{", b"]", b",", b'"', b"1e999", b"NaN", b"\\ud800"])
        content = content or bytearray(b" ")
    read_or_told(bytes(content))


@settings(deadline=None, max_examples=400)
@given(seed=st.integers(0, 2**32), source=st.sampled_from(BYTES))
def test_a_file_with_its_structure_changed_is_read_or_told(seed: int, source: bytes) -> None:
    read_or_told(json.dumps(mutated(json.loads(source), random.Random(seed))).encode())


@settings(
    deadline=None,
    max_examples=150,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(seed=st.integers(0, 2**32), source=st.sampled_from(BYTES))
def test_checking_a_mutated_file_never_ends_in_a_traceback(
    seed: int, source: bytes, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "plan.json"
    path.write_text(json.dumps(mutated(json.loads(source), random.Random(seed))))
    code = main(["check", str(path)])
    told = capfd.readouterr()
    assert code in (0, 1, 2)
    assert "Traceback" not in told.err
    assert "fault of its own" not in told.err
    assert len(told.err.splitlines()) == (1 if code == 2 else 0)
