"""Latin as herbarium sheets have it: `hybr. inter Orchidem Fuchsii et O. praetermissam`."""

from __future__ import annotations

from collections.abc import Sequence

from crossproof.parse.names import words
from crossproof.parse.names.index import Index
from crossproof.parse.names.tokens import Token


def plain(index: Index, tokens: Sequence[Token]) -> Sequence[Token]:
    """Put Latin names into the nominative, and the Latin between them into plain words.

    Nothing is touched without one of the words that govern a case, or a Latin word for hybrid.
    """
    keys = [token.key for token in tokens]
    if words.LATIN_SIGNS.isdisjoint(keys):
        return tokens
    governed = not words.LATIN_GOVERNING.isdisjoint(keys)
    found: list[Token] = []
    for i, token in enumerate(tokens):
        before = found[-1] if i else None
        if token.kind != "word":
            found.append(token)
        elif token.key in words.LATIN_HYBRID and _is_hybrid(index, before):
            found.append(token._replace(key="hybrid", dot=False))
        elif token.key in words.LATIN_PLAIN:
            found.append(token._replace(key=_plain_word(token.key, before)))
        else:
            found.append(_nominative(index, token) if governed else token)
    return found


def _is_hybrid(index: Index, before: Token | None) -> bool:
    """Whether a Latin word for hybrid is no epithet here: it stands first, or after a whole name.

    `Quercus × hybrida` and `Petunia hybrida` keep theirs.
    """
    if before is None or before.kind in ("sign", "number"):
        return True
    whole = before.key in index.bare or before.key in words.HYBRID or before.dot
    return before.kind == "word" and whole


def _plain_word(word: str, before: Token | None) -> str:
    alone, after_hybrid = words.LATIN_PLAIN[word]
    hybrid = before is None or before.key in words.HYBRID or before.key in words.LEAD
    return after_hybrid if hybrid else alone


def _nominative(index: Index, token: Token) -> Token:
    word = token.key
    if word in index.known or len(word) < 3:
        return token
    for ending, nominative in words.LATIN_ENDINGS:
        if word.endswith(ending):
            whole = word[: len(word) - len(ending)] + nominative
            if whole in index.known:
                raw = whole.capitalize() if token.capital else whole
                return token._replace(raw=raw, key=whole)
    return token
