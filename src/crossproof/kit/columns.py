"""The columns of a recording form: what, where and when, then the plant from the ground up."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal

from crossproof.rulebooks.model import Character, Rulebook

Kind = Literal["text", "plant", "grid", "date", "count", "choice", "state", "number"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column of the form. `choices` are what its cells offer; `width` is in signs."""

    field: str
    heading: str
    look: str
    band: str
    kind: Kind = "text"
    choices: tuple[str, ...] = ()
    unit: str = ""
    width: float = 14

    @property
    def is_of_the_plant(self) -> bool:
        """Whether it holds a character, which a claim may need."""
        return self.kind in ("state", "number")


@cache
def words() -> Mapping[str, Any]:
    """The words of `form.toml` beside this module."""
    text = Path(__file__).with_name("form.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def columns(book: Rulebook) -> tuple[Column, ...]:
    """The columns of a group's form, in the order in which they are to be looked at."""
    characters = book.ordered_characters
    sexed = "sex" if any(character.sex for character in characters) else ""
    return (
        *_fixed("before", book),
        *(_fixed(sexed, book) if sexed else ()),
        *map(_of_character, characters),
        *_fixed("after", book),
    )


def _fixed(part: str, book: Rulebook) -> tuple[Column, ...]:
    found = []
    for entry in words()[part]:
        column = Column(**{**entry, "choices": tuple(entry.get("choices", ()))})
        if column.kind == "plant":
            column = Column(**{**entry, "choices": plants(book)})
        found.append(column)
    return tuple(found)


def _of_character(character: Character) -> Column:
    # The first heading is one that `vet` knows, and short enough to stand over a column.
    heading = character.headings[0] if character.headings else character.id.replace("_", " ")
    heading = heading[:1].upper() + heading[1:]
    if character.unit and character.unit not in heading.casefold().split():
        heading += f" ({character.unit})"
    states = tuple(state.title for state in character.states)
    longest = max(map(len, (*states, words()["unseen"])))
    return Column(
        field=character.id,
        heading=heading,
        look=character.look,
        band="plant",
        kind="number" if character.is_measured else "state",
        choices=() if character.is_measured else (*states, words()["unseen"]),
        unit=character.unit,
        width=min(max(len(heading) + 2, 10 if character.is_measured else longest + 2), 26),
    )


def plants(book: Rulebook) -> tuple[str, ...]:
    """The names offered: species and what is above them, then the hybrids, the commoner first."""
    others = [t for t in book.taxa.values() if not t.is_hybrid and t.rank not in ("aggregate",)]
    hybrids = sorted(book.hybrids, key=lambda h: (h.tier, book.written(h.id)))
    return tuple(dict.fromkeys(book.written(t.id) for t in (*others, *hybrids)))


def needed(book: Rulebook) -> Mapping[str, tuple[str, ...]]:
    """For each character that is always needed, and `photo` and `parents`: of which hybrids."""
    found: dict[str, list[str]] = {}
    for hybrid in book.hybrids:
        need = book.requirement(hybrid.id)
        if need is None or need.never:
            continue
        for what in need.all_of:
            if what in book.characters or what in ("photo", "parents"):
                found.setdefault(what, []).append(book.written(hybrid.id))
    return {what: tuple(hybrids) for what, hybrids in found.items()}
