"""What one word or phrase replies to the state before it: `none`, `Y`, `not seen`, `but slight`."""

from __future__ import annotations

from itertools import takewhile
from typing import NamedTuple

from crossproof.parse.remarks.organ.attachment import Attachment
from crossproof.parse.remarks.organ.graded import graded_answer
from crossproof.parse.remarks.organ.scope import LACKS, WITHOUT, one_letter, unpunctuated
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, ends, past, stops


class Reply(NamedTuple):
    """Whether the state is denied, the last item that says so, and to what degree it holds."""

    denied: bool
    last: int
    degree: int = 0


class _Asked(NamedTuple):
    """The state word `items[i]`, what may reply to it, and whether a colon stands between."""

    items: list[Item]
    i: int
    j: int
    at: Attachment
    colon: bool

    @property
    def kinds(self) -> int:
        return self.items[self.j].kinds

    @property
    def after(self) -> int:
        return self.items[self.j + 1].kinds if self.j + 1 < len(self.items) else v.LIMIT

    @property
    def last(self) -> bool:
        return stops(self.items, self.j + 1)

    @property
    def letter(self) -> bool:
        return one_letter(self.items[self.j])

    @property
    def sign(self) -> bool:
        return self.at.sense.role == "sign"

    @property
    def anew(self) -> bool:
        return begins_anew(self.items, self.j, self.at.character)


def replied(items: list[Item], i: int, j: int, at: Attachment, colon: bool) -> Reply | None:
    """What item `j` replies to the state word `items[i]`, if it does."""
    asked = _Asked(items, i, j, at, colon)
    kinds = asked.kinds
    if kinds & v.NONE and (reply := _nowhere_but(asked) or _none(asked)):
        return reply
    labels = asked.after & v.LIMIT == v.COLON  # leaf spots present: …
    if kinds & v.YES and (colon or asked.letter) and not labels:
        return _yes(asked)
    return _in_a_word(asked) or _with_not(asked)


def _nowhere_but(asked: _Asked) -> Reply | None:
    """`spots nowhere but on the leaves`."""
    items, j = asked.items, asked.j
    if j + 2 >= len(items) or items[j + 1].entry.text != "but on":
        return None
    k = past(items, j + 2, v.THE)
    return Reply(not ends(items, k) and asked.at.character not in items[k].entry.organs, j)


def _none(asked: _Asked) -> Reply | None:
    """`leaf spots: none`, `spots N`, `cavity almost absent`, `hollow stem no`."""
    items, i, j, colon = asked.items, asked.i, asked.j, asked.colon
    last = i + 1 if not asked.at.attributive else max(asked.at.organ, i) + 1
    open_to_none = colon or asked.sign or asked.letter or (asked.last and j == last)
    if not open_to_none or _lacked_by_another(items, i, j):
        return None
    if items[j - 1].kinds & (v.NEARLY | v.SLIGHT) and j - 1 > i:
        return Reply(False, i)  # almost absent
    free = asked.last or asked.letter or (j == i + 1 and unpunctuated(items))
    free = free or not asked.after & (v.STATE | v.PHOTO | v.ORGAN | v.SPECIES | v.OTHER)
    if not free or (asked.anew and not asked.letter):
        return None
    said = colon or not (asked.kinds & v.STATE or _describes(items, j))
    return Reply(True, j) if said else None


def _yes(asked: _Asked) -> Reply | None:
    """`leaf spots: present`, `hollow Y`; not `stem not hollow - found on the plain`."""
    goes_on = asked.kinds & v.SEE and not asked.last
    if not asked.letter and (goes_on or asked.anew):
        return None
    j = graded_answer(asked.items, asked.j)
    return Reply(False, j, asked.items[j].kinds & v.DEGREE)


def _in_a_word(asked: _Asked) -> Reply | None:
    """`leaf spots: without`, `: certainly`, `: a few`, `cavity small`."""
    kinds, j = asked.kinds, asked.j
    if not asked.last:
        return None
    if asked.colon and asked.items[j].entry.text in WITHOUT:
        return Reply(True, j)
    if asked.colon and kinds & v.TRULY and not kinds & (v.NOT | v.STATE):
        return Reply(False, j)
    if asked.colon and kinds & (v.SLIGHT | v.AFTER) and not kinds & v.STATE:
        return Reply(False, j, kinds & v.DEGREE)
    if kinds & v.SIZE or (asked.colon and kinds & (v.LARGE | v.COUNT)):
        return Reply(False, j, kinds & v.SIZE)
    return None


def _with_not(asked: _Asked) -> Reply | None:
    """`spots not seen`, `never found`, `a hole, not large`; not `not a spot on the leaves`."""
    items, j, after = asked.items, asked.j, asked.after
    if asked.colon and asked.kinds & v.NOT and (last := _on_any(items, j, asked.at.character)):
        return Reply(True, last)
    if not asked.sign or not asked.kinds & v.NOT or asked.kinds & v.AFTER:
        return None
    if after & v.LARGE and ends(items, j + 2):
        return Reply(False, j + 1, v.SIZE)
    in_one = finds_none(items[j])
    in_one = in_one and (items[j].entry.text[-1] == "d" or ends(items, past(items, j + 1, v.THE)))
    seen = after & (v.SEE | v.YES) and not after & (v.STATE | v.LARGE | v.COUNT)
    last = j if in_one else j + 1
    if (seen or in_one) and not _in_photo(items, last + 1) and not asked.anew:
        return Reply(True, last)
    return None


def finds_none(item: Item) -> bool:
    """`none found`, `never saw`, `did not find any`: one phrase that denies and says how."""
    denies = bool(item.kinds & (v.NOT | v.NONE))
    return denies and item.entry.text.endswith((" found", " seen", " saw", " any", " one"))


def _on_any(items: list[Item], j: int, character: str) -> int:
    """`Leaves spotted: not seen on any leaf`, `… - not on any plant`: the last word, or 0."""
    k = past(items, j + 1, v.SEE | v.EXAMINE, v.STATE)
    if k + 2 >= len(items) or not items[k].kinds & v.ON or items[k + 1].entry.text != "any":
        return 0
    theirs = items[k + 2].kinds & v.PLANTS or character in items[k + 2].entry.organs
    return k + 2 if theirs and stops(items, k + 3) else 0


def _describes(items: list[Item], j: int) -> bool:
    """`spots not at all large`, `no darker than the bracts`, `lacking a pale centre`."""
    what, then = (*(m.kinds for m in items[j + 1 : j + 3]), 0, 0)[:2]
    if items[j].entry.text == "lacking" or items[j].entry.text in LACKS:
        return bool(what & v.THE)
    if items[j].entry.text == "nothing":
        return bool(what & v.WORD)  # besides the leaf spots nothing remarkable
    return bool(what & v.LARGE or (what & v.WORD and then & (v.LARGE | v.THAN)))


def begins_anew(items: list[Item], j: int, character: str) -> bool:
    """`stem solid - none of the leaves spotted`, `no spots - several photos`: no answer.

    Nor is the denial of another organ: `bore thin - nothing on the leaves`.
    """
    behind = takewhile(lambda m: not m.kinds & (v.AND | v.OR), items[j + 1 :])
    here = [m for m in behind if m.phrase == items[j].phrase]
    organ = next((m.entry.organs for m in here if m.kinds & v.ORGAN), frozenset[str]())
    if here and here[0].kinds & v.ON and organ and character not in organ:
        return True
    if here and items[j].entry.text == "none" and here[0].entry.text == "of":
        return any(m.kinds & v.STATE for m in here)
    others = any(m.kinds & v.STATE and character not in m.entry.senses for m in here)
    return others or bool(here and here[0].kinds & v.PHOTO)


def _lacked_by_another(items: list[Item], i: int, j: int) -> bool:
    """`blotches on the leaf that the little one lacks`."""
    subject = items[j - 1].kinds & (v.COUNT | v.SPECIES | v.OTHER) if j > i + 1 else 0
    return bool(subject) and items[j].entry.text in LACKS


def _in_photo(items: list[Item], j: int) -> bool:
    """`the spots don't show in the photo`: that is no denial of the spots."""
    behind = items[j : j + 4]
    return bool(behind and behind[0].kinds & v.ON and any(m.kinds & v.PHOTO for m in behind))
