"""Read what follows a genus: epithets, and what stands below the species."""

from __future__ import annotations

from collections.abc import Sequence

from crossproof.parse.names import latin, words
from crossproof.parse.names.fold import key
from crossproof.parse.names.index import Epithet, Genus, Index
from crossproof.parse.names.near import near_epithets, nearest
from crossproof.parse.names.reading import NOTHING, Reading
from crossproof.parse.names.tokens import Token

Tokens = Sequence[Token]


def epithet(
    index: Index, genera: Sequence[Genus], tokens: Tokens, noth: bool, *, fuzzy: bool
) -> Reading:
    """Read what follows a genus: the first genus that knows the epithet is meant."""
    readings = []
    for genus in genera:
        reading = epithet_of(index, genus, tokens, noth, fuzzy)
        if reading.good:
            readings.append(reading)
        elif reading.problem:
            return reading
    if not readings:
        return NOTHING
    inside = [r for r in readings if r.refs]
    if not inside:
        return readings[0]
    refs = tuple(dict.fromkeys(ref for r in inside for ref in r.refs))
    return inside[0]._replace(refs=refs)


def epithet_of(index: Index, genus: Genus, tokens: Tokens, noth: bool, fuzzy: bool) -> Reading:
    word, used, found = _find_epithet(index, genus, tokens)
    elsewhere = index.elsewhere.get(genus.key, frozenset())
    if word in elsewhere and (found is None or found.slip):
        name = index.books[genus.book].genera[0] if not genus.old else genus.key.capitalize()
        infra, end = latin.infraspecific(tokens[1:])
        mark = "× " if noth else ""
        return Reading(
            outside=f"{name} {mark}{tokens[0].raw.lower()}{infra}",
            rest=tuple(tokens[1 + end :]),
            genus=(genus,),
        )
    start = index.trinomials[genus.book]
    if not noth and (genus.key, word) in index.ambiguous:
        reading = _trinomial_only(index, genus, word, tokens, start)
        if reading.good:
            return reading
        return Reading(
            refs=index.ambiguous[genus.key, word], genus=(genus,), rest=tuple(tokens[1:])
        )
    if found and found.slip and genus.old and not fuzzy:
        found = None
    if found:
        return _below(index, genus, found, word, tokens[used:], noth)
    if len(tokens) > 1:
        reading = _trinomial_only(index, genus, word, tokens, start)
        if reading.good:
            return reading
    short = index.prefixes[genus.book].get(word, set())
    if len(short) == 1 and not any(other.startswith(word) for other in elsewhere if genus.old):
        taxon = next(iter(short))
        meant = index.books[genus.book].taxa[taxon]
        note = f"'{tokens[0].raw}' was taken as short for {meant.epithet}"
        return Reading(
            refs=((genus.book, taxon),),
            genus=(genus,),
            noth=bool(meant.parents),
            rest=tuple(tokens[1:]),
            notes=(note,),
        )
    if not fuzzy or len(word) < 4:
        return NOTHING
    if genus.old:
        return _near_old(index, genus, tokens, noth)
    return near(index, genus, tokens, noth)


def _near_old(index: Index, genus: Genus, tokens: Tokens, noth: bool) -> Reading:
    """A misspelt epithet behind an old genus: one of those it had, and no other plant's."""
    word = tokens[0].key
    ours, distance = nearest(word, index.old_epithets.get(genus.key, ()))
    others, far = nearest(word, list(index.elsewhere.get(genus.key, ())))
    taxa = {index.epithets[genus.book][w].taxon for w in ours if w in index.epithets[genus.book]}
    if len(taxa) != 1 or (others and far <= distance + 1):
        return NOTHING
    entry = index.epithets[genus.book][ours[0]]
    note = f"'{tokens[0].raw}' was taken as a typing error for {ours[0]}"
    reading = _below(index, genus, entry, ours[0], tokens[1:], noth)
    return reading._replace(notes=(note, *reading.notes))


def _find_epithet(index: Index, genus: Genus, tokens: Tokens) -> tuple[str, int, Epithet | None]:
    epithets = index.epithets[genus.book]
    word = tokens[0].key
    found = epithets.get(word)
    if found is None and len(tokens) > 1 and tokens[1].kind == "word":
        joined = word + tokens[1].key  # `francis drucei`, `non scripta`
        if joined in epithets:
            return joined, 2, epithets[joined]
    return word, 1, found


def near(index: Index, genus: Genus, tokens: Tokens, noth: bool) -> Reading:
    """An epithet with one or two typing errors; two taxa equally near leave it open."""
    if genus.key in index.elsewhere:
        close, distance = nearest(tokens[0].key, list(index.elsewhere[genus.key]))
    else:
        close, distance = [], 0
    taxa, ours = near_epithets(index, genus.book, tokens[0].key)
    if not taxa or (close and distance < ours):
        return NOTHING
    refs = tuple((genus.book, taxon) for taxon in taxa)
    if close and distance == ours and len(refs) == 1:
        return Reading(
            refs=refs,
            genus=(genus,),
            problem=f"'{tokens[0].raw}' is as near to a plant outside the rulebook",
        )
    if len(refs) > 1:
        return Reading(refs=refs, genus=(genus,), rest=tuple(tokens[1:]))
    taxon = index.taxon(refs[0])
    note = f"'{tokens[0].raw}' was taken as a typing error for {taxon.epithet}"
    entry = Epithet(taxon.id, bool(taxon.parents))
    reading = _below(index, genus, entry, tokens[0].key, tokens[1:], noth)
    return reading._replace(notes=(note, *reading.notes))


def _trinomial_only(
    index: Index, genus: Genus, word: str, tokens: Tokens, start: dict[tuple[str, str], str]
) -> Reading:
    """Names below no species of ours: `majalis subsp. praetermissa`, `mac. eric.`."""
    for i in range(1, len(tokens)):
        second = tokens[i]
        if second.kind != "word":
            break
        if second.key in words.RANKS or (second.capital and (word, second.key) not in start):
            continue
        taxon = start.get((word, second.key)) or _abbreviated(start, word, second.key)
        if taxon:
            return Reading(
                refs=((genus.book, taxon),),
                genus=(genus,),
                rest=tuple(tokens[i + 1 :]),
                noth=bool(index.books[genus.book].taxa[taxon].parents),
            )
        break
    return NOTHING


def _abbreviated(start: dict[tuple[str, str], str], first: str, second: str) -> str:
    if len(second) < 3:
        return ""
    found = {
        taxon for (a, b), taxon in start.items() if a.startswith(first) and b.startswith(second)
    }
    return found.pop() if len(found) == 1 else ""


def _below(
    index: Index, genus: Genus, found: Epithet, word: str, rest: Tokens, noth: bool
) -> Reading:
    """Add what stands below the species: a listed taxon, or the words passed through."""
    ref = (genus.book, found.taxon)
    taxon = index.taxon(ref)
    plain = Reading(
        refs=(ref,),
        genus=(genus,),
        noth=found.noth,
        rest=tuple(rest),
        notes=(f"'{word}' was taken as a typing error for {taxon.epithet}",)
        if found.slip and key(taxon.epithet) != word
        else (),
        problem=f"× stands before {taxon.epithet}, which is no hybrid"
        if noth and not found.noth
        else "",
    )
    if plain.problem:
        return plain
    third = index.trinomials[genus.book]
    for i, token in enumerate(rest):
        if token.kind != "word" or token.key in words.STOP:
            break
        mark = words.RANKS.get(token.key, "")
        if mark and i + 1 < len(rest) and _below_rank(rest[i + 1], mark, word, third):
            return _ranked(index, plain, (word, rest[i + 1].key), mark, rest[i + 1 :])
        if i == 0 and token.raw.islower():
            known = third.get((word, token.key)) or third.get((key(taxon.epithet), token.key))
            if known and index.species((genus.book, known)) == known:
                return _either(index, plain, known, rest[1:])
            if known:
                return plain._replace(refs=((genus.book, known),), rest=tuple(rest[1:]))
            if token.key == word and not found.noth:
                return plain._replace(
                    written=f"{taxon.name} subsp. {taxon.epithet}",
                    rank="subspecies",
                    rest=tuple(rest[1:]),
                )
    return plain


def _below_rank(token: Token, mark: str, word: str, known: dict[tuple[str, str], str]) -> bool:
    """Whether a word may stand behind a rank; a capital one (`ssp. Fuchsii`) only where known."""
    if token.kind != "word" or not token.capital:
        return token.kind == "word"
    return mark != "f." and (word, token.key) in known


def below_short(index: Index, reading: Reading) -> Reading:
    """Read on after a shortened species: `pulch.` behind `D. inc.`."""
    ref = reading.ref
    if ref is None or not reading.rest:
        return reading
    marked = reading.rest[0].key in words.RANKS and len(reading.rest) > 1
    rest = reading.rest[1:] if marked else reading.rest
    token = rest[0]
    if token.kind != "word" or not token.raw.islower() or len(token.key) < 3:
        return reading
    taxa = {
        taxon
        for (_, second), taxon in index.trinomials[ref[0]].items()
        if second.startswith(token.key)
        and taxon != index.species((ref[0], taxon)) == ref[1]
        and key(index.books[ref[0]].taxa[taxon].epithet) == second
    }
    if len(taxa) != 1:
        return reading
    return reading._replace(refs=((ref[0], taxa.pop()),), rest=rest[1:])


def _either(index: Index, plain: Reading, species: str, rest: Tokens) -> Reading:
    """`maculata fuchsii`: an old subspecies without its rank, or a cross without its sign."""
    book, first = plain.refs[0]
    cross = index.crosses[book].get(frozenset({first, species}))
    refs = ((book, species), (book, cross)) if cross else ((book, species),)
    return plain._replace(refs=refs, rest=tuple(rest))


def _ranked(
    index: Index, plain: Reading, pair: tuple[str, str], mark: str, rest: Tokens
) -> Reading:
    book = plain.refs[0][0]
    taxon = index.taxon(plain.refs[0])
    own = (key(taxon.epithet), pair[1])
    known = index.trinomials[book].get(pair) or index.trinomials[book].get(own)
    if not known:
        near_ones = [(a, b) for a, b in index.trinomials[book] if a in (pair[0], own[0])]
        close, _ = nearest(pair[1], [b for _, b in near_ones])
        taxa = {index.trinomials[book][a, b] for a, b in near_ones if b in close}
        known = taxa.pop() if len(taxa) == 1 else None
    after = tuple(rest[1:])
    autonym = pair[1] == own[0]
    if autonym and known and mark not in index.books[book].taxa[known].name:
        known = None  # `subsp. kerryensis` is not `var. kerryensis`
    if known and known != taxon.id:
        return plain._replace(
            refs=((book, known),),
            noth=bool(index.books[book].taxa[known].parents),
            rest=after,
        )
    if taxon.parents or not latin.is_epithet(rest[0]):
        return plain._replace(rest=after)
    below = taxon.epithet if pair[1] == pair[0] else rest[0].raw.lower()
    return plain._replace(
        written=f"{taxon.name} {mark} {below}",
        rank=words.RANK_NAMES.get(mark, ""),
        rest=after,
    )
