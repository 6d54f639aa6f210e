"""The stage between judge and outputs: what may be published of each record, and nothing more."""

from __future__ import annotations

import hashlib
import hmac
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING, Any

import numpy as np

from crossproof.coding import cross, same
from crossproof.findings import Finding
from crossproof.model import Claim, Coded, Judged
from crossproof.sensitive.guard import Guard
from crossproof.sensitive.level import WITHHELD
from crossproof.sensitive.levels import Levels
from crossproof.sensitive.names import Names
from crossproof.sensitive.people import Rename
from crossproof.sensitive.positions import Positions
from crossproof.sensitive.rewrite import Flags, Rows, each_text, may_tell, rewrite
from crossproof.sensitive.tell import Tell, tell_of
from crossproof.sensitive.telling import about, contacts, guarded, unread
from crossproof.sensitive.terms import is_identifier, listed

if TYPE_CHECKING:
    from crossproof.parse.place import Place

Places = Coded["Place | None"]
# What is kept back, said in dwc:informationWithheld; the place itself always.
_KEPT_BACK = (
    "the place as recorded",
    "the words of the locality",
    "positions written in other fields",
    "references of photos that hold the position",
    "the record's own identifier",
    "the identifier of its event",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tools:
    """What this stage is handed, since it knows no notation of places itself.

    `coarsen` gives the square of a side (in metres) that holds a place, `figures` its easting and
    northing on all grids, `is_square` knows the letters of the grids.
    """

    coarsen: Callable[[Place, int], Place | None]
    figures: Callable[[Place], Sequence[tuple[float, float]]]
    is_square: Callable[[str], bool]


@dataclass(frozen=True, slots=True, kw_only=True)
class Submitted:
    """The rows of one chunk, as they reach this stage.

    `asked` is the column placeSensitivity. `made` tells which identifiers are ours, worked out
    from what the row says; `renew` makes a new one, of its own, from the texts it is given.
    """

    judged: Judged
    findings: Sequence[Finding]
    places: Places
    asked: Coded[str]
    made: Callable[[], Flags]
    renew: Callable[[Sequence[str]], str]


class Protector:
    """Makes sensitive places coarse and people's names short, before anything is written.

    Args:
        levels: how coarse each record is to be.
        rename: what becomes of people's names; None where they stay as given.
        key: of the pseudonyms of identifiers; empty where there is none.
        hides_localities: whether the words of localities go, too, where a place is made coarser.
    """

    def __init__(
        self,
        levels: Levels,
        tools: Tools,
        *,
        rename: Rename | None = None,
        key: bytes = b"",
        hides_localities: bool = False,
    ) -> None:
        self._levels = levels
        self._tools = tools
        self._positions = Positions(tools.is_square)
        self._names = Names(rename) if rename else None
        self._key = key
        self._hides = hides_localities

    def protect(self, submitted: Submitted) -> tuple[Judged, list[Finding]]:
        """What may be published of the rows of a chunk, and what is to be known of them."""
        judged = submitted.judged
        levels, asked = self._levels.of(judged, submitted.places, submitted.asked)
        told = [*submitted.findings, *contacts(judged), *unread(judged, asked)]
        rows = np.flatnonzero(levels)
        if not len(rows) and not self._names:
            return judged, told
        renewed = np.zeros(len(levels), dtype=bool)
        if self._names:
            judged, told, named = self._names.shorten(judged, told)
            renewed |= named
        if not len(rows):
            return self._with_ids(judged, renewed & submitted.made(), submitted.renew), told
        guards = cross(_coded(levels[rows]), submitted.places.select(rows)).map(
            lambda pair: self._guard(*pair)
        )
        judged, kept_back = _guarded(judged, rows, guards)
        renewed[rows] = True
        unsafe = np.zeros(len(levels), dtype=bool)
        unsafe[rows] = [
            guard.clean(judged.ids[row]) != judged.ids[row]
            for row, guard in zip(rows.tolist(), guards, strict=True)
        ]
        kept_back[4][:] = unsafe[rows]
        judged = self._with_ids(judged, (renewed & submitted.made()) | unsafe, submitted.renew)
        told = guarded(judged, told, rows, guards)
        told += about(judged, rows, guards)
        return _with_statements(judged, rows, guards, kept_back), told

    def _guard(self, level: int, place: Place | None) -> Guard:
        square = self._tools.coarsen(place, level) if place and level < WITHHELD else None
        tell: Tell | None = None
        if place:
            figures = self._tools.figures(place)
            tell = tell_of(place.latitude, place.longitude, figures, level)
        near = place and place.uncertainty_m
        return Guard(
            level=level,
            square=square,
            held=f"to within {near} m" if near else "as latitude and longitude",
            is_coarser=bool(square and place and square.grid_reference != place.grid_reference)
            or bool(square and not square.grid_reference),
            tell=tell,
            hides_localities=self._hides or level >= WITHHELD,
            positions=self._positions,
            pseudonym=self._pseudonym,
        )

    def _pseudonym(self, text: str) -> str:
        """The same for the same text under one key; '' without a key, as a digest can be tried."""
        if not self._key:
            return ""
        message = f"identifier\x1f{text}".encode("utf-8", "surrogatepass")
        return hmac.new(self._key, message, hashlib.sha256).hexdigest()[:32]

    def _with_ids(
        self, judged: Judged, which: Flags, renew: Callable[[Sequence[str]], str]
    ) -> Judged:
        """New identifiers for the rows whose own one could be worked back to what is kept back.

        With a key they are made from the old ones; without, from what the row publishes, its place
        left out: so they stay the same at any resolution.
        """
        if not which.any():
            return judged
        ids = list(judged.ids)
        for row in np.flatnonzero(which).tolist():
            keyed = self._pseudonym(ids[row])
            ids[row] = renew([keyed] if keyed else _published(judged, row))
        return replace(judged, ids=ids)


def _coded(numbers: np.ndarray) -> Coded[int]:
    values, codes = np.unique(numbers, return_inverse=True)
    return Coded(values.tolist(), codes.astype(np.intp))


def _published(judged: Judged, row: int) -> list[str]:
    """What a row publishes, its place left out, as the texts of an identifier."""

    def at(column: Coded[Any]) -> Any:
        return column.values[column.codes[row]]

    claim: Claim = at(judged.claims)
    pieces = [claim.words, claim.identified_by, claim.date_identified, claim.remarks]
    pieces += [f"{term}={text}" for term, text in at(judged.when).items()]
    pieces += [f"{term}={at(column)}" for term, column in judged.given.items()]
    pieces += [f"{e.character}={e.state}={e.words}" for e in at(judged.evidence)]
    pieces += [photo.reference for photo in at(judged.photos)]
    return [*pieces, at(judged.extra)]


def _guarded(judged: Judged, rows: Rows, guards: Coded[Guard]) -> tuple[Judged, list[Flags]]:
    """The rows with their places coarse, and which of `_KEPT_BACK` each lost."""
    headings = {heading: field for field, heading in judged.table.fields.items()}

    def hidden(terms: Mapping[str, str], guard: Guard) -> bool:
        return guard.hides_localities and not listed("place", "localities").isdisjoint(terms)

    localities = cross(judged.where.select(rows), guards).map(lambda pair: hidden(*pair))
    text = partial(rewrite, rows=rows, keys=guards)
    where, _ = text(judged.where, function=lambda v, g: g.where(v))
    when, said = text(judged.when, function=lambda v, g: g.when(v), wanted=may_tell)
    claims, named = text(judged.claims, function=_cleaned, wanted=may_tell)
    verdicts, judged_so = text(judged.verdicts, function=_cleaned, wanted=may_tell)
    evidence, stated = text(judged.evidence, function=lambda v, g: g.evidence(v), wanted=may_tell)
    photos, shown = text(judged.photos, function=lambda v, g: g.photos(v), wanted=may_tell)
    extra, more = text(
        judged.extra, function=lambda v, g: g.extra(v, headings) if v else v, wanted=bool
    )
    others = said | named | judged_so | stated | more
    events = np.zeros(len(rows), dtype=bool)
    given = {}
    for term, column in judged.given.items():
        given[term], changed = text(column, function=partial(_given, term), wanted=bool)
        if term in listed("identifiers", "shared"):
            events |= changed
        elif term not in listed("place", "coordinates"):
            others |= changed
    everywhere = np.ones(len(rows), dtype=bool)
    hides = np.fromiter(localities, dtype=bool, count=len(rows))
    published = replace(
        judged,
        where=where,
        when=when,
        claims=claims,
        verdicts=verdicts,
        evidence=evidence,
        photos=photos,
        extra=extra,
        given=given,
    )
    identifiers = np.zeros(len(rows), dtype=bool)  # filled in when they are renewed
    return published, [everywhere, hides, others, shown, identifiers, events]


def _cleaned(value: Any, guard: Guard) -> Any:
    return each_text(value, guard.clean)


def _given(term: str, text: str, guard: Guard) -> str:
    if term in listed("place", "coordinates"):
        return ""
    if guard.hides_localities and term in listed("place", "localities"):
        return ""
    if term in listed("identifiers", "shared"):
        return guard.pseudonym(text)
    if term == "dataGeneralizations":
        return guard.statement(text)
    return guard.identifier(text) if is_identifier(term) else guard.clean(text)


def _with_statements(
    judged: Judged, rows: Rows, guards: Coded[Guard], kept_back: Sequence[Flags]
) -> Judged:
    """The rows with dwc:dataGeneralizations and dwc:informationWithheld."""
    weights = [1 << bit for bit in range(len(kept_back))]
    lost = _coded(np.stack(kept_back, axis=1) @ np.array(weights))
    told = {
        "dataGeneralizations": guards.map(Guard.generalised),
        "informationWithheld": lost.map(_withheld),
    }
    given = dict(judged.given)
    for term, statements in told.items():
        column = given.get(term, same("", len(judged.ids)))
        given[term], _ = rewrite(column, rows, statements, _added)
    return replace(judged, given=given)


def _withheld(lost: int) -> str:
    pieces = [words for bit, words in enumerate(_KEPT_BACK) if lost >> bit & 1]
    return f"Withheld: {', '.join(pieces)}"


def _added(text: str, statement: str) -> str:
    """The statement behind what was said before; once only, when our own output comes back."""
    pieces = [piece for piece in text.split(" | ") if piece]
    gist = re.split("[;,]", statement, maxsplit=1)[0]
    again = any(piece.startswith(gist) for piece in pieces)
    return " | ".join([*pieces, statement] if statement and not again else pieces)
