"""Phrases with classes of words in them: `like {rod}` stands for one phrase for every rod."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby, product
from typing import Any

_CLASS = re.compile(r"\{(\w+)\}")


@dataclass(frozen=True, slots=True)
class Phrases:
    """A list of phrases as written, and the classes of words that some of them are made of.

    To iterate over it spells each phrase out; a list of some hundred lines stands for thousands.
    """

    written: tuple[str, ...]
    classes: Mapping[str, tuple[str, ...]]

    def __iter__(self) -> Iterator[str]:
        for phrase in self.written:
            yield from spelled_out(phrase, self.classes)

    def places(self, phrase: str) -> tuple[tuple[str, ...], ...]:
        """What may stand where in one of `written`: `like a {rod}` gives (like a), (nail, twig)."""
        return tuple(
            tuple(spelled_out(" ".join(part), self.classes))
            for _, part in groupby(phrase.split(), key=_CLASS.search)
        )


def spelled_out(phrase: str, classes: Mapping[str, tuple[str, ...]]) -> Iterator[str]:
    """Every phrase that `phrase` stands for: `like {rod}` gives `like a nail`, `like a twig` …

    A class that does not exist stands for itself, so that a checker may name it.
    """
    pieces = _CLASS.split(phrase)
    choices = [
        classes.get(piece, (f"{{{piece}}}",)) if at % 2 else (piece,)
        for at, piece in enumerate(pieces)
    ]
    for chosen in product(*choices):
        yield " ".join("".join(chosen).split())


def expanded(said: Mapping[str, Any]) -> dict[str, Any]:
    """The lists of a table, and of the tables in it, with their `classes` known and left out.

    A class may be made of classes that stand before it.
    """
    return _expanded(said, {})


def _expanded(said: Mapping[str, Any], inherited: Mapping[str, tuple[str, ...]]) -> dict[str, Any]:
    classes = dict(inherited)
    for name, members in said.get("classes", {}).items():
        classes[name] = tuple(phrase for m in members for phrase in spelled_out(m, classes))
    return {key: _filled(value, classes) for key, value in said.items() if key != "classes"}


def _filled(value: Any, classes: Mapping[str, tuple[str, ...]]) -> Any:
    if isinstance(value, Mapping):
        return _expanded(value, classes)
    if not isinstance(value, list) or not any(isinstance(m, str) and "{" in m for m in value):
        return value
    return Phrases(tuple(value), classes)
