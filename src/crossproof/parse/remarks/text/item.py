"""A word or phrase of a remark, what it may mean, and its place in the text."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from crossproof.parse.remarks.text.vocabulary import (
    ADJECTIVE,
    ASK,
    COLON,
    DASHES,
    LIMIT,
    ORGAN,
    Entry,
)


@dataclass(slots=True)
class Item:
    """A phrase of the remark, what it may mean, and its place in the text.

    `phrase` numbers the stretches between commas and stronger breaks, `clause` those between
    stronger breaks, `sentence` those between full stops.
    """

    kinds: int
    entry: Entry
    start: int
    end: int
    phrase: int = 0
    clause: int = 0
    sentence: int = 0
    lead: int = 0  # what stands right before it: `BE` (`is`, `were`), `RELATIVE` (`which`), `LOW` …
    # and `SAID`, of an organ: a word of no consequence stands right behind (`stem green`)
    prefix: bool = False  # of a question mark: it stands before the word it doubts
    soft: bool = False  # this word speaks of something else unless its organ stands before it
    value: int = -1  # of a number in figures
    quoted: bool = False  # it stands in quotation marks: `his 'hollow'`
    counted: bool = False  # a bracket behind it counts the plants: `spotted (5)`
    hyphened: bool = False  # a state word behind a hyphen: `leaf-spotted`


class Spoken(Protocol):
    """An item, or a word of a photo's or a flower's lexicon: whatever has kinds."""

    @property
    def kinds(self) -> int: ...


def all_kinds(items: list[Item]) -> int:
    """Everything that any of the items may be, to see at once what need not be looked for."""
    kinds = 0
    for item in items:
        kinds |= item.kinds
    return kinds


def is_organ(item: Item) -> bool:
    """An organ itself: `the leaves`, not `spot-leaved`."""
    return bool(item.kinds & ORGAN) and not item.kinds & ADJECTIVE


def sets_apart(item: Item) -> bool:
    """The mark between a label and what it labels: `lip: spotted`, `lip - spotted`, `lip? no`."""
    return bool(item.kinds & (COLON | ASK)) or item.entry.text in DASHES


def ends(items: list[Item], i: int, also: int = 0) -> bool:
    """Nothing more is said from item `i` on: a mark, the end, or what `also` ends it, is there."""
    return i >= len(items) or bool(items[i].kinds & (LIMIT | also))


def stops(items: list[Item], i: int, also: int = 0) -> bool:
    """As `ends`; a slash before the next label ends it as well: `spots: none / photo: yes`."""
    return ends(items, i, also) or items[i].entry.text == "/"


def past(items: list[Item], k: int, kinds: int, but: int = 0) -> int:
    """The first item from `k` on that is none of `kinds`, or is one of `but` as well."""
    while k < len(items) and items[k].kinds & kinds and not items[k].kinds & but:
        k += 1
    return k


def back(items: Sequence[Spoken], k: int, kinds: int, but: int = 0, first: int = -1) -> int:
    """As `past`, from `k` towards the beginning; no further than `first`, -1 where all are."""
    while k > first and items[k].kinds & kinds and not items[k].kinds & but:
        k -= 1
    return k


def sentence_before(items: list[Item], i: int) -> list[Item]:
    """What stands before item `i` in its sentence."""
    return [m for m in items[:i] if m.sentence == items[i].sentence]


def phrase_before(items: list[Item], i: int) -> list[Item]:
    """What stands before item `i` in its stretch."""
    return [m for m in items[:i] if m.phrase == items[i].phrase]


def stretch_start(items: list[Item], i: int) -> int:
    """Where the stretch of item `i` begins, behind the mark or the `but` before it."""
    first = i
    while (
        first and items[first - 1].phrase == items[i].phrase and not items[first - 1].kinds & LIMIT
    ):
        first -= 1
    return first
