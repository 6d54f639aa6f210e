"""Read one clause: its operands one by one, then together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from crossproof.parse.names import clauses, words
from crossproof.parse.names.combine import Meaning, alternatives, formula, single
from crossproof.parse.names.index import Index
from crossproof.parse.names.operand import exact
from crossproof.parse.names.qualifiers import pull_qualifiers
from crossproof.parse.names.reading import Reading
from crossproof.parse.names.sides import (
    Side,
    hybrid_named,
    initial,
    missing_crosses,
    read_sides,
    tidy,
)
from crossproof.parse.names.tokens import Token

MISSING = "a multiplication sign was taken as missing between two epithets"


@dataclass(slots=True)
class Clause:
    """What one clause says: its meaning, qualifiers, and the words that were left out."""

    meaning: Meaning
    qualifiers: list[str] = field(default_factory=list)
    left_out: list[Token] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    formula: bool = False  # its parents are named
    end: int = 0  # where the last word of the name ends in the folded text


def read_clause(
    index: Index,
    tokens: Sequence[Token],
    *,
    hybrid: bool = False,
    books: Sequence[int] = (),
    careful: bool = False,
) -> Clause:
    """Read a clause. `hybrid`: an aside says so. `careful`: by look-up alone, as in brackets."""
    kept, qualifiers, mended = pull_qualifiers(tokens, index)
    kept, denied = _before_negation(index, kept)
    clause = Clause(Meaning(reason="no plant name could be read"), qualifiers, denied)
    if mended:
        clause.notes.append("a multiplication sign was restored from a question mark")
    if denied and not kept:
        clause.meaning = Meaning(reason="the name is denied, not given")
        return clause
    labelled = _label(index, kept)
    if labelled:
        clause.meaning = labelled
        clause.qualifiers = list(dict.fromkeys([*qualifiers, "agg."]))
        return clause
    flagged = _read_operands(index, clause, kept, hybrid, books, careful)
    if len(clause.meaning.candidates) > 1 and "agg." in qualifiers:
        aggregate = index.phrases.get("".join(t.key for t in kept) + "agg", ())
        if len(aggregate) == 1:  # `spotted-orchid agg.`
            clause.meaning = Meaning(ref=aggregate[0])
    if flagged and not clause.meaning.settled and not careful:
        parted = clauses.hyphens_parted(kept, lambda t: exact(index, t).ref is not None)
        if parted:
            return read_clause(index, parted, hybrid=hybrid, books=books)
    return clause


def _read_operands(
    index: Index,
    clause: Clause,
    tokens: Sequence[Token],
    hybrid: bool,
    books: Sequence[int],
    careful: bool,
) -> bool:
    """Fill in what the operands mean; say whether the word `hybrid` stands among them."""
    found = clauses.split_operands(index, tokens, lambda t: _readable(index, t), hybrid=hybrid)
    sides, signs, leading, unfinished = tidy(index, found)
    readings = read_sides(index, sides, leading, books, careful)
    generic = found.hybrid or bool({"sp.", "spp."} & set(clause.qualifiers))
    if generic and not any(r.good for r in readings):
        readings = [initial(index, sides)]
    if found.hybrid and not careful:
        whole = hybrid_named(index, tokens, sides, readings)
        if whole is not None:
            readings, found.hybrid = [whole], False
    readings, signs, missing = missing_crosses(index, readings, signs, found.hybrid)
    if missing:
        clause.notes.append(MISSING)
    for reading in readings:
        clause.left_out.extend(reading.rest)
    clause.meaning = _meaning(index, readings, signs, found.hybrid or unfinished)
    clause.formula = len(readings) > 1
    clause.end = _end(sides, readings)
    return found.hybrid


def _end(sides: Sequence[Side], readings: Sequence[Reading]) -> int:
    """Where the last word of a single name ends."""
    if len(readings) != 1 or not sides:
        return 0
    rest = readings[0].rest
    used = sides[0].tokens[: len(sides[0].tokens) - len(rest)] if rest else sides[0].tokens
    return used[-1].end if used else 0


def _before_negation(index: Index, tokens: list[Token]) -> tuple[list[Token], list[Token]]:
    for i, token in enumerate(tokens):
        if token.key in words.NEGATION:
            after = tokens[i + 1].key if i + 1 < len(tokens) else ""
            if token.key + after in index.bare:  # `non scripta`
                continue
            denied = _denied_hybrid(tokens) if i == 0 else 0
            if denied < len(tokens) and denied:  # `non-hybrid D. fuchsii`
                return tokens[denied:], tokens[:denied]
            return tokens[:i], tokens[i:]
    return tokens, []


def _denied_hybrid(tokens: Sequence[Token]) -> int:
    """How many words at the beginning deny that the plant is a hybrid, and nothing else."""
    end = 1
    while end < len(tokens) and (tokens[end].key in words.LEAD | words.HYBRID):
        end += 1
    hybrid = any(t.key in words.HYBRID or t.key.startswith("nonhybrid") for t in tokens[:end])
    return end if hybrid else 0


def _readable(index: Index, tokens: Sequence[Token]) -> bool:
    if not tokens:
        return False
    first = next((t for t in tokens if t.kind == "word" and t.key not in words.LEAD), tokens[0])
    return exact(index, tokens).good or first.key in index.bare


def _label(index: Index, tokens: Sequence[Token]) -> Meaning | None:
    """A label with slashes, in any order: `incarnata/majalis`, `D. fuchsii/maculata`."""
    if not any(t.raw == "/" for t in tokens):
        return None
    books = [g.book for t in tokens for g in index.genera.get(t.key, ())]
    names = frozenset(
        t.key for t in tokens if t.kind == "word" and len(t.key) > 1 and t.key not in index.genera
    )
    for book in books or range(len(index.books)):
        taxon = index.labels[book].get(names)
        if taxon:
            return Meaning(ref=(book, taxon))
    return None


def _meaning(index: Index, readings: list[Reading], signs: Sequence[str], hybrid: bool) -> Meaning:
    if not readings:
        return Meaning(reason="no plant name could be read")
    if len(readings) == 1:
        return single(index, readings[0], hybrid=hybrid)
    if all(sign == "cross" for sign in signs):
        return formula(index, readings)
    return alternatives(index, readings)
