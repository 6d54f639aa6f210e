"""Read measurements in a remark: `leaves 18-22 mm wide`, `petiole 1.2 cm`, `5 sheathing leaves`.

A rulebook says under `[phrases.<character>]` which words name the measurement itself (`named`),
which name only the organ (`of`) and need a word of direction (`dimension`), and which phrases mean
that there is nothing to measure (`zero`: sessile acorns).
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
from crossproof.parse.remarks.plants.whose import of_another
from crossproof.parse.remarks.text.item import Item
from crossproof.parse.remarks.text.tokens import holds_any
from crossproof.rulebooks.model import Rulebook

_NUMBER = r"\d+(?:[.,]\d+)?"
_RANGE = (
    rf"(?<![\d/])(?<!\d[.,])(?P<low>{_NUMBER})(?:\s*(?:-|–|to)\s*(?P<high>{_NUMBER}))?(?![.,]?\d)"
)


@dataclass(frozen=True, slots=True)
class Measure:
    """How one character's measurements are written."""

    character: str
    unit: str
    forms: tuple[re.Pattern[str], ...]
    hints: frozenset[str]  # a text without any of these holds none of the forms
    needs: frozenset[str]  # nor does one without any of these, where there are any


@cache
def shared_words() -> Mapping[str, Any]:
    path = Path(__file__).with_name("measures.toml")
    return tomllib.loads(path.read_text(encoding="utf-8"))


def measures_of(rulebook: Rulebook) -> tuple[Measure, ...]:
    """Compile what a rulebook says of its measured characters."""
    return tuple(
        Measure(character.id, character.unit, forms, _hints(said), _needs(said, character.unit))
        for character in rulebook.ordered_characters
        if character.is_measured and isinstance(said := rulebook.phrases.get(character.id), Mapping)
        if (forms := tuple(_forms(said, character.unit)))
    )


def measured(text: str, measures: Sequence[Measure]) -> tuple[tuple[Evidence, ...], str]:
    """Return the measurements in `text`, and the text with their words blanked out.

    What is left keeps its places; the words of the measurement can't be taken for something else.
    The organ stays, for more may be said of it.
    """
    found: list[Evidence] = []
    rest, lower = text, text.lower()
    for measure in measures:
        if not _may_stand_in(lower, measure):
            continue
        for match in (m for form in measure.forms for m in form.finditer(text)):
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


def _may_stand_in(lower: str, measure: Measure) -> bool:
    """A cheap look that spares most texts the patterns."""
    if measure.needs and not holds_any(lower, measure.needs):
        return False
    return holds_any(lower, measure.hints)


def of_the_plant(numbers: Sequence[Evidence], items: list[Item]) -> tuple[Evidence, ...]:
    """Leave out measurements of other plants: `petraea near by with petioles of 20 mm`."""
    another = of_another(items)

    def is_own(number: Evidence) -> bool:
        before = [k for k, item in enumerate(items) if item.start <= number.start]
        return not before or not another[before[-1]]

    return tuple(filter(is_own, numbers))


def _state(match: re.Match[str], unit: str) -> str:
    """The number or range in the character's unit, as the judge reads it: `12`, `18-22`."""
    said = match.groupdict()
    ends = [text for text in (said.get("low"), said.get("high")) if text]
    if not ends:
        return "0"
    in_mm = shared_words()["unit_mm"]
    factor = in_mm[said["unit"].casefold()] / in_mm[unit] if unit in in_mm else 1.0
    numbers = sorted(float(text.replace(",", ".")) * factor for text in ends)
    return "-".join(f"{number:g}" for number in numbers)


def _blanked(match: re.Match[str]) -> Iterator[tuple[int, int]]:
    """The stretches of a match beside the organ that was named in it."""
    if "of" not in match.re.groupindex:
        yield match.span()
    else:
        yield match.start(), match.start("of")
        yield match.end("of"), match.end()


def _hints(said: Mapping[str, Any]) -> frozenset[str]:
    """The longest word of each phrase."""
    phrases = (w.lower() for k in ("named", "of", "zero") for w in said.get(k, ()))
    return frozenset(max(phrase.split(), key=len) for phrase in phrases)


def _needs(said: Mapping[str, Any], unit: str) -> frozenset[str]:
    """The units, one of which a measurement in `unit` must name."""
    units = shared_words()["unit_mm"]
    return frozenset(units) if unit in units and not said.get("zero") else frozenset()


def _forms(said: Mapping[str, Any], unit: str) -> Iterator[re.Pattern[str]]:
    """One pattern for each way to write it."""
    words = shared_words()
    named, of, zero, own = (_any(said.get(k, ())) for k in ("named", "of", "zero", "dimension"))
    other = _any(set(words["dimension"]) - set(said.get("dimension", ())))
    filler = rf"\W{{0,2}}(?:(?:{_any(words['filler'])})\b\W{{0,2}}){{0,3}}"
    size = _RANGE
    if unit in words["unit_mm"]:
        size += rf"\s*(?P<unit>{_any(words['unit_mm'])})\b\.?"
    if named:
        own_behind = rf"(?:[\s-]+(?:{own}))?" if own else ""
        own_before = rf"(?:(?:{own})\s+)?" if own else ""
        yield _compiled(rf"(?P<of>{named}){filler}{size}{own_behind}(?![\s-]+(?:{other})\b)")
        yield _compiled(rf"{size}[\s-]+{own_before}(?P<of>{named})")
    if of and own:
        yield _compiled(rf"(?P<of>{of}){filler}{size}[\s-]+(?:{own})")
        yield _compiled(rf"(?P<of>{of})\s+(?:{own}){filler}{size}")
        yield _compiled(rf"{size}[\s-]+(?:{own})\s+(?P<of>{of})")
    if zero:
        yield _compiled(rf"(?:{zero})")


def _compiled(form: str) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w){form}(?!\w)", re.IGNORECASE)


def _any(words: Iterable[str]) -> str:
    """An alternative of words, the longest first, whatever the space between them."""
    parts = sorted((re.escape(w).replace(r"\ ", r"\s+") for w in words), key=len, reverse=True)
    return "|".join(parts)
