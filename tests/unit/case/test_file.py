"""Reading, writing and refusing case files."""

import json
from pathlib import Path

import msgspec
import pytest

from fixplan.case.file import (
    CaseDocument,
    decode,
    encode,
    file_hash,
    read_case,
    schema,
    snapshot_id,
    write_case,
)
from fixplan.case.records import (
    Acceptance,
    Bar,
    BarAnchor,
    Candidate,
    Case,
    Fracture,
    FreeOutline,
    Incision,
    Injury,
    LimbSize,
    Nail,
    Pin,
    PinAnchor,
    Plate,
    Support,
    Wound,
)
from fixplan.errors import CaseChangedError, CaseFileError

SQUARE = ((0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0))
BOW_TIE = ((0.0, 0.0), (40.0, 40.0), (40.0, 0.0), (0.0, 40.0))


def pin(number: int, **fields: object) -> Pin:
    values: dict[str, object] = {
        "bone": "tibia",
        "level_mm": 60.0 + 40 * number,
        "bearing_deg": 110.0,
        "diameter_mm": 5.0,
    }
    return Pin(id=f"pin-{number}", number=number, **(values | fields))


def bar(number: int, first: str, second: str, **fields: object) -> Bar:
    anchors = (PinAnchor(pin=first, out_mm=30.0), PinAnchor(pin=second, out_mm=30.0))
    return Bar(id=f"bar-{number}", number=number, **({"anchors": anchors} | fields))


def full_case() -> Case:
    """A case that holds one of everything."""
    return Case(
        label="bed 4",
        side="left",
        size=LimbSize(sex="female", stature_mm=1640.5),
        fractures=(Fracture(id="fracture-1", bone="tibia", from_mm=140.0, to_mm=190.0),),
        wounds=(
            Wound(id="wound-1", kind="opening", segment="leg", view="front", outline=SQUARE),
            Wound(
                id="wound-2",
                kind="fasciotomy line",
                segment="leg",
                view="side",
                line=((0.0, 10.0), (0.0, 200.0)),
                half_width_mm=5.0,
            ),
        ),
        injuries=(Injury(id="injury-1", segment="leg", front=SQUARE, side=SQUARE, margin_mm=20.0),),
        candidates=(
            Candidate(
                id="candidate-1",
                kind="undecided",
                parts=(
                    Plate(
                        bone="tibia",
                        side="lateral",
                        from_mm=10.0,
                        to_mm=150.0,
                        width_mm=16.0,
                        thickness_mm=6.0,
                    ),
                    Nail(
                        bone="tibia",
                        entry="proximal",
                        from_mm=0.0,
                        to_mm=300.0,
                        width_mm=11.0,
                        entry_zone=(0.0, 30.0),
                        locking_zones=((280.0, 300.0),),
                    ),
                    Incision(
                        segment="leg",
                        view="front",
                        line=((5.0, 0.0), (5.0, 90.0)),
                        half_width_mm=5.0,
                    ),
                    FreeOutline(segment="leg", front=SQUARE),
                ),
            ),
        ),
        pins=(pin(1), pin(2), pin(3, kind="through", length_mm=250.0), pin(5)),
        bars=(
            bar(1, "pin-1", "pin-2", also=("pin-5",)),
            bar(
                2,
                "pin-3",
                "pin-5",
                anchors=(
                    BarAnchor(bar="bar-1", at_mm=20.5),
                    PinAnchor(pin="pin-3", end="far", out_mm=25.0),
                ),
            ),
        ),
        supports=(Support(id="support-1", kind="heel stand", bar="bar-2"),),
        acceptances=(
            Acceptance(
                rule="rule.clamp.reach",
                subjects=("clamp:bar-1/pin-2", "bar-1"),
                reason="no better place",
                severity="caution",
                measured=8.25,
                limit=10.0,
            ),
        ),
        last_number=5,
        notes="Zweite Lage: prüfen.\nSecond line.",
    )


def document(**changes: object) -> dict[str, object]:
    """The full case's file as plain values."""
    value: dict[str, object] = json.loads(encode(full_case()))
    return value | changes


def case_document(**changes: object) -> bytes:
    """The full case's file with fields of the case changed."""
    value = document()
    case = value["case"]
    assert isinstance(case, dict)
    return json.dumps(value | {"case": case | changes}).encode()


def refusal(content: bytes) -> str:
    with pytest.raises(CaseFileError) as caught:
        decode(content, "plan.json")
    text = str(caught.value)
    assert text.startswith("plan.json: ")
    assert "\n" not in text
    return text


def test_save_then_load_is_the_same_case() -> None:
    assert decode(encode(full_case()), "x") == full_case()


def test_a_written_file_reads_back_and_is_laid_out_line_by_line(tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    write_case(full_case(), path, rules="1.0")
    text = path.read_text(encoding="utf-8")
    assert read_case(path) == full_case()
    assert json.loads(text)["format"] == "fixplan case"
    assert json.loads(text)["version"] == 1
    assert json.loads(text)["rules"] == "1.0"
    assert max(len(line) for line in text.splitlines()) <= 110
    assert '      "level_mm": 100,' in text.splitlines() or '        "level_mm": 100,' in text


def test_moving_one_pin_changes_one_line_of_the_file() -> None:
    case = full_case()
    moved = msgspec.structs.replace(
        case, pins=(msgspec.structs.replace(case.pins[0], level_mm=101.5), *case.pins[1:])
    )
    before, after = encode(case).splitlines(), encode(moved).splitlines()
    assert len(before) == len(after)
    assert sum(a != b for a, b in zip(before, after, strict=True)) == 1


def test_keys_stand_in_alphabetical_order() -> None:
    def sorted_throughout(value: object) -> bool:
        if isinstance(value, dict):
            return list(value) == sorted(value) and all(map(sorted_throughout, value.values()))
        return not isinstance(value, list) or all(map(sorted_throughout, value))

    assert sorted_throughout(json.loads(encode(full_case())))


def test_whole_numbers_are_written_alike_however_they_were_typed() -> None:
    assert encode(Case(side="right", knee_flexion_deg=15)) == encode(
        Case(side="right", knee_flexion_deg=15.0)
    )


@pytest.mark.parametrize("content", [b"", b"  \n "])
def test_an_empty_file_is_told(content: bytes) -> None:
    assert "empty" in refusal(content)


def test_a_truncated_file_is_told() -> None:
    assert "not sound JSON" in refusal(encode(full_case())[:400])


def test_a_file_that_is_no_json_is_told() -> None:
    assert "not sound JSON" in refusal(b"this is a letter")


def test_bytes_that_are_not_utf_8_are_told() -> None:
    assert "UTF-8" in refusal(b'{"format": "\xff\xfe"}')


def test_half_a_surrogate_pair_is_told() -> None:
    assert "UTF-8" in refusal(case_document(label="\ud800"))


def test_twenty_thousand_brackets_are_told() -> None:
    assert "nested too deeply" in refusal(b"[" * 20_000 + b"]" * 20_000)
    assert "nested too deeply" in refusal(b'{"a":' * 20_000 + b"1" + b"}" * 20_000)


def test_a_duplicate_key_is_told_by_name() -> None:
    text = encode(full_case()).replace(b'"side": "left"', b'"side": "left", "side": "right"')
    assert "'side' stands twice" in refusal(text)


@pytest.mark.parametrize("number", [b"NaN", b"Infinity", b"-Infinity", b"1e999", b"-1e999"])
def test_numbers_that_are_none_are_told(number: bytes) -> None:
    text = encode(Case(side="left", knee_flexion_deg=12)).replace(b": 12", b": " + number)
    assert number.decode() in refusal(text)


def test_a_number_of_ten_thousand_digits_is_told() -> None:
    text = encode(Case(side="left", knee_flexion_deg=12)).replace(b": 12", b": " + b"9" * 10_000)
    assert "digits" in refusal(text)


@pytest.mark.parametrize("value", [[], "fixplan case", 3, None, {}, {"format": "letter"}])
def test_another_kind_of_file_is_told(value: object) -> None:
    assert "not a case file" in refusal(json.dumps(value).encode())


def test_a_newer_version_is_refused_by_name() -> None:
    text = refusal(json.dumps(document(version=2)).encode())
    assert "format version 2" in text
    assert "newer program" in text


@pytest.mark.parametrize("version", [0, -1, True, "1", 1.5, None])
def test_a_version_that_is_none_is_told(version: object) -> None:
    assert '"version"' in refusal(json.dumps(document(version=version)).encode())


def test_a_wrong_type_is_told_with_its_path() -> None:
    body = msgspec.to_builtins(full_case())
    body["pins"][2]["level_mm"] = "high"
    assert "$.case.pins[2].level_mm" in refusal(case_document(**body))


def test_a_number_out_of_bounds_is_told_with_its_path() -> None:
    body = msgspec.to_builtins(full_case())
    body["pins"][0]["tilt_deg"] = 75
    text = refusal(case_document(**body))
    assert "$.case.pins[0].tilt_deg" in text
    assert "60" in text


def test_an_unknown_field_is_refused_by_name() -> None:
    assert "surgeon" in refusal(case_document(surgeon="x"))
    assert "extra" in refusal(json.dumps(document(extra=1)).encode())


def test_a_bar_with_one_anchor_is_refused_with_its_path() -> None:
    body = msgspec.to_builtins(full_case())
    body["bars"][0]["anchors"] = body["bars"][0]["anchors"][:1]
    assert "$.case.bars[0].anchors" in refusal(case_document(**body))


def test_ten_thousand_pins_are_refused_with_their_limit() -> None:
    one = msgspec.to_builtins(pin(1))
    text = refusal(case_document(pins=[one] * 10_000))
    assert "200" in text
    assert "$.case.pins" in text


def test_every_error_of_meaning_is_told_at_once() -> None:
    case = full_case()
    body = msgspec.to_builtins(case)
    body["fractures"][0]["from_mm"] = 200.0
    body["pins"][1]["id"] = "pin-1"
    body["injuries"][0]["front"] = BOW_TIE
    body["last_number"] = 3
    text = refusal(case_document(**body))
    for words in (
        "fracture-1 runs from 200",
        "pin-1 is used 2 times",
        "crosses itself",
        "last_num",
    ):
        assert words in text


def test_a_hundred_errors_of_meaning_stay_one_readable_line() -> None:
    pins = [msgspec.to_builtins(pin(7)) | {"id": f"pin-{i}"} for i in range(100, 200)]
    text = refusal(case_document(pins=pins, bars=[], supports=[], last_number=500))
    assert "more" in text
    assert len(text) < 1500


def test_unknown_bones_are_kept() -> None:
    body = msgspec.to_builtins(full_case())
    body["pins"][0]["bone"] = "ulna"
    assert decode(case_document(**body), "x").pins[0].bone == "ulna"


def test_a_case_that_could_not_be_read_back_is_not_written(tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    write_case(full_case(), path)
    before = path.read_bytes()
    for bad in (
        Case(side="left", knee_flexion_deg=float("nan")),
        Case(side="left", knee_flexion_deg=float("inf")),
        Case(side="left", label="\ud800"),
        Case(side="left", pins=(pin(1, tilt_deg=80.0),), last_number=1),
        Case(side="left", pins=(pin(1),), last_number=0),
    ):
        with pytest.raises(CaseFileError):
            write_case(bad, path)
        assert path.read_bytes() == before


def test_saving_over_a_file_that_changed_meanwhile_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    opened = write_case(full_case(), path)
    assert opened == file_hash(path)
    write_case(Case(side="right"), path)
    with pytest.raises(CaseChangedError, match="changed by another window"):
        write_case(full_case(), path, expected_hash=opened)
    assert read_case(path) == Case(side="right")


def test_saving_keeps_the_version_before_as_backup(tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    first = write_case(full_case(), path)
    write_case(Case(side="right"), path, expected_hash=first)
    assert read_case(tmp_path / "plan.json.backup") == full_case()


@pytest.mark.parametrize("name", ["missing.json", ".", "nul\0.json", "n" * 300])
def test_a_file_that_cannot_be_opened_is_told(tmp_path: Path, name: str) -> None:
    with pytest.raises(CaseFileError):
        read_case(tmp_path / name)


def test_snapshot_id_is_six_characters_and_follows_the_case_alone() -> None:
    case = full_case()
    again = decode(encode(case, rules="other"), "x")
    changed = msgspec.structs.replace(case, acceptances=())
    assert len(snapshot_id(case)) == 6
    assert snapshot_id(case).isalnum()
    assert snapshot_id(again) == snapshot_id(case)
    assert snapshot_id(changed) != snapshot_id(case)


def test_the_frozen_file_of_version_1_loads_for_ever() -> None:
    case = read_case(Path(__file__).parents[2] / "data" / "case_v1.json")
    assert case.side == "left"
    assert [pin.level_mm for pin in case.pins] == [100.0, 140.0, 180.0, 260.0]
    assert case.bars[1].anchors == (
        BarAnchor(bar="bar-1", at_mm=20.5),
        PinAnchor(pin="pin-3", end="far", out_mm=25.0),
    )
    assert case.acceptances[0].subjects == ("clamp:bar-1/pin-2", "bar-1")


def test_schema_carries_limits_and_descriptions() -> None:
    text = json.dumps(schema())
    pin_schema = schema()["$defs"]["Pin"]  # type: ignore[index]
    assert pin_schema["properties"]["tilt_deg"]["maximum"] == 60
    assert "half-pin or through-pin" in pin_schema["description"]
    assert pin_schema["additionalProperties"] is False
    assert "maxItems" in text
    assert "mm along the segment" in text
    assert all(record["description"] for record in schema()["$defs"].values())  # type: ignore[attr-defined]


def test_the_document_names_every_field_it_reads() -> None:
    assert CaseDocument.__struct_fields__ == ("format", "version", "program", "rules", "case")
