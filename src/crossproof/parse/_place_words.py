"""The words around a written place: taken off, and remembered."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from functools import cache

from crossproof.parse._place_signs import plain
from crossproof.parse._place_sizes import Size, back_size, front_size, part_behind
from crossproof.parse.grid import is_square
from crossproof.parse.place_error import vocabulary

_NUMBER = r"(\d+(?:\.\d+)?)"
_METRES = r"\s*(k?m)(?:et(?:re|er)s?)?\b"
_WITHIN_M = re.compile(rf"\(?\s*(?:±|\+\s?/?\s?-)\s*{_NUMBER}{_METRES}\s*\)?", re.I)
_URI_WITHIN = re.compile(r"(?<=\d);u=(\d+(?:\.\d+)?)()", re.I)  # RFC 5870, 3.4.3
# A third number with a unit behind a position in decimals is a height.
_THIRD = re.compile(
    r"(?<=\.\d\d\d)(\d*\s?°?\s?[ew]?)[\s,;]+-?\d+(?:\.\d+)?\s?(?:m|ft|metres|feet)\b\.?$", re.I
)
# The zone in front of the lettered squares of the Channel Islands.
_ZONE = re.compile(r"^(?:utm\s*)?30\s?u\s?(?=w\s?[va])", re.IGNORECASE)
# What no letters of a square stand before: a decimal, or `52/418093`, which has its square in it.
_NUMBERED = re.compile(r"[+-]?\d+\.\d+\D|\d\d\s?/\s?(?:\d\s?){4}")
_DOTTED = re.compile(r"(?<![A-Za-z])(?:[A-Za-z]\.){2,}(?![A-Za-z])")
_COUNTY = re.compile(
    r"[\s,;(\[]*(?:\bv\.?\s?-?c\.?|\bvice[\s-]?county)\s?[.:]?\s?[HS]?\s?\d{1,3}\b[\s,;:)\]]*"
    r"|^H\s?\d{1,2}\s?[:;]\s*",
    re.I,
)


@dataclass(slots=True)
class Bare:
    """A written place without the words round it."""

    text: str
    system: str = ""  # a key of `[words.systems]`, where one is named
    named_by: str = ""
    within_m: float = 0.0  # an uncertainty the writer stated
    size: Size | None = None  # of the square, said in front of it
    notes: list[str] = field(default_factory=list)


@cache
def _patterns() -> tuple[re.Pattern[str], re.Pattern[str], dict[str, str]]:
    words = vocabulary()["words"]
    systems = {word: key for key, several in words["systems"].items() for word in several}

    def choice(*groups: object) -> str:
        every = {word for group in groups for word in group}  # type: ignore[attr-defined]
        longest_first = sorted(every, key=lambda word: (-len(word), word))
        return "|".join(re.escape(word).replace(r"\ ", r"[\s.]*") for word in longest_first)

    front = choice(words["before"], words["near"], systems)
    back = choice(words["after"], systems)
    return (
        re.compile(rf"[\s(\[]*({front})(?:(?<=~)|(?![a-z]))[\s.:;,=)\]-]*", re.IGNORECASE),
        re.compile(rf"[\s,;(\[-]+({back})[\s.)\]]*$", re.IGNORECASE),
        {re.sub(r"\s", "", word): key for word, key in systems.items()},
    )


@cache
def _asides() -> tuple[re.Pattern[str], ...]:
    """An accuracy in words; a height with its word in front of it, and behind it."""
    words = vocabulary()["words"]
    accuracy, height, above = (
        "|".join(words[key]) for key in ("accuracy", "height", "above_the_sea")
    )
    unit = r"(?:m|metres?|meters?|ft|feet)\b\.?"
    return (
        re.compile(rf"[\s,;(]+(?:{accuracy})\b\.?\s?[:=]?\s?{_NUMBER}{_METRES}\.?\)?", re.I),
        re.compile(
            rf"[\s,;(]*\b(?:{height})\b\.?\s?[:=]?\s?(?:c\.?a?\.?\s?)?-?\d+(?:\.\d+)?\s?(?:{unit})?\)?",
            re.I,
        ),
        re.compile(rf"[\s,;(]*\b\d+(?:\.\d+)?\s?{unit}\s?(?:{above})(?![a-z])\.?\)?", re.I),
    )


@cache
def _may_be_aside() -> re.Pattern[str]:
    """The least that an accuracy, a height or a vice-county has: to look for nothing in vain."""
    words = vocabulary()["words"]
    starts = {word[:3] for key in ("accuracy", "height") for word in words[key]}
    return re.compile(rf"[±+;]|v\.?\s?-?c|h\s?\d|{'|'.join(starts)}|\d\s?(?:m|f)", re.I)


def _may_go(word: str, rest: str) -> bool:
    """Whether a word in front is only a word: `nr`, `c` and `st` are grid letters too."""
    if not rest:
        return False
    if word == "~" or not is_square(word.upper()):
        return True
    return rest[0].isalpha() or bool(_NUMBERED.match(rest))


def bare(text: str) -> Bare:
    """Take off what stands round a reference: `NGR`, `c.`, `(OSGB36)`, `± 50 m`, `?`."""
    found = Bare(plain(text))
    _set_aside(found)
    if found.text.endswith("?") and len(found.text) > 1:
        found.text = found.text.rstrip("? ")
        found.notes.append("a question mark behind the place was disregarded")
    found.text, size = back_size(found.text)
    if size:
        found.within_m = max(found.within_m, size.side / math.sqrt(2))
    found.text = _DOTTED.sub(lambda m: m[0].replace(".", ""), found.text).strip(" \"'")
    if found.text[:1] + found.text[-1:] in ("()", "[]"):
        found.text = found.text[1:-1].strip()
    found.text = part_behind(_ZONE.sub("", found.text))
    for _ in range(4):
        _front_word(found)
    for _ in range(3):
        _back_word(found)
    found.text = part_behind(found.text)
    return found


def _set_aside(found: Bare) -> None:
    """Take out accuracies, heights and vice-counties, wherever they stand."""
    accuracy, before, behind = _asides()
    if not _may_be_aside().search(found.text):
        return
    for pattern in (_WITHIN_M, _URI_WITHIN, accuracy):
        if match := pattern.search(found.text):
            found.within_m = float(match[1]) * (1000 if match[2].lower() == "km" else 1)
            found.text = (found.text[: match.start()] + " " + found.text[match.end() :]).strip()
    for pattern in (before, behind, _COUNTY):
        found.text = pattern.sub(", ", found.text).strip(" ,;")
    if without := _THIRD.sub(r"\1", found.text):
        if without != found.text:
            found.notes.append("a height behind the position was disregarded")
        found.text = without


def _front_word(found: Bare) -> None:
    found.text, size = front_size(found.text)
    found.size = found.size or size
    front, _, _ = _patterns()
    if not (match := front.match(found.text)):
        return
    rest, word = found.text[match.end() :], match[1].lower()
    if _may_go(word, rest):
        _took_off(found, word, match[1], rest)


def _back_word(found: Bare) -> None:
    if match := _patterns()[1].search(found.text):
        _took_off(found, match[1].lower(), match[1], found.text[: match.start()])


def _took_off(found: Bare, word: str, written: str, rest: str) -> None:
    systems = _patterns()[2]
    found.text = rest.strip()
    key = re.sub(r"[\s.]", "", word)
    if key in systems:
        if not found.system or not systems[key].startswith("EPSG"):  # no datum outdoes a grid
            found.system, found.named_by = systems[key], key
    elif word in vocabulary()["words"]["near"]:
        found.notes.append(f"{written!r} was read as near by, and does not widen the uncertainty")
