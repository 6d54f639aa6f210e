"""Phrases with classes of words in them: `like {rod}` stands for one phrase for every rod."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from itertools import product
from typing import Any

_CLASS = re.compile(r"\{(\w+)\}")


def spelled_out(phrase: str, classes: Mapping[str, Iterable[str]]) -> Iterator[str]:
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
    """The lists of a table, and of the tables in it, with their `classes` put in and left out.

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
    return [phrase for member in value for phrase in spelled_out(member, classes)]
