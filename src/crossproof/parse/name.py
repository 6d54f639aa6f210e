"""Read a written plant name: formula, nothospecies name, English name, abbreviation or slip.

What it reads, refuses and assumes is described in docs/reference/reading-names.md. Hybrid names
are written as in the International Code of Nomenclature (Shenzhen 2018), Arts H.1 to H.12.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from crossproof.model import Name, NameKind
from crossproof.parse.names import clauses, sentence
from crossproof.parse.names.asides import Asides, sort_asides, turned
from crossproof.parse.names.authors import authors_after, is_author
from crossproof.parse.names.clause import Clause, read_clause
from crossproof.parse.names.combine import Meaning
from crossproof.parse.names.fold import CROSS, MENDED, fold
from crossproof.parse.names.home import home_of
from crossproof.parse.names.index import Index, Ref, build
from crossproof.parse.names.pieces import rejoined, spelled
from crossproof.parse.names.tokens import Token, join_qualifiers, tokenise
from crossproof.rulebooks.load import shipped
from crossproof.rulebooks.model import Rulebook

LONGEST = 300  # characters read of one name
REMEMBERED = 65_536  # distinct strings kept per reader

_KINDS: dict[str, NameKind] = {"genus": "genus", "aggregate": "aggregate"}


def parse_name(text: str, rulebooks: Sequence[Rulebook] | None = None) -> Name:
    """Read one written plant name. Never raises: what can't be read comes back `unresolved`.

    `rulebooks`: those to resolve names in; all that ship by default.
    """
    return reader(None if rulebooks is None else tuple(rulebooks)).read(text)


def reader(rulebooks: tuple[Rulebook, ...] | None = None) -> NameReader:
    """The reader for some rulebooks, built once and kept while they are in use."""
    books = shipped() if rulebooks is None else rulebooks
    key = tuple(id(book) for book in books)
    if key not in _READERS:
        if len(_READERS) > 16:
            _READERS.clear()
        _READERS[key] = NameReader(books)
    return _READERS[key]


class NameReader:
    """Reads names against some rulebooks. Building one costs milliseconds; reading, microseconds.

    Each distinct string is read once and remembered.
    """

    def __init__(self, rulebooks: Sequence[Rulebook]) -> None:
        self._index = build(tuple(rulebooks))
        self.read = lru_cache(maxsize=REMEMBERED)(self._read)

    def _read(self, text: str) -> Name:
        return _read(self._index, text)


_READERS: dict[tuple[int, ...], NameReader] = {}


def _read(index: Index, text: str) -> Name:
    clean, mended = fold(text[: LONGEST * 2])
    notes = [MENDED] if mended and "×" in clean else []
    if len(clean) > LONGEST:
        clean = clean[:LONGEST]
        notes.append(f"only the first {LONGEST} characters were read")
    clean = spelled(index, join_qualifiers(clean))
    parted = clauses.split_clauses(_tokens(index, clean))
    if not parted.main:
        return Name(verbatim=text, reason="nothing is written there", assumed=tuple(notes))
    parted = turned(index, parted)
    asides = sort_asides(index, parted.asides)
    main = read_clause(index, [*parted.main, *asides.more], hybrid=asides.hybrid)
    clause = asides.weigh(index, main)
    clause.qualifiers = list(dict.fromkeys([*clause.qualifiers, *asides.qualifiers]))
    if not _reads_back(index, clause.meaning):
        clause.meaning = Meaning(reason="the words do not make one name")
    notes += [*clause.notes, *clause.meaning.notes, *_left_out(clause, asides)]
    return _name(index, text, clean, clause, tuple(dict.fromkeys(notes)))


def _tokens(index: Index, clean: str) -> Sequence[Token]:
    """Cut into tokens, and put those right that stand for other ones."""
    return sentence.plain(index, clauses.glued(index, rejoined(index, tokenise(clean))))


def _reads_back(index: Index, meaning: Meaning) -> bool:
    """Whether a formula, as we write it, is read as itself: what is not, was no name."""
    if meaning.ref is not None or meaning.written.count("×") == 0:
        return True
    tokens = clauses.glued(index, tokenise(meaning.written))
    return read_clause(index, tokens).meaning.written == meaning.written


def _left_out(clause: Clause, asides: Asides) -> list[str]:
    """A note on the words that are neither name nor author."""
    lost = " ".join(t.raw for t in clause.left_out if not is_author(t))
    aside = [
        " ".join(t.raw for t in tokens)
        for tokens in asides.left_out
        if not all(is_author(t) for t in tokens)
    ]
    return [f"left out: '{piece}'" for piece in (lost, *aside) if piece.strip()]


def _name(index: Index, text: str, clean: str, clause: Clause, notes: tuple[str, ...]) -> Name:
    meaning = clause.meaning
    if meaning.ref is not None:
        return _inside(index, text, clause, meaning, meaning.ref, notes)
    qualifier = " ".join(
        q for q in clause.qualifiers if _fits(q, genus=meaning.rank in ("genus", "nothogenus"))
    )
    if meaning.written:
        authors = authors_after(clean, clause.end) if meaning.kind == "out_of_scope" else ""
        return Name(
            verbatim=text,
            scientific_name=meaning.written,
            kind="hybrid" if meaning.kind == "hybrid" else "out_of_scope",
            qualifier=qualifier,
            authorship=authors,
            rank=meaning.rank,
            rulebook=home_of(index, meaning, clean) if meaning.kind == "hybrid" else "",
            parents=meaning.parents,
            reason=meaning.reason,
            cross=meaning.kind == "hybrid",
            assumed=notes,
        )
    return Name(
        verbatim=text,
        qualifier=" ".join(clause.qualifiers),
        reason=meaning.reason,
        candidates=tuple(dict.fromkeys(taxon for _, taxon in meaning.candidates)),
        rulebook=home_of(index, meaning, clean),
        cross=CROSS in clean,
        assumed=notes,
    )


def _fits(qualifier: str, *, genus: bool) -> bool:
    """`sp.` qualifies a genus; beside an epithet it says nothing."""
    return genus or qualifier not in ("sp.", "spp.")


def _inside(
    index: Index, text: str, clause: Clause, meaning: Meaning, ref: Ref, notes: tuple[str, ...]
) -> Name:
    book = index.books[ref[0]]
    taxon = book.taxa[ref[1]]
    kind: NameKind = "hybrid" if taxon.parents else _KINDS.get(taxon.rank, "species")
    qualifiers = [q for q in clause.qualifiers if _fits(q, genus=kind == "genus")]
    identifier = taxon.id
    if kind in ("species", "genus") and {"agg.", "s.l."} & set(qualifiers):
        kind = "aggregate"
        identifier = _aggregate(index, ref)
    return Name(
        verbatim=text,
        scientific_name=meaning.written or book.written(taxon.id).removesuffix(" agg."),
        kind=kind,
        qualifier=" ".join(qualifiers),
        authorship="" if meaning.written else taxon.authorship,
        rank=meaning.rank or ("aggregate" if kind == "aggregate" else taxon.rank),
        taxon=identifier,
        rulebook=book.id,
        parents=taxon.parents,
        reason=meaning.reason,
        cross=bool(taxon.parents),
        assumed=notes,
    )


def _aggregate(index: Index, ref: Ref) -> str:
    """The aggregate a species' name stands for with `agg.` behind it."""
    book = index.books[ref[0]]
    own = index.labels[ref[0]].get(frozenset({book.taxa[ref[1]].epithet}))
    if own:
        return own
    for taxon in book.lines_up[ref[1]]:
        if book.taxa[taxon].rank == "aggregate":
            return taxon
    return ref[1]


__all__ = ["NameReader", "parse_name", "reader"]
