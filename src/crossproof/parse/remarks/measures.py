"""Read measurements in a remark: `leaves 18-22 mm wide`, `petiole 1.2 cm`, `5 sheathing leaves`.

A rulebook says under `[phrases.<character>]` which words name the measurement itself (`named`),
which name only the organ (`of`) and need a word of direction (`dimension`), and which mean that
there is nothing to measure (`zero`: sessile acorns).
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from crossproof.model import Evidence
from crossproof.rulebooks.model import Rulebook

_NUMBER = r"\d+(?:[.,]\d+)?"
_RANGE = rf"(?<![\d.,/])(?P<low>{_NUMBER})(?:\s*(?:-|–|to)\s*(?P<high>{_NUMBER}))?(?![.,]?\d)"


@dataclass(frozen=True, slots=True)
class Measure:
    """How one character's measurements are written."""

    character: str
    unit: str
    pattern: re.Pattern[str]


@cache
def _words() -> Mapping[str, Any]:
    path = Path(__file__).with_name("measures.toml")
    return tomllib.loads(path.read_text(encoding="utf-8"))


def measures_of(rulebook: Rulebook) -> tuple[Measure, ...]:
    """Compile what a rulebook says of its measured characters."""
    return tuple(
        Measure(character.id, character.unit, pattern)
        for character in rulebook.ordered_characters
        if character.is_measured and isinstance(said := rulebook.phrases.get(character.id), Mapping)
        if (pattern := _pattern(said, character.unit))
    )


def measured(text: str, measures: Sequence[Measure]) -> tuple[tuple[Evidence, ...], str]:
    """Return the measurements in `text`, and the text with their words blanked out.

    What is left keeps its places; the words of the measurement can't be taken for something else.
    The organ stays, for more may be said of it.
    """
    found: list[Evidence] = []
    rest = text
    for measure in measures:
        for match in measure.pattern.finditer(text):
            if any(e.start < match.end() and match.start() < e.end for e in found):
                continue
            found.append(
                Evidence(
                    measure.character,
                    _state(match, measure.unit),
                    "remark",
                    match.group(),
                    match.start(),
                    match.end(),
                    "questioned" if text[match.end() :].lstrip(" )").startswith("?") else "stated",
                )
            )
            for start, end in _blanked(match):
                rest = rest[:start] + " " * (end - start) + rest[end:]
    return tuple(sorted(found, key=lambda e: e.start)), rest


def _state(match: re.Match[str], unit: str) -> str:
    """The number or range in the character's unit, as the judge reads it: `12`, `18-22`."""
    ends = [text for text in (match["low"], match["high"]) if text]
    if not ends:
        return "0"
    in_mm = _words()["unit_mm"]
    factor = in_mm[match["unit"].casefold()] / in_mm[unit] if unit in in_mm else 1.0
    numbers = sorted(float(text.replace(",", ".")) * factor for text in ends)
    return "-".join(f"{number:g}" for number in numbers)


def _blanked(match: re.Match[str]) -> Iterator[tuple[int, int]]:
    """The stretches of a match beside the organ that was named in it."""
    organ = match.span("of")
    if organ == (-1, -1):
        yield match.span()
    else:
        yield match.start(), organ[0]
        yield organ[1], match.end()


def _pattern(said: Mapping[str, Any], unit: str) -> re.Pattern[str] | None:
    """One pattern for all ways to write it; None where the rulebook has no words for it."""
    words = _words()
    named, of, zero = (_any(said.get(key, ())) for key in ("named", "of", "zero"))
    own = _any(said.get("dimension", ()))
    other = _any(set(words["dimension"]) - set(said.get("dimension", ())))
    filler = rf"\W{{0,2}}(?:(?:{_any(words['filler'])})\W{{0,2}}){{0,3}}"
    size = _RANGE
    if unit in words["unit_mm"]:
        size += rf"\s*-?(?P<unit>{_any(words['unit_mm'])})\b\.?"
    forms = []
    if named:
        forms.append(rf"(?:{named}){filler}{size}(?:\s(?:{own}))?(?!\s(?:{other})\b)")
        forms.append(rf"{size}[\s-](?:(?:{own})\s)?(?:{named})")
    if of and own:
        forms.append(rf"(?P<of>{of}){filler}(?:(?:{own}){filler})?{size}[\s-](?:{own})")
        forms.append(rf"(?P<of>{of})\s(?:{own}){filler}{size}")
        forms.append(rf"{size}[\s-](?:{own})\s(?P<of>{of})")
    if zero:
        forms.append(rf"(?:{named}){filler}(?:{zero})")
        forms.append(rf"(?:{zero})\s(?:{named})")
    if not forms:
        return None
    # Each form has groups of its own; only those of the form that matched hold anything.
    denied = _any(words["denied"])
    return _merged([rf"(?<!\w)(?!(?:{denied})\b)(?:{form})(?!\w)" for form in forms])


def _merged(forms: list[str]) -> re.Pattern[str]:
    raise NotImplementedError


def _any(words: Iterable[str]) -> str:
    """An alternative of words, the longest first, whatever the space between them."""
    parts = sorted((re.escape(w).replace(r"\ ", r"\s+") for w in words), key=len, reverse=True)
    return "|".join(parts)
