"""Read one side of a cross, or a whole name that is no cross: genus, epithets, English name."""

from __future__ import annotations

from collections.abc import Sequence

from crossproof.parse.names import english, latin, words
from crossproof.parse.names.epithets import below_short, epithet, epithet_of
from crossproof.parse.names.fold import key
from crossproof.parse.names.index import Genus, Index
from crossproof.parse.names.near import nearest
from crossproof.parse.names.reading import NOTHING, Reading
from crossproof.parse.names.tokens import Token

Tokens = Sequence[Token]


def exact(index: Index, tokens: Tokens, *, noth: bool = False) -> Reading:
    """Read an operand by look-up alone. `noth`: a multiplication sign stands before its epithet."""
    skipped = 0
    while skipped < len(tokens):
        here = tokens[skipped:]
        reading = english.phrase(index, here) if not noth else NOTHING
        if not reading.good:
            reading = _scientific(index, here, noth, fuzzy=False)
        if reading.good or reading.problem:
            return below_short(index, reading)
        if not _skippable(here[0]):
            break
        skipped += 1
    return NOTHING


def loose(index: Index, tokens: Tokens, books: Sequence[int], *, noth: bool = False) -> Reading:
    """Read an operand with bare epithets, beginnings of words, and typing errors allowed.

    `books` are the rulebooks that the other operands speak of.
    """
    here = list(tokens)
    while here and _skippable(here[0]) and here[0].key not in index.vocabulary:
        del here[0]
    if not here:
        return NOTHING
    if here[0].key.endswith("aceae"):  # a family is no typing error
        return _outside(here, noth)
    for way in (_in_context, _bare, _scientific_loose, english.near_phrase, _context_loose):
        reading = way(index, here, books, noth)
        if reading.good or reading.problem:
            return reading
    if noth and any(not genus.old for genus in genera_of(index, here[0])):
        epithet_word = here[1].raw if len(here) > 1 else ""
        return Reading(problem=f"no hybrid '{epithet_word}' is known in this genus")
    return _outside(here, noth)


def strict(index: Index, tokens: Tokens, books: Sequence[int], *, noth: bool = False) -> Reading:
    """Read an operand with bare epithets allowed, but no typing errors."""
    here = list(tokens)
    while here and _skippable(here[0]):
        del here[0]
    if not here or (here[0].capital and here[0].key not in index.bare):  # `(Druce …)`: an author
        return NOTHING
    reading = _in_context(index, here, books, noth)
    return reading if reading.good or reading.problem else _bare(index, here, books, noth)


def _skippable(token: Token) -> bool:
    return token.kind != "word" or token.key in words.LEAD


def genera_of(index: Index, token: Token) -> tuple[Genus, ...]:
    """The genera that a word names: written out, or as the initial they share."""
    if len(token.key) == 1:
        return tuple(index.initials.get(token.key, ())) if token.kind == "word" else ()
    genera = index.genera.get(token.key)
    if genera is None and token.dot:
        return index.shortened.get(token.key, ())
    return tuple(genera or ())


def _scientific(index: Index, tokens: Tokens, noth: bool, *, fuzzy: bool) -> Reading:
    first = tokens[0]
    if len(tokens) > 1 and (first.key, tokens[1].key) in index.outside_binomials:
        return _outside_known(tokens, noth)
    if first.key in index.nothogenera:
        return _nothogenus(index, tokens, index.nothogenera[first.key])
    if len(tokens) > 1 and (first.key, tokens[1].key) in index.short_neighbours:
        latin_name = index.short_neighbours[first.key, tokens[1].key]
        if all(tokens[1].key not in index.epithets[g.book] for g in genera_of(index, first)):
            return Reading(outside=latin_name, rest=tuple(tokens[2:]))
    genera = genera_of(index, first)
    if not genera:
        return NOTHING
    if first.dot and len(tokens) == 1 and len(first.key) == 1:
        return NOTHING
    notes = _genus_notes(index, first, genera)
    if len(tokens) == 1 or not _wordlike(tokens[1]):
        return _genus_alone(index, genera, tokens[1:], notes)
    reading = epithet(index, genera, tokens[1:], noth, fuzzy=fuzzy)
    if reading.good or reading.problem:
        if len(first.key) == 1 and not noth and (first.key, tokens[1].key) in index.shared:
            reading = reading._replace(shared=_shared(index, first, tokens[1], reading))
        return reading._replace(notes=(*notes, *reading.notes))
    if tokens[1].capital or tokens[1].key in words.NO_EPITHETS:
        return _genus_alone(index, genera, tokens[1:], notes)
    return NOTHING


def _shared(index: Index, initial: Token, word: Token, reading: Reading) -> str:
    """The plants outside that an initial may also stand for, unless the author tells."""
    author = key(index.taxon(reading.refs[0]).authorship.split()[-1]) if reading.refs else ""
    told = author and any(t.capital and key(t.raw)[:4] == author[:4] for t in reading.rest)
    return "" if told else " or ".join(index.shared[initial.key, word.key])


def _wordlike(token: Token) -> bool:
    return token.kind == "word"


def _genus_notes(index: Index, token: Token, genera: Sequence[Genus]) -> tuple[str, ...]:
    genus = index.books[genera[0].book].genera[0]
    if len(token.key) == 1 or genera[0].key == token.key == genus.lower():
        return ()
    if genera[0].slip:
        return (f"'{token.raw}' was read as {genus}",)
    return (f"{token.raw} was read as {genus}",)


def _genus_alone(
    index: Index, genera: Sequence[Genus], rest: Tokens, notes: tuple[str, ...]
) -> Reading:
    """A genus without a species. An old genus, or an initial, says nothing by itself."""
    mine = [g for g in genera if not g.old]
    if len(mine) != 1 or len(mine[0].key) < 2:
        return NOTHING
    book = mine[0].book
    root = index.books[book].root
    return Reading(refs=((book, root),), genus=tuple(mine), rest=tuple(rest), notes=notes)


def _nothogenus(index: Index, tokens: Tokens, written: str) -> Reading:
    """A cross between genera, by the name of its nothogenus."""
    name, used = written, 1
    if len(tokens) > 1 and latin.is_epithet(tokens[1]):
        name, used = f"{written} {tokens[1].raw.lower()}", 2
        listed = {key(known): known for known in index.formulae.values()}
        close, _ = nearest(key(name), [k for k in listed if k.startswith(key(written))])
        name = listed[close[0]] if len(close) == 1 else name
    return Reading(outside=name, noth=True, rest=tuple(tokens[used:]))


def _in_context(index: Index, tokens: Tokens, books: Sequence[int], noth: bool) -> Reading:
    """An epithet, or its beginning, whose genus another operand gives."""
    for book in dict.fromkeys(books):
        genus = Genus(book, key(index.books[book].genera[0]), old=False)
        reading = epithet_of(index, genus, tokens, noth, fuzzy=False)
        if reading.good:
            return reading
    return NOTHING


def _bare(index: Index, tokens: Tokens, books: Sequence[int], noth: bool) -> Reading:
    """An epithet by itself, where only one rulebook knows it."""
    word, used = tokens[0].key, 1
    if word not in index.bare and len(tokens) > 1 and word + tokens[1].key in index.bare:
        word, used = word + tokens[1].key, 2
    refs = tuple(dict.fromkeys(index.bare.get(word, ())))
    if not refs or (word in words.PLAIN and not books):
        return NOTHING
    if len({ref[0] for ref in refs}) == 1:
        genus = Genus(refs[0][0], key(index.books[refs[0][0]].genera[0]), old=False)
        if word in index.epithets[genus.book]:
            reading = epithet_of(index, genus, tokens, noth, fuzzy=False)
        else:
            reading = Reading(refs=refs, genus=(genus,), rest=tuple(tokens[used:]))
        note = f"the genus {index.books[genus.book].genera[0]} was taken for granted"
        return reading._replace(notes=(note, *reading.notes))
    return Reading(refs=refs, rest=tuple(tokens[used:]))


def _scientific_loose(index: Index, tokens: Tokens, books: Sequence[int], noth: bool) -> Reading:
    """A known genus with a misspelt epithet, or a misspelt genus."""
    reading = _scientific(index, tokens, noth, fuzzy=True)
    first = tokens[0]
    if reading.good or reading.problem or genera_of(index, first) or len(first.key) < 3:
        return reading
    close, _ = nearest(first.key, index.genus_words, least=1)
    genera = tuple(g for word in close for g in index.genera.get(word, ()))
    if not genera and len(tokens) > 1 and first.key in index.shortened:
        return epithet(index, index.shortened[first.key], tokens[1:], noth, fuzzy=True)
    if not genera or len({g.book for g in genera}) > 1:
        return NOTHING
    name = index.books[genera[0].book].genera[0]
    note = f"'{first.raw}' was taken as a typing error for {name}"
    if len(tokens) == 1 or tokens[1].kind != "word":
        reading = _genus_alone(index, genera[:1], tokens[1:], ()) if len(first.key) > 6 else NOTHING
    else:
        reading = epithet(index, genera[:1], tokens[1:], noth, fuzzy=True)
        if not reading.good and len(first.key) > 8 and not latin.is_epithet(tokens[1]):
            reading = _genus_alone(index, genera[:1], tokens[1:], ())
    return reading._replace(notes=(note, *reading.notes)) if reading.good else NOTHING


def _context_loose(index: Index, tokens: Tokens, books: Sequence[int], noth: bool) -> Reading:
    """A misspelt epithet whose genus another operand gives, or that only one rulebook is near."""
    if len(tokens[0].key) < 4:
        return NOTHING
    for book in dict.fromkeys(books):
        genus = Genus(book, key(index.books[book].genera[0]), old=False)
        reading = epithet_of(index, genus, tokens, noth, fuzzy=True)
        if reading.good or reading.problem:
            return reading
    return NOTHING


def _outside(tokens: Tokens, noth: bool) -> Reading:
    """A Latin name that no rulebook knows."""
    first = tokens[0]
    if not latin.is_genus(first):
        return NOTHING
    if (
        len(tokens) == 1
        or not (tokens[1].raw.islower() or first.raw.isupper())
        or not latin.is_epithet(tokens[1])
    ):
        bare = len(tokens) == 1 or not tokens[1].raw.islower() or tokens[1].key in words.LEAD
        if first.capital and bare and latin.is_genus(first, alone=True):
            return Reading(outside=first.raw.capitalize(), rank="genus", rest=tuple(tokens[1:]))
        return NOTHING
    infra, end = latin.infraspecific(tokens[2:])
    return Reading(
        outside=f"{first.raw.capitalize()} {'× ' if noth else ''}{tokens[1].raw.lower()}{infra}",
        noth=noth,
        rest=tuple(tokens[2 + end :]),
    )


def _outside_known(tokens: Tokens, noth: bool) -> Reading:
    """A Latin name outside that is listed: no second look at whether its words are Latin."""
    infra, end = latin.infraspecific(tokens[2:])
    mark = "× " if noth else ""
    return Reading(
        outside=f"{tokens[0].raw.capitalize()} {mark}{tokens[1].raw.lower()}{infra}",
        noth=noth,
        rest=tuple(tokens[2 + end :]),
    )


def outside_carried(tokens: Tokens, genus: str) -> Reading:
    """The other side of a cross outside the rulebooks: its genus is the first side's."""
    here = list(tokens)
    if here and len(here[0].key) == 1 and here[0].key == genus[0].lower():
        del here[0]
    if not here or here[0].capital or not latin.is_epithet(here[0]):
        return NOTHING
    infra, end = latin.infraspecific(here[1:])
    return Reading(outside=f"{genus} {here[0].raw}{infra}", rest=tuple(here[1 + end :]))
