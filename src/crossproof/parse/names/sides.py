"""Read the sides of a cross, each by itself and each by the help of the others."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from crossproof.parse.names import clauses, latin, words
from crossproof.parse.names.index import Index
from crossproof.parse.names.near import near_phrases, nearest
from crossproof.parse.names.operand import exact, loose, outside_carried, strict
from crossproof.parse.names.reading import NOTHING, Reading
from crossproof.parse.names.tokens import Token


@dataclass(frozen=True, slots=True)
class Side:
    """The words of one operand. `noth`: a multiplication sign stands before its epithet."""

    tokens: tuple[Token, ...]
    noth: bool = False


def tidy(index: Index, found: clauses.Operands) -> tuple[list[Side], list[str], bool, bool]:
    """Drop empty sides, and join a genus with the epithet behind its ×.

    Returns the sides, the signs between them, whether a × leads, and whether one ends in nothing.
    """
    sides, signs = found.sides, found.signs
    leading = len(sides) > 1 and not sides[0] and signs[0] == "cross"
    unfinished = len(sides) > 1 and not _words(sides[-1]) and signs[-1] == "cross"
    full: list[list[Token]] = []
    between: list[str] = []
    for i, side in enumerate(sides):
        if not _words(side):
            continue
        if full:
            between.append(signs[i - 1])
        full.append(side)
    tidy: list[Side] = []
    joined: list[str] = []
    i = 0
    while i < len(full):
        if (
            i + 1 < len(full)
            and between[i] == "cross"
            and _genus_only(index, full[i], full[i + 1], first=i == 0)
        ):
            alone = len(full) == 2 or i > 0
            tidy.append(Side((*full[i], *full[i + 1]), noth=alone))
            i += 2
        else:
            tidy.append(Side(tuple(full[i])))
            i += 1
        if i < len(full):
            joined.append(between[i - 1])
    return tidy, joined, leading, unfinished


def _words(tokens: Sequence[Token]) -> bool:
    return any(t.kind == "word" and t.key not in words.HYBRID for t in tokens)


def _genus_only(
    index: Index, side: Sequence[Token], after: Sequence[Token], *, first: bool
) -> bool:
    """Whether a side is but the genus of the epithet behind the ×."""
    named = [t for t in side if t.kind == "word" and t.key not in words.LEAD]
    if len(named) != 1 or side[-1] is not named[0]:
        return False
    word, follower = named[0], after[0]
    if follower.kind != "word" or follower.key in index.genera or len(follower.key) < 3:
        return False
    if word.key in index.phrases or word.key in index.bare:
        return False
    shouted = word.raw.isupper() and len(word.raw) > 1
    if follower.capital and not shouted and follower.key not in index.known:
        return False
    if len(word.key) == 1:
        return word.key in index.initials
    if word.key in index.genera or (word.dot and word.key in index.shortened):
        return True
    return latin.is_genus(word) and not follower.capital and (word.capital or first)


def read_sides(
    index: Index, sides: Sequence[Side], leading: bool, books: Sequence[int], careful: bool
) -> list[Reading]:
    noths = [s.noth or (leading and len(sides) == 1) for s in sides]
    abroad = _genera_outside(index, sides) if len(sides) > 1 else {}
    readings = [
        _abroad(index, sides, i, abroad) or exact(index, side.tokens, noth=noths[i])
        for i, side in enumerate(sides)
    ]
    if len(sides) > 1:
        readings = [
            r if r.good or r.problem else _borrowing(index, side.tokens, readings)
            for r, side in zip(readings, sides, strict=True)
        ]
    shared: list[str] = []
    context = [*books, *(ref[0] for r in readings for ref in r.refs)]
    if len(sides) > 1 and not context:  # `praet × fuchsii`: bare epithets give the genus
        context = _shared_books(index, sides)
        shared = [index.books[book].genera[0] for book in context[:1]]
    way = strict if careful else loose
    readings = [
        r
        if r.good or r.problem
        else _leading(way(index, side.tokens, context, noth=noth), leading and len(sides) == 1)
        for r, side, noth in zip(readings, sides, noths, strict=True)
    ]
    if shared and readings[0].good:
        note = f"the genus {shared[0]} was taken for granted"
        readings[0] = readings[0]._replace(notes=(note, *readings[0].notes))
    genus = next((r.outside.split()[0] for r in readings if r.outside and " " in r.outside), "")
    return [
        r if r.good or r.problem or not genus else outside_carried(side.tokens, genus)
        for r, side in zip(readings, sides, strict=True)
    ]


def hybrid_named(
    index: Index, tokens: Sequence[Token], sides: Sequence[Side], readings: Sequence[Reading]
) -> Reading | None:
    """A misspelt English name with `hybrid` in it: `hybrid bluebel`."""
    if len(sides) != 1 or (readings[0].good and not readings[0].notes):
        return None
    phrase = [p for t in tokens if t.kind == "word" for p in t.raw.lower().split("-")]
    refs, _ = near_phrases(index, phrase) if 1 < len(phrase) < 5 else ((), ())
    if len(refs) != 1 or not index.taxon(refs[0]).parents:
        return None
    note = f"'{' '.join(phrase)}' was taken as a typing error"
    return Reading(refs=refs, english=tuple(phrase), notes=(note,))


def initial(index: Index, sides: Sequence[Side]) -> Reading:
    """A genus by its initial, where the word `hybrid` or `sp.` shows that a genus is meant."""
    words_left = [t for side in sides for t in side.tokens if t.kind == "word"]
    if len(words_left) != 1 or not words_left[0].capital or len(words_left[0].key) != 1:
        return NOTHING
    genera = [g for g in index.initials.get(words_left[0].key, ()) if not g.old]
    books = {genus.book for genus in genera}
    if len(books) != 1:
        return NOTHING
    book = books.pop()
    note = f"'{words_left[0].raw}.' was read as {index.books[book].genera[0]}"
    return Reading(refs=((book, index.books[book].root),), notes=(note,))


def _shared_books(index: Index, sides: Sequence[Side]) -> list[int]:
    """The rulebooks that know the first word of every side, or the beginning of it."""
    firsts = [side.tokens[0].key for side in sides]
    known = [
        book
        for book in range(len(index.books))
        if all(w in index.epithets[book] or w in index.prefixes[book] for w in firsts)
    ]
    return known or [ref[0] for word in firsts for ref in index.bare.get(word, ())]


def _genera_outside(index: Index, sides: Sequence[Side]) -> dict[str, str]:
    """Initials of the genera outside the rulebooks that a cross writes out: `Salix … × S. alba`."""
    found = {}
    for side in sides:
        first = side.tokens[0]
        ours = first.key in index.known or first.key in index.phrases
        if ours or not first.capital or len(first.key) < 2:
            continue
        if latin.is_genus(first) and not _slip(index, first):
            found[first.key[0]] = first.raw.capitalize()
    return found


def _slip(index: Index, genus: Token) -> bool:
    """Whether a word is a misspelt genus of ours, and no listed one outside."""
    return genus.key not in index.outside_genera and bool(nearest(genus.key, index.genus_words)[0])


def _abroad(
    index: Index, sides: Sequence[Side], i: int, abroad: Mapping[str, str]
) -> Reading | None:
    """A side whose genus is that of the side before, or the initial of one written out.

    A bare epithet of ours behind a genus that ours cross with (`Gymnadenia … × fuchsii`) is ours.
    """
    first = sides[i].tokens[0]
    genus = abroad.get(first.key, "")
    before = sides[i - 1].tokens[0] if i else None
    if before and first.raw.islower() and first.kind == "word" and first.key not in words.LEAD:
        carried = abroad.get(before.key[:1], "")
        partner = carried in index.partners and first.key in index.bare
        genus = genus or ("" if partner or first.key in index.phrases else carried)
    reading = outside_carried(sides[i].tokens, genus) if genus else NOTHING
    return reading if reading.good else None


def _leading(reading: Reading, leading: bool) -> Reading:
    if leading and reading.outside and not reading.outside.startswith("×"):
        return reading._replace(outside="× " + reading.outside.replace("× ", ""), noth=True)
    return reading


def _borrowing(index: Index, tokens: Sequence[Token], others: Sequence[Reading]) -> Reading:
    """Let one English name lend its last words to another: `common × heath spotted-orchid`."""
    own = [p for t in tokens if t.kind == "word" for p in t.raw.lower().split("-")]
    while len(own) > 1 and own[0] in words.LEAD:
        del own[0]
    for other in others:
        for start in range(1, len(other.english)):
            phrase = "".join(own + list(other.english[start:])).replace("'", "")
            if own and phrase in index.phrases:
                return Reading(refs=index.phrases[phrase], english=tuple(own))
    return NOTHING


def missing_crosses(
    index: Index, readings: list[Reading], signs: list[str], hybrid: bool
) -> tuple[list[Reading], list[str], bool]:
    """Look for a second name among the words after a name."""
    out: list[Reading] = []
    between: list[str] = []
    missing = False
    for i, reading in enumerate(readings):
        if i:
            between.append(signs[i - 1])
        out.append(reading)
        second, sign = _second(index, reading, hybrid)
        if (
            second is not None
            and sign == "or"
            and len(readings) > 1
            and _one_plant(index, reading, second)
        ):
            out[-1] = second  # `common spotted-orchid D. fuchsii × …`
        elif second is not None:
            out[-1] = reading._replace(rest=())
            out.append(second)
            between.append(sign)
            missing = missing or sign == "cross"
    return out, between, missing


def _one_plant(index: Index, one: Reading, other: Reading) -> bool:
    """Whether two readings on one side of a cross are the English and the Latin of one species."""
    return {index.species(ref) for ref in one.refs} == {index.species(ref) for ref in other.refs}


def _second(index: Index, reading: Reading, hybrid: bool) -> tuple[Reading | None, str]:
    if not reading.rest or not reading.refs:
        return None, ""
    first = reading.rest[0]
    if reading.genus and first.raw.islower() and first.kind == "word" and len(first.key) > 3:
        book = reading.refs[0][0]
        found = strict(index, reading.rest, [book])
        if found.ref and found.ref[0] == book and first.key not in words.STOP:
            return found, "cross"
    for i, token in enumerate(reading.rest[:8]):
        if token.key in words.STOP or token.key in words.JOIN:
            break
        if token.kind != "word":
            continue
        found = exact(index, reading.rest[i:])
        if found.ref and index.taxon(found.ref).rank != "genus":
            if index.species(found.ref) == index.species(reading.refs[0]):
                return found, "or"
            both = bool(found.genus and reading.genus)
            return found, "cross" if hybrid or both else "or"
    return None, ""
