"""Brackets, and what follows a comma: notes, qualifiers, the same plant's other name, another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from crossproof.parse.names import clauses, words
from crossproof.parse.names.authors import is_author
from crossproof.parse.names.clause import Clause, read_clause
from crossproof.parse.names.combine import Meaning
from crossproof.parse.names.index import Index, Ref, names_of
from crossproof.parse.names.operand import exact
from crossproof.parse.names.qualifiers import pull_qualifiers
from crossproof.parse.names.tokens import Token


@dataclass(slots=True)
class Asides:
    """The asides of a name, sorted by what they do."""

    qualifiers: list[str] = field(default_factory=list)
    hybrid: bool = False
    more: list[Token] = field(default_factory=list)  # goes on with the name: `, hybrid with …`
    others: list[list[Token]] = field(default_factory=list)  # may be names
    back: list[list[Token]] = field(default_factory=list)  # `backcross to …`, `nearer …`
    left_out: list[list[Token]] = field(default_factory=list)

    def weigh(self, index: Index, main: Clause) -> Clause:
        """Hold the name against those in the asides: agree, refine, or leave it open."""
        for tokens_aside in self.back:
            named = [t for t in tokens_aside if t.key not in words.BACK]
            if _back_to_parent(index, main.meaning, named):
                self.left_out.append(tokens_aside)
            else:
                self._hold(index, main, named)
        parents = _parents_named(index, main.meaning, self.others)
        for tokens_aside in self.others:
            enough = len(parents) > (0 if main.formula else 1)
            if enough and _one_of(index, parents, tokens_aside):
                continue
            self._hold(index, main, tokens_aside)
            if not main.meaning.settled and len(main.meaning.candidates) > 1:
                break  # what is named next cannot settle it
        return main

    def _hold(self, index: Index, main: Clause, tokens: list[Token]) -> None:
        ref = main.meaning.ref
        other = read_clause(index, tokens, books=[ref[0]] if ref else (), careful=True)
        said = other.meaning
        if not _is_name(index, other):
            self.left_out.append(tokens)
            return
        if ref and "hybrid" in said.reason and not index.taxon(ref).parents:
            if index.taxon(ref).rank != "genus":
                reason = "a hybrid is named beside it"
                main.meaning = Meaning(candidates=(ref,), reason=reason)
            return
        if _old_genus_alone(index, main.meaning):
            main.meaning = Meaning()
        if main.meaning.settled and main.meaning.kind != "out_of_scope":
            if _same(index, main.meaning, said):
                if ref and said.ref and ref[1] in index.books[ref[0]].lines_up[said.ref[1]]:
                    main.meaning = replace(said, notes=(*main.meaning.notes, *said.notes))
                return
            if not _genus(index, main.meaning, said):
                both = [r for r in (ref, said.ref) if r]
                names = names_of(index, both)
                reason = f"more than one plant is named: {', '.join(names)}"
                main.meaning = Meaning(candidates=tuple(both), reason=reason)
                return
        elif main.meaning.settled:
            self.left_out.append(tokens)
            return
        notes = (*main.meaning.notes, *said.notes)
        main.meaning = replace(said, notes=notes)
        main.qualifiers = list(dict.fromkeys([*main.qualifiers, *other.qualifiers]))


def _old_genus_alone(index: Index, main: Meaning) -> bool:
    """Whether only an old genus of ours stands first: `Orchis hybrid, Fuchsii × praetermissa`."""
    return main.kind == "out_of_scope" and main.written.lower() in index.genera


def _parents_named(index: Index, main: Meaning, asides: Sequence[list[Token]]) -> set[Ref]:
    """The parents of a hybrid that stand beside it: `Geum rivale (water avens) × …`."""
    if main.ref is None or not asides or not index.taxon(main.ref).parents:
        return set()
    book = main.ref[0]
    parents = {(book, parent) for parent in index.taxon(main.ref).parents}
    said = (read_clause(index, aside, books=[book], careful=True).meaning.ref for aside in asides)
    return {ref for ref in said if ref in parents}


def _one_of(index: Index, parents: set[Ref], tokens: list[Token]) -> bool:
    book = next(iter(parents))[0]
    return read_clause(index, tokens, books=[book], careful=True).meaning.ref in parents


def _back_to_parent(index: Index, main: Meaning, named: list[Token]) -> bool:
    """Whether a hybrid is said to go back to its own parent, or to nothing that is a plant."""
    if not any(t.key in index.telling for t in named):
        return True
    if main.ref is None:
        return False
    said = read_clause(index, named, books=[main.ref[0]], careful=True).meaning
    if said.ref is None or said.ref[0] != main.ref[0]:
        return False
    parents = index.taxon(main.ref).parents
    return said.ref == main.ref or index.species(said.ref) in parents


def turned(index: Index, parted: clauses.Clauses) -> clauses.Clauses:
    """Put an English name that a list has turned round straight: `Orchid, Common Spotted`."""
    if parted.asides:
        whole = [*parted.asides[0], *parted.main]
        straight = exact(index, whole)
        if straight.ref and straight.english and not straight.rest:
            return clauses.Clauses(whole, parted.asides[1:])
    return parted


def sort_asides(index: Index, asides: Sequence[list[Token]]) -> Asides:
    """Sort the asides of a name."""
    found = Asides()
    for aside in asides:
        kept, qualifiers, _ = pull_qualifiers(aside, index)
        if not kept:
            found.qualifiers += qualifiers
        elif kept[0].key in words.BACK:
            found.hybrid = found.hybrid or kept[0].key in words.BACKCROSS
            found.qualifiers += qualifiers
            found.back.append(kept)
        elif all(t.key in words.HYBRID or t.key in words.LEAD for t in kept):
            found.hybrid = found.hybrid or any(t.key in words.HYBRID for t in kept)
            found.qualifiers += qualifiers
        elif kept[0].key in words.HYBRID and len(kept) > 2 and kept[1].key in ("with", "by"):
            cross = kept[1]._replace(raw="×", key="×", kind="cross")
            found.more += [cross, *kept[2:]]
            found.qualifiers += qualifiers
        elif kept[0].key in words.RANKS and len(kept) == 2:  # `(subsp. coccinea)`
            found.more += kept
        elif kept[0].key in words.STOP or kept[0].key in words.NEGATION | words.JOIN:
            found.left_out.append(aside)
        elif all(is_author(t) for t in kept) and len(kept) < 2:
            _keep_if_known(index, found, aside, kept)
        elif any(t.key in index.telling or t.kind == "cross" for t in kept):
            found.others.append(aside)
        else:
            found.left_out.append(aside)
    return found


def _keep_if_known(index: Index, found: Asides, aside: list[Token], kept: list[Token]) -> None:
    """One capitalised word in brackets is an author, unless it is a plant (`Primrose`)."""
    known = kept[0].key in index.phrases or kept[0].key in index.bare
    if known or (kept[0].key in index.genera and len(kept[0].key) > 1):
        found.others.append(aside)


def _is_name(index: Index, clause: Clause) -> bool:
    meaning = clause.meaning
    if not meaning.settled or meaning.kind == "out_of_scope":
        return False
    return all(is_author(t) or t.kind != "word" or t.key in words.JOIN for t in clause.left_out)


def _same(index: Index, one: Meaning, other: Meaning) -> bool:
    """Whether two meanings are one taxon, or one stands above the other."""
    if one.ref is None or other.ref is None:
        return one.written == other.written
    if one.ref[0] != other.ref[0]:
        return False
    book = index.books[one.ref[0]]
    if one.ref == other.ref or one.ref[1] in book.lines_up[other.ref[1]]:
        return one.ref == other.ref or book.taxa[one.ref[1]].rank != "genus"
    return other.ref[1] in book.lines_up[one.ref[1]]


def _genus(index: Index, one: Meaning, other: Meaning) -> bool:
    """Whether the first is only the genus of the second."""
    if one.ref is None:
        return False
    genus: Ref = one.ref
    if index.taxon(genus).rank != "genus":
        return False
    if other.ref is not None:
        return other.ref[0] == genus[0]
    return other.written.startswith(index.taxon(genus).name)
