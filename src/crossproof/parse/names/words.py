"""The word lists of `words.toml`, as sets and maps."""

from __future__ import annotations

import csv
import tomllib
from pathlib import Path
from typing import Any, NamedTuple

_DATA: dict[str, Any] = tomllib.loads(
    Path(__file__).with_name("words.toml").read_text(encoding="utf-8")
)

ESCAPES: tuple[str, ...] = tuple(_DATA["escapes"])
CODE_PAGES: tuple[str, ...] = tuple(_DATA["code_pages"])
SIGNS: str = _DATA["signs"]
LOOKALIKES: str = _DATA["lookalikes"]
LONE: frozenset[str] = frozenset(_DATA["lone"])
FOOTNOTES: tuple[str, ...] = tuple(_DATA["footnotes"])
LIGATURES: dict[str, str] = _DATA["ligatures"]
DIGITS: dict[str, str] = _DATA["digits"]
BROKEN: dict[str, str] = _DATA["broken"]
QUALIFIERS: dict[str, str] = _DATA["qualifiers"]
QUALIFIER_SLIPS: dict[str, str] = _DATA["qualifier_slips"]
QUALIFIER_LONG: tuple[str, ...] = tuple(_DATA["qualifier_long"]["words"])
WITHIN_ENGLISH: dict[str, str] = _DATA["within_english"]
HEDGES: dict[str, list[tuple[str, ...]]] = {}  # first word → the words behind it
for _phrase in _DATA["hedges"]["phrases"]:
    _first, *_rest = _phrase.split()
    HEDGES.setdefault(_first, []).append(tuple(_rest))
RANKS: dict[str, str] = _DATA["ranks"]
RANK_NAMES: dict[str, str] = _DATA["rank_names"]
HYBRID: frozenset[str] = frozenset(_DATA["roles"]["hybrid"])
HYBRID_SLIPS: frozenset[str] = frozenset(_DATA["roles"]["hybrid_slips"])
JOIN: frozenset[str] = frozenset(_DATA["roles"]["join"])
OR: frozenset[str] = frozenset(_DATA["roles"]["or"])
LEAD: frozenset[str] = frozenset(_DATA["roles"]["lead"])
NUMBERED: frozenset[str] = frozenset(_DATA["roles"]["numbered"])
NEGATION: frozenset[str] = frozenset(_DATA["roles"]["negation"])
STOP: frozenset[str] = frozenset(_DATA["roles"]["stop"])
BACKCROSS: frozenset[str] = frozenset(_DATA["backcross"]["words"])
LEANING: frozenset[str] = BACKCROSS | frozenset(_DATA["backcross"]["leaning"])
ONTO: frozenset[str] = frozenset(_DATA["backcross"]["onto"])
BACK: frozenset[str] = LEANING | ONTO
CROSSED: frozenset[str] = HYBRID | BACKCROSS
LATIN_HYBRID: frozenset[str] = frozenset(_DATA["latin"]["hybrid"])
LATIN_GOVERNING: frozenset[str] = frozenset(_DATA["latin"]["governing"])
LATIN_PLAIN: dict[str, tuple[str, str]] = {k: tuple(v) for k, v in _DATA["latin"]["plain"].items()}
LATIN_SIGNS: frozenset[str] = LATIN_HYBRID | LATIN_GOVERNING | LATIN_PLAIN.keys()
LATIN_ENDINGS: tuple[tuple[str, str], ...] = tuple(map(tuple, _DATA["latin"]["endings"]))
PLAIN: frozenset[str] = frozenset(_DATA["plain"]["words"])
NO_EPITHETS: frozenset[str] = LEAD | STOP | HYBRID | PLAIN
ELSEWHERE: dict[str, tuple[str, ...]] = {k: tuple(v) for k, v in _DATA["elsewhere"].items()}


class Neighbour(NamedTuple):
    """A plant outside the rulebooks. `beside`: recorded with theirs, so an initial will do."""

    latin: str
    english: tuple[str, ...]
    beside: bool


def _neighbours() -> tuple[Neighbour, ...]:
    """Plants outside the rulebooks and their English names. From memory."""
    with Path(__file__).with_name("neighbours.csv").open(encoding="utf-8", newline="") as table:
        return tuple(
            Neighbour(
                row["latin"], tuple(filter(None, row["english"].split(";"))), bool(row["beside"])
            )
            for row in csv.DictReader(table)
        )


NEIGHBOURS = _neighbours()
