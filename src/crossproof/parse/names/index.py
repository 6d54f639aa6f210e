"""What the rulebooks call their plants, as dictionaries: built once for a tuple of rulebooks."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from crossproof.parse.names import words
from crossproof.parse.names.fold import CROSS, key
from crossproof.parse.names.variants import stem, vernacular_forms
from crossproof.rulebooks.model import Rulebook, Taxon

Ref = tuple[int, str]  # the rulebook's place in the tuple, and a taxon id

SPECIES = ("species", "nothospecies")


@dataclass(frozen=True, slots=True)
class Epithet:
    """A word that stands for a taxon after a genus of one rulebook."""

    taxon: str
    noth: bool  # the epithet of a nothospecies: wants a multiplication sign
    slip: bool = False  # a listed misspelling


@dataclass(frozen=True, slots=True)
class Genus:
    """A written genus and the rulebook it is read in; `old` ones only with certain epithets."""

    book: int
    key: str
    old: bool
    slip: bool = False


def _listing() -> defaultdict[str, list[Genus]]:
    return defaultdict(list)


@dataclass(slots=True)
class Index:
    """Look-up tables. Keys are folded words (see `fold.key`); phrases are joined without spaces."""

    books: tuple[Rulebook, ...]
    genera: dict[str, list[Genus]] = field(default_factory=_listing)
    initials: dict[str, list[Genus]] = field(default_factory=_listing)
    shortened: dict[str, tuple[Genus, ...]] = field(default_factory=dict)  # `Orch.`, `Crat.`
    nothogenera: dict[str, str] = field(default_factory=dict)
    epithets: list[dict[str, Epithet]] = field(default_factory=list)
    old_binomials: set[tuple[str, str]] = field(default_factory=set)
    old_epithets: dict[str, list[str]] = field(default_factory=dict)  # by old genus
    trinomials: list[dict[tuple[str, str], str]] = field(default_factory=list)
    prefixes: list[dict[str, set[str]]] = field(default_factory=list)
    phrases: dict[str, tuple[Ref, ...]] = field(default_factory=dict)
    spaced: dict[str, tuple[Ref, ...]] = field(default_factory=dict)  # for near misses
    bare: dict[str, list[Ref]] = field(default_factory=dict)
    ambiguous: dict[tuple[str, str], tuple[Ref, ...]] = field(default_factory=dict)
    crosses: list[dict[frozenset[str], str]] = field(default_factory=list)
    formulae: dict[str, str] = field(default_factory=dict)  # outside crosses: formula → name
    labels: list[dict[frozenset[str], str]] = field(default_factory=list)
    elsewhere: dict[str, frozenset[str]] = field(default_factory=dict)
    known: set[str] = field(default_factory=set)  # every genus and epithet
    neighbours: dict[str, str] = field(default_factory=dict)  # English name → Latin, outside
    short_neighbours: dict[tuple[str, str], str] = field(default_factory=dict)  # (g, conopsea)
    shared: dict[tuple[str, str], list[str]] = field(default_factory=dict)  # (p, vulgaris)
    outside_genera: set[str] = field(default_factory=set)
    outside_binomials: set[tuple[str, str]] = field(default_factory=set)
    spaced_outside: dict[str, str] = field(default_factory=dict)  # for near misses
    partners: set[str] = field(default_factory=set)  # genera outside that ours cross with
    telling: set[str] = field(default_factory=set)  # words without which there is no name
    genus_words: list[str] = field(default_factory=list)
    epithet_words: list[list[str]] = field(default_factory=list)
    stems: list[dict[str, tuple[str, ...]]] = field(default_factory=list)
    by_length: dict[int, list[str]] = field(default_factory=dict)  # both, for near misses
    vocabulary: set[str] = field(default_factory=set)  # the words of English names
    openings: set[str] = field(default_factory=set)  # every beginning of an English name
    heads: set[str] = field(default_factory=set)  # last words of English names
    english_words: set[str] = field(default_factory=set)  # those of plants outside as well

    def taxon(self, ref: Ref) -> Taxon:
        return self.books[ref[0]].taxa[ref[1]]

    def species(self, ref: Ref) -> str:
        """The species or nothospecies that holds a taxon below it; itself otherwise."""
        taxa = self.books[ref[0]].taxa
        for taxon in self.books[ref[0]].lines_up[ref[1]]:
            if taxa[taxon].rank in SPECIES:
                return taxon
        return ref[1]


def build(books: tuple[Rulebook, ...]) -> Index:
    """Build the index of some rulebooks."""
    index = Index(books)
    for number, book in enumerate(books):
        index.epithets.append({})
        index.trinomials.append({})
        index.crosses.append({frozenset(t.parents): t.id for t in book.hybrids})
        index.labels.append({})
        _add_genera(index, number, book)
        for taxon in book.taxa.values():
            _add_taxon(index, number, taxon)
        _add_ambiguous(index, number, book)
        for word, written in book.outside_crosses.items():
            if CROSS in word:
                index.formulae[word] = written
            else:
                index.nothogenera[key(word)] = written
        index.prefixes.append(_prefixes(book))
    index.genera, index.initials = dict(index.genera), dict(index.initials)
    for genus, epithets in words.ELSEWHERE.items():
        index.elsewhere[key(genus)] = frozenset(map(key, epithets))
    _add_neighbours(index)
    _finish(index)
    return index


def _add_neighbours(index: Index) -> None:
    """File the names of plants outside, but for English ones that are used inside too."""
    for plant in words.NEIGHBOURS:
        genus, epithet = plant.latin.split()
        if key(genus) not in index.genera:
            shared = index.shared.setdefault((key(genus)[0], key(epithet)), [])
            shared.append(plant.latin)
            index.outside_genera.add(key(genus))
            if plant.beside:
                index.partners.add(genus)
        index.outside_binomials.add((key(genus), key(epithet)))
        if plant.beside:
            index.short_neighbours[key(genus)[0], key(epithet)] = plant.latin
        for name in plant.english:
            for form in vernacular_forms(name):
                if key(form) not in index.phrases:
                    index.neighbours[key(form)] = plant.latin
            spaced = " ".join(key(word) for word in name.replace("-", " ").split())
            if len(spaced) > 7 and spaced not in index.spaced:
                index.spaced_outside[spaced] = plant.latin


def _add_genera(index: Index, number: int, book: Rulebook) -> None:
    root = book.taxa[book.root]
    spellings: list[tuple[str, bool, bool]] = [(g, False, False) for g in book.genera]
    spellings += [(g, False, False) for g in (*root.synonyms, *root.abbreviations)]
    spellings += [(g, False, True) for g in root.misspellings]
    spellings += [(g, True, False) for g in book.old_genera]
    for written, old, slip in spellings:
        genus = Genus(number, key(written), old and written not in root.synonyms, slip)
        if all(g.book != number for g in index.genera[genus.key]):
            index.genera[genus.key].append(genus)
        if not slip and genus not in index.initials[genus.key[0]]:
            index.initials[genus.key[0]].append(genus)


def _add_taxon(index: Index, number: int, taxon: Taxon) -> None:
    written = [taxon.name, *taxon.synonyms] if taxon.name else list(taxon.synonyms)
    if taxon.rank == "aggregate":
        _add_aggregate(index, number, taxon)
        written = []
    if taxon.rank == "genus":
        written = []
    for name in written:
        _add_name(index, number, taxon, name)
    if taxon.rank != "genus":
        _add_misspellings(index, number, taxon)
    for vernacular in taxon.vernaculars:
        if "/" not in vernacular:
            for form in vernacular_forms(vernacular):
                _add_phrase(index, form, (number, taxon.id), near=_whole(form, vernacular))
    for short in taxon.abbreviations if taxon.rank != "genus" else ():
        if " x " not in short:
            _add_phrase(index, short, (number, taxon.id), near=False)


def _add_misspellings(index: Index, number: int, taxon: Taxon) -> None:
    trinomials = index.trinomials[number]
    for slip in taxon.misspellings:
        word = key(slip.split()[-1]) if slip[0].isupper() else key(slip)
        if taxon.rank in SPECIES:
            slipped = Epithet(taxon.id, bool(taxon.parents), slip=True)
            index.epithets[number].setdefault(word, slipped)
        else:
            for first, _ in [pair for pair, known in trinomials.items() if known == taxon.id]:
                trinomials.setdefault((first, word), taxon.id)


def _add_aggregate(index: Index, number: int, taxon: Taxon) -> None:
    label = taxon.label.removesuffix(" agg.") or taxon.epithet
    index.labels[number][frozenset(key(part) for part in label.split("/"))] = taxon.id
    for vernacular in taxon.vernaculars:
        if "/" in vernacular:
            parts = vernacular.split()[-1].split("/")
            index.labels[number][frozenset(map(key, parts))] = taxon.id


def _add_name(index: Index, number: int, taxon: Taxon, name: str) -> None:
    """File a full name: `Genus epithet`, `Genus × epithet`, `× Genus epithet`, trinomials."""
    noth = CROSS in name
    parts = [p for p in name.split() if p != CROSS and p not in words.RANK_NAMES]
    genus, epithet = key(parts[0]), key(parts[1])
    if len(parts) > 2:
        index.trinomials[number].setdefault((epithet, key(parts[2])), taxon.id)
        return
    filed = index.epithets[number].get(epithet)
    if filed is None or filed.slip:
        index.epithets[number][epithet] = Epithet(taxon.id, noth)
    index.old_binomials.add((genus, epithet))


def _add_phrase(index: Index, phrase: str, ref: Ref, *, near: bool) -> None:
    joined = key(phrase)
    if ref not in index.phrases.get(joined, ()):
        index.phrases[joined] = (*index.phrases.get(joined, ()), ref)
    if near:
        spaced = " ".join(key(word) for word in phrase.replace("-", " ").split())
        if ref not in index.spaced.get(spaced, ()):
            index.spaced[spaced] = (*index.spaced.get(spaced, ()), ref)


def _whole(form: str, name: str) -> bool:
    """Whether a form of an English name shortens none of its words: only these get misspelt."""
    parts = set(name.lower().replace("-", " ").split())
    return all(word in parts or word.removesuffix("s") in parts for word in form.split())


def _add_ambiguous(index: Index, number: int, book: Rulebook) -> None:
    for name, taxa in book.ambiguous_names.items():
        refs = tuple((number, taxon) for taxon in taxa)
        first, *rest = name.split()
        if key(first) in index.genera and rest:
            index.ambiguous[key(first), key(rest[-1])] = refs
        else:
            for form in vernacular_forms(name):
                for ref in refs:
                    _add_phrase(index, form, ref, near=_whole(form, name))


def _prefixes(book: Rulebook) -> dict[str, set[str]]:
    """The beginnings, of three letters or more, of accepted epithets."""
    found: defaultdict[str, set[str]] = defaultdict(set)
    for taxon in book.taxa.values():
        if taxon.rank in SPECIES and taxon.name:
            word = key(taxon.epithet)
            for length in range(3, len(word)):
                found[word[:length]].add(taxon.id)
    return dict(found)


def _finish(index: Index) -> None:
    for genus, word in sorted(index.old_binomials):
        index.old_epithets.setdefault(genus, []).append(word)
    index.known = set(index.genera) | set(index.nothogenera)
    for number, epithets in enumerate(index.epithets):
        for label, aggregate in index.labels[number].items():
            if len(label) == 1:  # an aggregate whose name is no species of ours: majalis
                epithets.setdefault(min(label), Epithet(aggregate, False))
        index.known |= set(epithets)
        index.epithet_words.append(list(epithets))
        stems: dict[str, tuple[str, ...]] = {}
        for word, epithet in epithets.items():
            if not epithet.slip:
                same = stems.get(stem(word), ())
                stems[stem(word)] = tuple(dict.fromkeys((*same, epithet.taxon)))
        index.stems.append(stems)
        for word, epithet in epithets.items():
            index.bare.setdefault(word, []).append((number, epithet.taxon))
        for (_, second), taxon in index.trinomials[number].items():
            if second not in epithets:
                index.bare.setdefault(second, []).append((number, taxon))
    index.telling = index.known | index.bare.keys() | index.phrases.keys()
    index.telling |= {word for phrase in index.spaced for word in phrase.split() if len(word) > 2}
    for phrase in (*index.spaced, *index.spaced_outside):
        index.by_length.setdefault(len(phrase), []).append(phrase)
    index.vocabulary = {w for phrase in index.spaced for w in phrase.split() if len(w) > 2}
    outside = {w for phrase in index.spaced_outside for w in phrase.split() if len(w) > 2}
    index.english_words = index.vocabulary | outside
    index.heads = {phrase.split()[-1] for phrase in index.spaced if " " in phrase}
    index.openings = {
        phrase[:length]
        for phrase in (*index.phrases, *index.neighbours)
        for length in range(1, len(phrase) + 1)
    }
    index.shortened = _shortened(index)
    index.genus_words = [w for w in (*index.genera, *index.nothogenera) if len(w) > 3]


def _shortened(index: Index) -> dict[str, tuple[Genus, ...]]:
    """The beginnings, of three letters or more, of genera of one rulebook alone."""
    found: defaultdict[str, list[Genus]] = defaultdict(list)
    for genera in index.genera.values():
        for genus in genera:
            for length in range(3, 0 if genus.slip else len(genus.key)):
                found[genus.key[:length]].append(genus)
    return {
        word: tuple(genera)
        for word, genera in found.items()
        if word not in index.genera and len({genus.book for genus in genera}) == 1
    }


def names_of(index: Index, refs: Iterable[Ref]) -> tuple[str, ...]:
    """The written names of some taxa, in their order, each once."""
    return tuple(dict.fromkeys(index.books[book].written(taxon) for book, taxon in refs))


__all__ = ["Epithet", "Genus", "Index", "Ref", "build", "names_of"]
