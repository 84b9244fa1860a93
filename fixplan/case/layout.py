"""JSON laid out so that a difference between two files can be read line by line."""

import json
from functools import lru_cache

import msgspec

WIDTH = 100


def laid_out(value: object) -> str:
    """JSON with sorted keys, one item a line; what fits on a line whole stays on one.

    Raises ValueError for a number that JSON cannot hold.
    """
    return _block(value, "", 0) + "\n"


def packed(value: object) -> str:
    """The same JSON on one line without spaces: what a snapshot's id is made from."""
    return json.dumps(
        value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
    )


def packed_record(record: msgspec.Struct) -> str:
    """`packed` of a record without a tag; the text of what it holds is remembered."""
    fields = sorted(zip(record.__struct_encode_fields__, record.__struct_fields__, strict=True))
    parts = (f'"{name}":{_packed_part(getattr(record, field))}' for name, field in fields)
    return "{" + ",".join(parts) + "}"


def _packed_part(value: object) -> str:
    if isinstance(value, tuple) and value and isinstance(value[0], msgspec.Struct):
        return "[" + ",".join([_remembered_text(one) for one in value]) + "]"
    return _remembered_text(value)


@lru_cache(maxsize=4096)
def _remembered_text(value: object) -> str:
    return packed(plain_numbers(msgspec.to_builtins(value)))


def plain_numbers(value: object) -> object:
    """The value with whole floats as integers, so that 80 and 80.0 are written alike."""
    if isinstance(value, float):
        return int(value) if value.is_integer() else value
    if isinstance(value, dict):
        return {key: plain_numbers(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [plain_numbers(item) for item in value]
    return value


def _line(value: object) -> str:
    return json.dumps(value, sort_keys=True, ensure_ascii=False, allow_nan=False)


def _block(value: object, indent: str, used: int) -> str:
    """`value` as text whose later lines are indented; `used` columns of the first are taken."""
    if isinstance(value, dict | list) and value:
        if _holds_long_text(value):
            return _opened(value, indent)
        line = _line(value)
        nested = isinstance(value, dict) and any(isinstance(item, dict) for item in value.values())
        if nested or len(indent) + used + len(line) > WIDTH - 1:
            return _opened(value, indent)
        return line
    return _line(value)


def _holds_long_text(value: dict[str, object] | list[object]) -> bool:
    """Whether no line could hold the value, because of a text such as a picture's pixels."""
    inner = value.values() if isinstance(value, dict) else value
    return any(
        len(one) > WIDTH
        if isinstance(one, str)
        else isinstance(one, dict | list) and _holds_long_text(one)
        for one in inner
    )


def _opened(value: dict[str, object] | list[object], indent: str) -> str:
    inner = indent + "  "
    if isinstance(value, dict):
        heads = [(f"{_line(key)}: ", value[key]) for key in sorted(value)]
        ends = "{}"
    else:
        heads = [("", item) for item in value]
        ends = "[]"
    lines = [inner + head + _block(item, inner, len(head)) for head, item in heads]
    return f"{ends[0]}\n" + ",\n".join(lines) + f"\n{indent}{ends[1]}"
