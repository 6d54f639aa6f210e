"""The line on which each piece of a JSON text stands."""

from __future__ import annotations

import re
from json.decoder import JSONDecoder, scanstring  # type: ignore[attr-defined]

Path = tuple[str | int, ...]

_SPACE = re.compile(r"[ \t\n\r]*")
_DECODER = JSONDecoder()


def lines(text: str) -> dict[Path, int]:
    """Return path → line (from 1) for every value of a valid JSON text; () is the whole."""
    found: dict[Path, int] = {}
    _walk(text, _skip(text, 0), (), found)
    return {path: text.count("\n", 0, at) + 1 for path, at in found.items()}


def _skip(text: str, at: int) -> int:
    match = _SPACE.match(text, at)
    return match.end() if match else at


def _walk(text: str, at: int, path: Path, found: dict[Path, int]) -> int:
    """Note where the value at `at` starts, and return where it ends."""
    found[path] = at
    if text[at] not in "{[":
        return int(_DECODER.raw_decode(text, at)[1])
    is_object, end = text[at] == "{", "}" if text[at] == "{" else "]"
    at = _skip(text, at + 1)
    index = 0
    while text[at] != end:
        key: str | int = index
        if is_object:
            key, at = scanstring(text, at + 1)
            at = _skip(text, _skip(text, at) + 1)
        at = _skip(text, _walk(text, at, (*path, key), found))
        if text[at] == ",":
            at = _skip(text, at + 1)
        index += 1
    return at + 1
