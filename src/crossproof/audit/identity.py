"""Which records may be the same one twice: numbers that are equal where they may be."""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import blake2b
from typing import Any

import numpy as np
from numpy.typing import NDArray

from crossproof.arrow import utf8
from crossproof.coding import ByObject, Memo
from crossproof.model import Claim, Coded
from crossproof.parse.location import Where
from crossproof.parse.records import Weighables
from crossproof.parse.timing import When
from crossproof.sensitive.people import names_in

Numbers = NDArray[np.uint64]
_PRIME = np.uint64(0x9E3779B97F4A7C15)  # 2^64 divided by the golden ratio, made odd
_MIX = (np.uint64(0xBF58476D1CE4E5B9), np.uint64(0x94D049BB133111EB))


def mixed(numbers: Numbers) -> Numbers:
    """Spread numbers over all 64 bits, one to one (SplitMix64; Steele, Lea, Flood 2014)."""
    with np.errstate(over="ignore"):
        z = numbers + _PRIME
        z = (z ^ (z >> np.uint64(30))) * _MIX[0]
        z = (z ^ (z >> np.uint64(27))) * _MIX[1]
        return z ^ (z >> np.uint64(31))


def number_of(text: str) -> int:
    """A number of 64 bits for a text, the same in every run (BLAKE2b)."""
    digest = blake2b(text.encode("utf-8", "surrogatepass"), digest_size=8).digest()
    return int.from_bytes(digest, "little")


class Identity:
    """Numbers the records of chunk after chunk."""

    def __init__(self) -> None:
        self._people: Memo[str, int] = Memo(_people, limit=20_000)
        self._place: ByObject[Where, int] = ByObject(_place)
        self._day: ByObject[When, int] = ByObject(_day)

    def keys(self, ids: Sequence[str], found: Weighables, recorder: Coded[str]) -> Numbers:
        """For each row a number of its identifier, and one of what, where, when and who.

        The second says nothing (0) unless all four are known, and the date is one day. Names in
        other spellings are one taxon, references written otherwise one place, `Thornley, Mab` and
        `M. Thornley` one person.
        """
        parts = (
            _rows(found.claims, _what),
            _rows(found.where, self._place),
            _rows(found.when, self._day),
            _rows(recorder, self._people),
        )
        total = np.zeros(len(ids), dtype=np.uint64)
        known = np.ones(len(ids), dtype=bool)
        for part in parts:
            known &= part != 0
            total = mixed(total ^ part)
        return np.stack([identifiers(ids), np.where(known, total, np.uint64(0))])


def _rows(column: Coded[Any], number: Any) -> Numbers:
    return np.array([number(value) for value in column.values], dtype=np.uint64)[column.codes]


def identifiers(ids: Sequence[str]) -> Numbers:
    """A number for each text, 0 for the empty one: its bytes, eight at a time, mixed."""
    data, lengths = utf8(ids)
    numbers = np.where(lengths > 0, lengths, 0).astype(np.uint64)
    long = np.flatnonzero(lengths > _LONG)
    if len(long):  # one by one; the table of bytes below would be as wide as the longest
        for row in long.tolist():
            numbers[row] = number_of(ids[row])
        data = data[np.repeat(lengths <= _LONG, lengths)]
    short = np.where(lengths <= _LONG, lengths, 0)
    width = -(-int(short.max(initial=0)) // 8) * 8
    table = np.zeros((len(ids), width), dtype=np.uint8)
    table[np.arange(width) < short[:, None]] = data
    for i, words in enumerate(table.view("<u8").T):
        rows = np.flatnonzero(short > 8 * i)  # so that no text's number depends on the others
        numbers[rows] = mixed(numbers[rows] ^ words[rows])
    return numbers


_LONG = 128  # bytes of an identifier; most have fewer


def _what(claim: Claim) -> int:
    return number_of(claim.name.scientific_name) if claim.name.scientific_name else 0


def _place(where: Where) -> int:
    place = where.place
    if place is not None:
        return number_of(place.grid_reference or f"{place.latitude:.5f} {place.longitude:.5f}")
    words = where.terms.get("locality", "").casefold().split()
    return number_of(" ".join(words)) if words else 0


def _day(when: When) -> int:
    day = when.terms.get("eventDate", "").partition("T")[0]
    return number_of(day) if len(day) == 10 else 0


def _people(cell: str) -> int:
    """One number for the people of a cell, in any order: surnames and first initials."""
    people = sorted({_surname_first(name) for name in names_in(cell)} - {""})
    return number_of("\n".join(people)) if people else 0


def _surname_first(name: str) -> str:
    surname, comma, rest = name.casefold().replace(".", " ").partition(",")
    words = f"{rest} {surname}".split() if comma and rest.strip() else surname.split()
    if not words:
        return ""
    return words[-1] if len(words) == 1 else f"{words[-1]} {words[0][0]}"
