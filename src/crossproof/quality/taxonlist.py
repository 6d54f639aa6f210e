"""A list of taxa that the user gives as the authority for names: CSV, Darwin Core headings."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

from .values import is_empty, trim

RANKS = (
    "kingdom",
    "phylum",
    "class",
    "order",
    "superfamily",
    "family",
    "subfamily",
    "tribe",
    "subtribe",
    "genus",
)
IDENTIFIERS = ("scientificNameID", "taxonID")


class TaxonListError(ValueError):
    """The file cannot be used as a list of taxa."""


@dataclass(frozen=True, slots=True)
class TaxonList:
    """Taxa as rows of bare Darwin Core terms, found by identifier, name, or name at a rank."""

    rows: tuple[Mapping[str, str], ...]
    by_id: dict[str, tuple[int, ...]] = field(default_factory=dict)
    by_name: dict[str, tuple[int, ...]] = field(default_factory=dict)
    at_rank: dict[str, frozenset[str]] = field(default_factory=dict)
    under: dict[tuple[str, str], tuple[int, ...]] = field(default_factory=dict)

    def identified(self, identifier: str) -> list[Mapping[str, str]]:
        return [self.rows[place] for place in self.by_id.get(identifier, ())]

    def named(self, name: str) -> list[Mapping[str, str]]:
        """Return the taxa of this name, written with its author or without."""
        return [self.rows[place] for place in self.by_name.get(" ".join(name.split()), ())]


def build(rows: Iterable[Mapping[str, str]]) -> TaxonList:
    """Index taxa given as mappings of bare Darwin Core terms."""
    kept = tuple(dict(row) for row in rows)
    by_id: dict[str, list[int]] = {}
    by_name: dict[str, list[int]] = {}
    under: dict[tuple[str, str], list[int]] = {}
    at_rank: dict[str, set[str]] = {rank: set() for rank in RANKS}
    for place, row in enumerate(kept):
        for identifier in {row.get(term, "") for term in IDENTIFIERS} - {""}:
            by_id.setdefault(identifier, []).append(place)
        for name in _names(row):
            by_name.setdefault(name, []).append(place)
        for rank in RANKS:
            at_rank[rank].add(row.get(rank, ""))
            under.setdefault((rank, above(row, rank)), []).append(place)
        rank = row.get("taxonRank", "").lower()
        if rank in at_rank:
            at_rank[rank] |= _names(row)
    return TaxonList(
        kept,
        {identifier: tuple(places) for identifier, places in by_id.items()},
        {name: tuple(places) for name, places in by_name.items()},
        {rank: frozenset(names - {""}) for rank, names in at_rank.items()},
        {key: tuple(places) for key, places in under.items()},
    )


def above(row: Mapping[str, str], rank: str) -> str:
    """Return the name a taxon has at a rank: its own where it is of that rank itself."""
    own = row.get("taxonRank", "").lower() == rank
    return row.get("scientificName", "") if own else row.get(rank, "")


def _names(row: Mapping[str, str]) -> set[str]:
    """Return the name with its author and without, whichever way the list writes it."""
    name = " ".join(row.get("scientificName", "").split())
    author = " ".join(row.get("scientificNameAuthorship", "").split())
    bare = name.removesuffix(author).strip() if author else name
    return {each for each in (name, bare, f"{bare} {author}".strip()) if each}


@lru_cache(maxsize=4)
def _loaded(path: str, stamp: tuple[int, int]) -> TaxonList:
    """Read a file once for as long as its time and size stay the same."""
    try:
        with Path(path).open(encoding="utf-8-sig", newline="") as file:
            reader = csv.DictReader(file)
            if "scientificName" not in (reader.fieldnames or ()):
                raise TaxonListError(f"{path} has no column scientificName: it is no list of taxa")
            return build(
                {
                    term: trim(value)
                    for term, value in row.items()
                    if isinstance(term, str) and isinstance(value, str) and not is_empty(value)
                }
                for row in reader
            )
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise TaxonListError(f"{path} cannot be read as a CSV file in UTF-8: {error}") from error


def load(path: str | Path) -> TaxonList:
    """Read a list of taxa from a CSV file (UTF-8, a heading of bare Darwin Core terms).

    `scientificName` is needed. `taxonRank`, the higher ranks, `scientificNameAuthorship` and
    `scientificNameID` or `taxonID` are used where the file has them.

    Raises:
        TaxonListError: the file is missing, unreadable, or has no column scientificName.
    """
    try:
        state = Path(path).stat()
    except (OSError, ValueError) as error:
        raise TaxonListError(f"{path} cannot be read: {error}") from error
    return _loaded(str(path), (state.st_mtime_ns, state.st_size))
