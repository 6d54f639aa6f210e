"""Shorten people's names wherever a record repeats them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import Any

import numpy as np

from crossproof.coding import cross, distinct
from crossproof.findings import Finding
from crossproof.model import Claim, Judged, Photo
from crossproof.sensitive.people import Rename, names_in, renamed, without_names
from crossproof.sensitive.rewrite import Flags, each_text, rewrite
from crossproof.sensitive.terms import listed

Known = tuple[str, ...]  # the names that a record gives, in its columns for people


class Names:
    """Renames the people of each record, and everywhere else in it where they stand in full."""

    def __init__(self, rename: Rename) -> None:
        self._rename = rename

    def shorten(
        self, judged: Judged, findings: Sequence[Finding]
    ) -> tuple[Judged, list[Finding], Flags]:
        """The rows and findings with people renamed, and which rows name anybody."""
        people = [judged.given[t] for t in sorted(listed("people", "terms")) if t in judged.given]
        claimed = distinct(judged.claims.map(lambda claim: claim.identified_by))
        columns = cross(claimed, *people)
        known = distinct(
            columns.map(lambda cells: tuple(dict.fromkeys(n for c in cells for n in names_in(c))))
        )
        named = np.array([bool(names) for names in known.values], dtype=bool)[known.codes]
        rows = np.flatnonzero(named)
        keys = known.select(rows)
        text = partial(rewrite, rows=rows, keys=keys)
        given = {}
        for term, column in judged.given.items():
            given[term], _ = text(column, function=partial(self._given, term), wanted=bool)
        shortened = replace(
            judged,
            given=given,
            claims=text(judged.claims, function=self._claim)[0],
            verdicts=text(judged.verdicts, function=self._any)[0],
            where=text(judged.where, function=self._any)[0],
            when=text(judged.when, function=self._any)[0],
            evidence=text(judged.evidence, function=self._any, wanted=bool)[0],
            photos=text(judged.photos, function=self._photos, wanted=bool)[0],
            extra=text(judged.extra, function=self._any, wanted=bool)[0],
        )
        by_number = {
            judged.numbers[row]: names for row, names in zip(rows.tolist(), keys, strict=True)
        }
        headings = {judged.table.fields.get(t, t) for t in listed("people", "terms")}
        told = [self._finding(f, by_number.get(f.row, ()), headings) for f in findings]
        return shortened, told, named

    def _text(self, text: str, names: Known) -> str:
        return without_names(text, names, self._rename)

    def _any(self, value: Any, names: Known) -> Any:
        return each_text(value, lambda text: self._text(text, names))

    def _given(self, term: str, text: str, names: Known) -> str:
        if term in listed("people", "ids"):
            return ""  # an ORCID is a name that a list looks up
        if term in listed("people", "terms"):
            return renamed(text, self._rename)
        return self._text(text, names)

    def _claim(self, claim: Claim, names: Known) -> Claim:
        by = renamed(claim.identified_by, self._rename)
        others: Claim = self._any(replace(claim, identified_by=""), names)
        return replace(others, identified_by=by)

    def _photos(self, photos: tuple[Photo, ...], names: Known) -> tuple[Photo, ...]:
        shortened = (self._any(replace(photo, creator=""), names) for photo in photos)
        return tuple(
            replace(new, creator=renamed(old.creator, self._rename))
            for new, old in zip(shortened, photos, strict=True)
        )

    def _finding(self, found: Finding, names: Known, headings: set[str]) -> Finding:
        value = found.value
        if names and found.column in headings:
            value = renamed(value, self._rename)
        value, message = self._text(value, names), self._text(found.message, names)
        same = (value, message) == (found.value, found.message)
        return found if same else replace(found, value=value, message=message)
