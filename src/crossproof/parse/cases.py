"""What the judge weighs of each row: few distinct cases, however many distinct words.

Whatever cannot make a difference to a claim is left out of its case, so that records which the
judge could not tell apart are one case and judged once.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from crossproof.coding import cross, distinct, same
from crossproof.model import Case, Claim, Coded, Evidence, Name, PhotoState, Source, Weight
from crossproof.parse.evidence import Spoken, Stated
from crossproof.parse.location import Where
from crossproof.parse.timing import When
from crossproof.rulebooks.model import Rulebook

Weighable = tuple[str, str, Weight, Source]
Near = Callable[
    [Name, Where, When], str
]  # `both`, `one` or `none` of a cross's parents; '' unknown
YEAR = frozenset(range(1, 13))


@dataclass(frozen=True, slots=True, kw_only=True)
class Around:
    """All that bears on a claim but the plant's own evidence and photo."""

    name: Name
    specialist: bool
    mentions: frozenset[str]
    months: frozenset[int]
    flower_only: bool
    parents: str
    sex: str
    setting: str
    unreadable: tuple[str, ...]


class Cases:
    """Makes the cases of chunk after chunk; the arguments are those of `records.Reader`."""

    def __init__(
        self,
        rulebooks: Mapping[str, Rulebook],
        *,
        lenient: bool,
        specialists: Sequence[str],
        near: Near | None,
    ) -> None:
        self._rulebooks = rulebooks
        self._lenient = lenient
        self._specialists = tuple(name.strip().casefold() for name in specialists if name.strip())
        self._near = near
        self._anywhere = {book.id: _mentions_that_rule(book) for book in rulebooks.values()}

    def of(
        self, claims: Coded[Claim], stated: Stated, where: Coded[Where], when: Coded[When]
    ) -> Coded[Case]:
        """The case of each row."""
        around = cross(
            distinct(claims.map(lambda claim: (_essence(claim.name), self._special(claim)))),
            distinct(stated.spoken.map(lambda spoken: replace(spoken, evidence=()))),
            distinct(where.map(lambda place: (place.readable, place.mentions))),
            distinct(when.map(lambda time: (time.readable, time.months))),
            self._parents_near(claims, where, when),
        )
        combined = cross(
            distinct(around.map(lambda parts: self._around(*parts))),
            distinct(stated.evidence.map(_weighable)),
            distinct(cross(claims, stated.photo).map(lambda p: _bearing_photo(*p))),
        )
        return combined.map(lambda parts: _case(*parts))

    def _around(
        self,
        claim: tuple[Name, bool],
        spoken: Spoken,
        place: tuple[bool, frozenset[str]],
        time: tuple[bool, frozenset[int]],
        near: str,
    ) -> Around:
        name, specialist = claim
        readable = {"place_unreadable": place[0], "date_unreadable": time[0]}
        problems = () if self._lenient else tuple(r for r, is_so in readable.items() if not is_so)
        return Around(
            name=name,
            specialist=specialist,
            mentions=self._bearing(name, spoken.mentions | place[1]),
            months=self._out_of_season(name, time[1]),
            flower_only=spoken.flower_only and bool(name.parents),
            parents=(spoken.parents or near) if name.parents else "",
            sex=spoken.sex,
            setting=spoken.setting,
            unreadable=problems,
        )

    def _bearing(self, name: Name, mentions: frozenset[str]) -> frozenset[str]:
        """The mentions that some rule on this claim speaks of."""
        book = self._rulebooks.get(name.rulebook)
        if not mentions or book is None or name.taxon not in book.taxa:
            return frozenset()
        taxon = book.taxa[name.taxon]
        family = (taxon, *(book.taxa[parent] for parent in taxon.parents))
        speaking = {region for member in family for region in member.absent_from}
        if book.soil and book.soil.instead_of in taxon.parents:
            speaking.add(book.soil.mention)
        return mentions & (self._anywhere[book.id] | speaking)

    def _out_of_season(self, name: Name, months: frozenset[int]) -> frozenset[int]:
        """All months the plant doesn't flower in, if the record's are among them; else none."""
        book = self._rulebooks.get(name.rulebook)
        if not months or book is None or name.taxon not in book.taxa:
            return frozenset()
        flowering = book.taxa[name.taxon].months
        return YEAR - flowering if flowering and not months & flowering else frozenset()

    def _parents_near(
        self, claims: Coded[Claim], where: Coded[Where], when: Coded[When]
    ) -> Coded[str]:
        near = self._near
        if near is None:
            return same("", len(claims))
        crosses = distinct(
            claims.map(lambda c: _essence(c.name) if c.name.taxon and c.name.parents else None)
        )
        found = cross(crosses, where, when).map(
            lambda record: near(*record) if record[0] is not None else ""
        )
        return distinct(found)

    def _special(self, claim: Claim) -> bool:
        who = claim.identified_by.casefold()
        if not who:
            return False
        book = self._rulebooks.get(claim.name.rulebook)
        words = (*(book.specialist_words if book else ()), *self._specialists)
        return any(word in who for word in words)


def _case(around: Around, evidence: tuple[Weighable, ...], photo: PhotoState) -> Case:
    return Case(
        name=around.name,
        evidence=evidence,
        photo=photo,
        flower_only=around.flower_only,
        specialist=around.specialist,
        months=around.months,
        mentions=around.mentions,
        parents=around.parents,
        unreadable=around.unreadable,
        sex=around.sex,
        setting=around.setting,
    )


def _mentions_that_rule(book: Rulebook) -> frozenset[str]:
    """The mentions that rules on any claim of the rulebook speak of."""
    return frozenset(mention for c in book.combinations for mention in c.unless)


def _bearing_photo(claim: Claim, photo: PhotoState) -> PhotoState:
    """A photo is asked of crosses only."""
    return photo if claim.name.parents or not claim.name.taxon else "not_recorded"


def _essence(name: Name) -> Name:
    """A name without the words it was written in, where the words no longer matter."""
    return replace(name, verbatim="", assumed=()) if name.taxon else name


def _weighable(evidence: tuple[Evidence, ...]) -> tuple[Weighable, ...]:
    """The states without the words they were read from."""
    return tuple(sorted({(e.character, e.state, e.weight, e.source) for e in evidence}))
