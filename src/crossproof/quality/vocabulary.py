"""Small vocabularies from a data file: is a value in one, and which value does a word stand for."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from .registry import DATA
from .values import trim

SHORTEST = 3  # letters of an abbreviation that is not listed as a synonym


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """The strings of one vocabulary, with other words for them by their folded form."""

    title: str
    source: str
    date: str
    values: frozenset[str]
    ending: str = ""
    prefixes: tuple[str, ...] = ()
    meanings: dict[str, str] = field(default_factory=dict)

    def __contains__(self, value: str) -> bool:
        """Match exactly: case and spaces count (Implementer's Guide, section 2.4)."""
        return value in self.values

    def match(self, text: str) -> str | None:
        """Return the one value that `text` stands for, or None.

        Tried in turn: the value in another case or spacing, a synonym, a word without the ending
        all have (`Holo`), the front of a word with a full stop after it (`vag.`), and the fronts of
        several words (`Human obs`).
        """
        written = trim(text)
        for prefix in self.prefixes:
            if written.casefold().startswith(prefix):
                written = written[len(prefix) :]
                break
        folded = fold(written)
        known = self.meanings.get(folded)
        return known or self._abbreviated(written, folded)

    def _abbreviated(self, written: str, folded: str) -> str | None:
        words = re.findall(r"[^\W\d_]+", written.casefold())
        if not words or len(words) > 6 or any(len(word) < SHORTEST for word in words):
            return None
        if self.ending and folded + self.ending in self.meanings and len(words) == 1:
            return self.meanings[folded + self.ending]
        if len(words) == 1 and not re.fullmatch(r"[^\W\d_]+\.", written):
            return None
        found = {value for value in self.values if _fronts(words, _words_of(value))}
        shortest = min(found, key=len, default=None)
        base = shortest is not None and all(value.startswith(shortest) for value in found)
        return shortest if base else None


def fold(text: str) -> str:
    """Leave of a word what carries its meaning: no case, spaces, punctuation or control marks."""
    folded = unicodedata.normalize("NFKC", text).casefold()
    return "".join(each for each in folded if unicodedata.category(each)[0] not in "PZC")


def _words_of(value: str) -> list[str]:
    return [word.casefold() for word in re.findall(r"[A-Z]?[a-z]+", value)]


def _fronts(words: list[str], of: list[str]) -> bool:
    """Say whether each word is the front of its counterpart; a single word may stop early."""
    counterparts = of[:1] if len(words) == 1 else of
    return len(words) == len(counterparts) and all(map(str.startswith, counterparts, words))


@cache
def vocabulary(name: str) -> Vocabulary:
    """Return the vocabulary under `name` in vocabularies.toml.

    Raises:
        KeyError: there is none of that name.
    """
    entry = _file()[name]
    base = vocabulary(entry["extends"]) if "extends" in entry else None
    meanings = dict(base.meanings) if base else {}
    for value, words in entry["synonyms"].items():
        meanings |= dict.fromkeys(map(fold, words), value)
    meanings |= {fold(value): value for value in entry["values"]}
    return Vocabulary(
        title=entry["title"],
        source=entry["source"],
        date=entry["date"],
        values=frozenset(entry["values"]) | (base.values if base else frozenset()),
        ending=entry.get("ending", ""),
        prefixes=tuple(entry.get("prefixes", ())),
        meanings=meanings,
    )


def alternatives(name: str) -> dict[str, str]:
    """Return what may be named instead of a default: folded title to name in the file."""
    return {
        fold(entry["title"]): other
        for other, entry in _file().items()
        if entry.get("instead_of") == name
    }


def chosen(name: str, authority: str) -> Vocabulary:
    """Return the vocabulary that a source authority names, the default one of `name` otherwise."""
    return vocabulary(alternatives(name).get(fold(authority), name))


@cache
def _file() -> dict[str, Any]:
    return tomllib.loads((DATA / "vocabularies.toml").read_text(encoding="utf-8"))


def names() -> tuple[str, ...]:
    """Return the names of all vocabularies, in the order of the file."""
    return tuple(_file())
