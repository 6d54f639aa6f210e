"""How coarse each record is to be: by its plant, its place, and what it asks for itself."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from crossproof.coding import Memo
from crossproof.model import Claim, Coded, Judged, T, Verdict
from crossproof.rulebooks.model import Rulebook
from crossproof.sensitive.area import outline_of
from crossproof.sensitive.level import EXACT, read_level, step
from crossproof.sensitive.request import Request
from crossproof.sensitive.terms import listed

if TYPE_CHECKING:
    from crossproof.parse.place import Place


@dataclass(frozen=True, slots=True)
class Asked:
    """What a record asks for; words that can't be read are taken for the default."""

    words: str
    level: int
    is_read: bool = True


class Levels:
    """Rates records. Where several things ask for a level, the coarsest wins."""

    def __init__(self, rulebooks: Sequence[Rulebook], request: Request) -> None:
        self._taxa = {
            (book.id, taxon): step(_inherited(book, taxon))
            for book in rulebooks
            for taxon in book.taxa
        }
        self._named = dict[str, int]()
        for name, level in request.taxa:
            self._named[name] = max(level, self._named.get(name, EXACT))
        self._request = request
        self._place: Memo[Place, int] = Memo(self._of_place)

    def of(
        self, judged: Judged, places: Coded[Place | None], asked: Coded[str]
    ) -> tuple[NDArray[np.int64], Coded[Asked]]:
        """The level of each row, 0 where its place may stand, and what its own column asks."""
        answers = asked.map(self._asked)
        levels = np.maximum(
            _each(judged.claims, self._claim), _each(judged.verdicts, self._verdict)
        )
        levels = np.maximum(levels, _each(answers, lambda answer: answer.level))
        if self._request.areas:
            place_level = _each(places, lambda place: self._place(place) if place else EXACT)
            levels = np.maximum(levels, place_level)
        if self._request.sites:
            levels = np.maximum(levels, _each(judged.where, self._site))
        return levels, answers

    def _claim(self, claim: Claim) -> int:
        return self._taxon(claim.name.rulebook, claim.name.taxon, claim.name.scientific_name)

    def _verdict(self, verdict: Verdict) -> int:
        determined = verdict.determination
        return self._taxon(verdict.rulebook, determined.taxon, determined.scientific_name)

    def _taxon(self, rulebook: str, taxon: str, name: str) -> int:
        level = self._taxa.get((rulebook, taxon), EXACT)
        return max(level, self._named.get(name.casefold(), EXACT)) if self._named else level

    def _asked(self, cell: str) -> Asked:
        level = read_level(cell, self._request.default)
        return Asked(cell, self._request.default, False) if level is None else Asked(cell, level)

    def _of_place(self, place: Place) -> int:
        outline = outline_of(place)
        return max((a.level for a in self._request.areas if a.touches(outline)), default=EXACT)

    def _site(self, where: Mapping[str, str]) -> int:
        words = " | ".join(
            where[term] for term in sorted(listed("place", "localities") & where.keys())
        )
        found = (level for name, level in self._request.sites if name.search(words))
        return max(found, default=EXACT) if words else EXACT


def _inherited(book: Rulebook, taxon: str) -> int:
    """The side asked for by a taxon or anything above it: a subspecies is its species, too."""
    side, seen = 0, set[str]()
    while taxon in book.taxa and taxon not in seen:
        seen.add(taxon)
        side = max(side, book.taxa[taxon].sensitive_m)
        taxon = book.taxa[taxon].above
    return side


def _each(column: Coded[T], level: Callable[[T], int]) -> NDArray[np.int64]:
    levels = np.fromiter(map(level, column.values), dtype=np.int64, count=len(column.values))
    return levels[column.codes] if len(levels) else np.zeros(len(column.codes), dtype=np.int64)
