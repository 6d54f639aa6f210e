"""Take a tokenised name apart: asides, notes, qualifiers, and the operands of a cross."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from crossproof.parse.names import words
from crossproof.parse.names.index import Index
from crossproof.parse.names.tokens import Token, as_cross

Readable = Callable[[Sequence[Token]], bool]

_OPEN = {"(": ")", "[": "]", "{": "}"}
_DASHES = frozenset("-–—")
_CUTS = frozenset(",;:=|~–—>→⇒")


@dataclass(slots=True)
class Clauses:
    """`main` is what stands first, outside brackets; `asides` all the rest, in order."""

    main: list[Token] = field(default_factory=list)
    asides: list[list[Token]] = field(default_factory=list)


def split_clauses(tokens: Sequence[Token]) -> Clauses:
    """Part the first clause from bracketed words and from what follows a comma, colon or dash."""
    found = Clauses()
    target, closing = found.main, ""
    resume = target
    for i, token in enumerate(tokens):
        if closing:
            if token.raw == closing:
                if target and _side_of_cross(tokens, i, found.main, target):
                    found.main += found.asides.pop()
                    resume = found.main
                target, closing = resume, ""
            else:
                target.append(token)
        elif token.raw in _OPEN:
            resume, closing, target = target, _OPEN[token.raw], []
            found.asides.append(target)
        elif token.raw == "," and _inside_authors(tokens[i + 1 :]):
            continue
        elif token.raw in _CUTS or (token.raw == "-" and _spaced(tokens, i)):
            target = []
            found.asides.append(target)
        elif token.key in words.BACK and _leans(token, target):
            target = [token]
            found.asides.append(target)
        elif token.raw not in ")]}\"'.“”":
            target.append(token)
    found.asides = [aside for aside in found.asides if aside]
    while not found.main and found.asides:
        found.main = found.asides.pop(0)
    return found


def _leans(token: Token, before: Sequence[Token]) -> bool:
    """Whether a word begins what a hybrid goes back to: `backcross to …`, `nearer …`."""
    if not _names(before) or before[-1].kind == "cross" or before[0].key in words.LEANING:
        return (
            token.key in words.ONTO
            and bool(before)
            and before[0].key in words.BACKCROSS
            and sum(t.kind == "word" for t in before) > 2
        )
    return token.key in words.LEANING


def _inside_authors(rest: Sequence[Token]) -> bool:
    """Whether a comma stands among authors, with a cross behind them: `Bateman, Pridgeon & … ×`."""
    for i, token in enumerate(rest):
        if token.kind == "cross":
            return i > 0
        if not (token.capital or token.raw in "&."):
            return False
    return False


def _side_of_cross(
    tokens: Sequence[Token], i: int, main: Sequence[Token], inside: Sequence[Token]
) -> bool:
    """Whether the brackets that close at `i` hold one side of a cross: `(fuchsii × …) × …`."""
    after = tokens[i + 1].kind if i + 1 < len(tokens) else ""
    before = main[-1].kind if main else ""
    return any(t.kind == "cross" for t in inside) and "cross" in (after, before)


def _spaced(tokens: Sequence[Token], i: int) -> bool:
    after = tokens[i + 1].start if i + 1 < len(tokens) else tokens[i].end
    return i > 0 and (tokens[i].start > tokens[i - 1].end or after > tokens[i].end)


def glued(index: Index, tokens: Sequence[Token]) -> list[Token]:
    """Part an x or a hyphen that joins two words: `xgrandis`, `fuchsii-praetermissa`.

    Misspellings of `hybrid` are put right on the way.
    """
    parted: list[Token] = []
    for i, token in enumerate(tokens):
        word = token.key
        if word in words.HYBRID_SLIPS:
            token = token._replace(key="hybrid")
        if token.raw in _DASHES and _dash_is_cross(index, tokens, i):
            token = as_cross(token)
        if (
            token.kind != "word"
            or word in index.known
            or len(word) < 5
            or ("x" not in word and "-" not in token.raw)
        ):
            parted.append(token)
            continue
        pieces = _pieces(index, token, i > 0)
        parted.extend(pieces or [token])
    return parted


def _dash_is_cross(index: Index, tokens: Sequence[Token], i: int) -> bool:
    """Whether a dash joins two epithets beside the word hybrid: `fuchsii – praetermissa hybrid`."""
    if not 0 < i < len(tokens) - 1 or all(t.key not in words.HYBRID for t in tokens):
        return False
    after = tokens[i + 1 :]
    if len(after) > 1 and after[0].capital and len(after[0].key) == 1:
        after = after[1:]
    return _stands(index, tokens[i - 1].key) and _stands(index, after[0].key)


def _pieces(index: Index, token: Token, later: bool) -> list[Token]:
    raw, word = token.raw, token.key
    if raw[0] in "xX":
        tail = raw[1:].lstrip("-")
        known = word[1:] in index.known or (raw[0] == "x" and tail[:1].isupper())
        if known or (later and raw.islower() and tail[:1] in "bcdfghjklmnpqrstvwz"):
            return [as_cross(token), token._replace(raw=tail, key=word[1:])]
    for sign in ("-", "x", "X"):
        for at, letter in enumerate(raw):
            left, right = raw[:at], raw[at + 1 :]
            if letter == sign and len(left) > 2 and len(right) > 2:
                a, b = left.lower(), right.lower()
                if (_stands(index, a) or a in index.genera) and _stands(index, b):
                    first = token._replace(raw=left, key=a)
                    if sign == "-" and a in index.genera:  # `dactylorhiza-fuchsii`
                        return [first, token._replace(raw=right, key=b)]
                    return [first, as_cross(token), token._replace(raw=right, key=b)]
    return []


def _stands(index: Index, word: str) -> bool:
    """Whether a word stands for a taxon by itself."""
    return word in index.bare or word in index.phrases


@dataclass(slots=True)
class Operands:
    """The sides of a cross, and of alternatives (`or`, `/`), with the flags found on the way."""

    sides: list[list[Token]] = field(default_factory=lambda: [[]])
    signs: list[str] = field(default_factory=list)  # between sides: 'cross' or 'or'
    hybrid: bool = False  # the word 'hybrid' stands there
    left_out: list[str] = field(default_factory=list)


def split_operands(
    index: Index, tokens: Sequence[Token], readable: Readable, *, hybrid: bool
) -> Operands:
    """Part the tokens at crosses, at the word `hybrid` between two names, and at `and`, `/`."""
    said = any(t.key in words.CROSSED for t in tokens)
    inside = _in_phrases(index, tokens) if said else set()
    flags = (t.key in words.CROSSED for i, t in enumerate(tokens) if i not in inside)
    found = Operands(hybrid=hybrid or (said and any(flags)))
    for i, token in enumerate(tokens):
        if token.kind == "cross":
            _part(found, "cross")
        elif i in inside:
            found.sides[-1].append(token)
        elif token.kind == "word" and token.key in words.HYBRID:
            if found.sides[-1] and readable(found.sides[-1]) and readable(_led(tokens[i + 1 :])):
                _part(found, "cross")
        elif token.raw in "/&+" or token.key in words.JOIN:
            if not found.sides[-1]:
                continue
            if token.key == "with" and not found.hybrid:  # a companion
                found.sides[-1] += tokens[i:]
                break
            rest = tokens[i + 1 :]
            either = token.raw == "/" or token.key in words.OR
            if either and not found.hybrid and _noth(index, rest):
                _part(found, "or")
            elif readable(_led(rest)) and (token.raw == "/" or readable(found.sides[-1])):
                _part(found, "cross" if found.hybrid or token.key == "by" else "or")
            elif found.hybrid and token.key in ("and", "&", "/", "+", "with") and _names(rest):
                _part(found, "cross")
            else:
                found.sides[-1].append(token)
        else:
            found.sides[-1].append(token)
    return found


def _in_phrases(index: Index, tokens: Sequence[Token]) -> set[int]:
    """The places of words that belong to an English name with `hybrid` in it."""
    inside: set[int] = set()
    for i, token in enumerate(tokens):
        if token.key in words.HYBRID:
            for start in range(max(0, i - 3), i + 1):
                for end in range(i + 1, min(len(tokens), i + 4) + 1):
                    joined = "".join(t.key for t in tokens[start:end])
                    whole = end - start == len(tokens)
                    if joined in index.phrases and (start == i or whole):
                        inside |= set(range(start, end))
    return inside


def _names(tokens: Sequence[Token]) -> bool:
    """Whether anything but the word hybrid and fillers is left."""
    return any(
        t.kind == "word" and t.key not in words.HYBRID and t.key not in words.LEAD for t in tokens
    )


def _noth(index: Index, tokens: Sequence[Token]) -> bool:
    """Whether a nothospecies begins there: `× grandis`, `D. × grandis`."""
    kinds = [t.kind for t in tokens[:2]]
    if kinds[:1] == ["cross"]:
        return True
    if kinds != ["word", "cross"]:
        return False
    return len(tokens[0].key) == 1 or tokens[0].key in index.genera


def _led(tokens: Sequence[Token]) -> Sequence[Token]:
    i = 0
    while i < len(tokens) and (tokens[i].key in words.JOIN or tokens[i].raw in "&+"):
        i += 1
    return tokens[i:]


def _part(found: Operands, sign: str) -> None:
    if sign == "cross" and found.signs and not found.sides[-1]:
        return  # × × and `x hybrid x` are one cross; `/ × grandis` names another plant
    found.signs.append(sign)
    found.sides.append([])


def hyphens_parted(tokens: Sequence[Token], readable: Readable) -> list[Token]:
    """Take a hyphen for a cross where both sides are then plants: `spotted-southern`."""
    for i, token in enumerate(tokens):
        left, hyphen, right = token.raw.partition("-")
        if token.kind != "word" or not hyphen:
            continue
        one = [*tokens[:i], token._replace(raw=left, key=left.lower())]
        two = [token._replace(raw=right, key=right.lower()), *tokens[i + 1 :]]
        if readable(one) and readable(two):
            return [*one, as_cross(token), *two]
    return []
