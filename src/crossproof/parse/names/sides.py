"""Read one clause: its operands one by one, then together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from crossproof.parse.names import clauses, latin, words
from crossproof.parse.names.combine import Meaning, alternatives, formula, single
from crossproof.parse.names.index import Index
from crossproof.parse.names.operand import exact, loose, outside_carried, strict
from crossproof.parse.names.reading import NOTHING, Reading
from crossproof.parse.names.tokens import Token

MISSING = "a multiplication sign was taken as missing between two epithets"


@dataclass(slots=True)
class Clause:
    """What one clause says: its meaning, qualifiers, and the words that were left out."""

    meaning: Meaning
    qualifiers: list[str] = field(default_factory=list)
    left_out: list[Token] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    end: int = 0  # where the last word of the name ends in the folded text


def read_clause(
    index: Index,
    tokens: Sequence[Token],
    *,
    hybrid: bool = False,
    books: Sequence[int] = (),
    careful: bool = False,
) -> Clause:
    """Read a clause. `careful`: by look-up alone, as for words in brackets."""
    kept, qualifiers, mended = clauses.pull_qualifiers(tokens, index)
    kept, denied = _before_negation(index, kept)
    clause = Clause(Meaning(reason="no plant name could be read"), qualifiers)
    if mended:
        clause.notes.append("a multiplication sign was restored from a question mark")
    if denied:
        clause.left_out.extend(denied)
        if not kept:
            clause.meaning = Meaning(reason="the name is denied, not given")
            return clause
    labelled = _label(index, kept)
    if labelled:
        clause.meaning = labelled
        if "agg." not in qualifiers:
            qualifiers.append("agg.")
        return clause
    found = clauses.split_operands(index, kept, lambda t: _readable(index, t), hybrid=hybrid)
    sides, signs, leading, unfinished = _tidy(index, found)
    readings = _read_sides(index, sides, leading, books, careful)
    readings, signs, missing = _missing_crosses(index, readings, signs, found.hybrid)
    if missing:
        clause.notes.append(MISSING)
    for reading in readings:
        clause.left_out.extend(reading.rest)
    clause.meaning = _meaning(index, readings, signs, found.hybrid or unfinished)
    if found.hybrid and not clause.meaning.settled and not careful:
        parted = clauses.hyphens_parted(kept, lambda t: exact(index, t).ref is not None)
        if parted:
            return read_clause(index, parted, hybrid=hybrid, books=books)
    clause.end = _end(sides, readings)
    return clause


def _end(sides: Sequence[_Side], readings: Sequence[Reading]) -> int:
    if len(readings) != 1 or not sides:
        return 0
    rest = readings[0].rest
    used = sides[0].tokens[: len(sides[0].tokens) - len(rest)] if rest else sides[0].tokens
    return (used[-1].end + used[-1].dot * 0) if used else 0


@dataclass(frozen=True, slots=True)
class _Side:
    tokens: tuple[Token, ...]
    noth: bool = False


def _before_negation(index: Index, tokens: list[Token]) -> tuple[list[Token], list[Token]]:
    for i, token in enumerate(tokens):
        if token.key in words.NEGATION:
            after = tokens[i + 1].key if i + 1 < len(tokens) else ""
            if token.key + after in index.bare:  # `non scripta`
                continue
            return tokens[:i], tokens[i:]
    return tokens, []


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


def _tidy(index: Index, found: clauses.Operands) -> tuple[list[_Side], list[str], bool, bool]:
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
    tidy: list[_Side] = []
    joined: list[str] = []
    i = 0
    while i < len(full):
        if i + 1 < len(full) and between[i] == "cross" and _genus_only(index, full[i], full[i + 1]):
            alone = len(full) == 2 or i > 0
            tidy.append(_Side((*full[i], *full[i + 1]), noth=alone))
            i += 2
        else:
            tidy.append(_Side(tuple(full[i])))
            i += 1
        if i < len(full):
            joined.append(between[i - 1])
    return tidy, joined, leading, unfinished


def _words(tokens: Sequence[Token]) -> bool:
    return any(t.kind == "word" and t.key not in words.HYBRID for t in tokens)


def _genus_only(index: Index, side: Sequence[Token], after: Sequence[Token]) -> bool:
    named = [t for t in side if t.kind == "word" and t.key not in words.LEAD]
    if len(named) != 1 or side[-1] is not named[0]:
        return False
    word, follower = named[0], after[0]
    if follower.kind != "word" or follower.key in index.genera or len(follower.key) < 3:
        return False
    if word.key in index.phrases or word.key in index.bare:
        return False
    if len(word.key) == 1:
        return word.key in index.initials
    if word.key in index.genera:
        return True
    return latin.is_genus(word) and not follower.capital


def _read_sides(
    index: Index, sides: Sequence[_Side], leading: bool, books: Sequence[int], careful: bool
) -> list[Reading]:
    noths = [s.noth or (leading and len(sides) == 1) for s in sides]
    readings = [_exactly(index, side.tokens, noth) for side, noth in zip(sides, noths, strict=True)]
    if len(sides) > 1:
        readings = [
            r if r.good or r.problem else _borrowing(index, side.tokens, readings)
            for r, side in zip(readings, sides, strict=True)
        ]
    context = [*books, *(ref[0] for r in readings for ref in r.refs)]
    if len(sides) > 1 and not context:  # `praet × fuchsii`: bare epithets give the genus
        context = _shared_books(index, sides)
    way = strict if careful else loose
    readings = [
        r if r.good or r.problem else _leading(way(index, side.tokens, context, noth=noth), leading)
        for r, side, noth in zip(readings, sides, noths, strict=True)
    ]
    genus = next((r.outside.split()[0] for r in readings if r.outside and " " in r.outside), "")
    return [
        r if r.good or r.problem or not genus else outside_carried(side.tokens, genus)
        for r, side in zip(readings, sides, strict=True)
    ]


def _shared_books(index: Index, sides: Sequence[_Side]) -> list[int]:
    """The rulebooks that know the first word of every side, or the beginning of it."""
    firsts = [side.tokens[0].key for side in sides]
    known = [
        book
        for book in range(len(index.books))
        if all(w in index.epithets[book] or w in index.prefixes[book] for w in firsts)
    ]
    return known or [ref[0] for word in firsts for ref in index.bare.get(word, ())]


def _exactly(index: Index, tokens: Sequence[Token], noth: bool) -> Reading:
    """Look a side up; a × before a genus of ours (`× Dactylorhiza grandis`) belongs further on."""
    return exact(index, tokens, noth=noth)


def _leading(reading: Reading, leading: bool) -> Reading:
    if leading and reading.outside and not reading.outside.startswith("×"):
        return reading._replace(outside="× " + reading.outside.replace("× ", ""), noth=True)
    return reading


def _borrowing(index: Index, tokens: Sequence[Token], others: Sequence[Reading]) -> Reading:
    """Let one English name lend its last words to another: `common × heath spotted-orchid`."""
    own = [p for t in tokens if t.kind == "word" for p in t.raw.lower().split("-")]
    while own and own[0] in words.LEAD:
        del own[0]
    for other in others:
        for start in range(1, len(other.english)):
            phrase = "".join(own + list(other.english[start:])).replace("'", "")
            if own and phrase in index.phrases:
                return Reading(refs=index.phrases[phrase], english=tuple(own))
    return NOTHING


def _missing_crosses(
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
        if second is not None:
            out[-1] = reading._replace(rest=())
            out.append(second)
            between.append(sign)
            missing = missing or sign == "cross"
    return out, between, missing


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


def _meaning(index: Index, readings: list[Reading], signs: Sequence[str], hybrid: bool) -> Meaning:
    if not readings:
        return Meaning(reason="no plant name could be read")
    if len(readings) == 1:
        return single(index, readings[0], hybrid=hybrid)
    if all(sign == "cross" for sign in signs):
        return formula(index, readings)
    return alternatives(index, readings)
