"""Cut a folded name into words and signs."""

from __future__ import annotations

import re
from typing import NamedTuple

from crossproof.parse.names.fold import CROSS, key

_BROAD = re.compile(
    r"(?<![\w.])(?:s(?:ens)?\.? ?l(?:at)?\.?|sensu lato|S\.L\.)(?![\w.])|"
    r"(?<![\w.])(?:sens\. ?lat\.)(?!\w)"
)
_STRICT = re.compile(
    r"(?<![\w.])(?:s(?:ens)?\.? ?s(?:tr(?:icto)?)?\.?|sensu stricto|S\.S\.)(?![\w.])"
)
_TOKEN = re.compile(
    r"(?P<word>[^\W\d_]+(?:['’\-][^\W\d_]+)*)(?P<dot>\.?)|(?P<number>\d+)|(?P<sign>\S)"
)


class Token(NamedTuple):
    """A word or a sign of a name. `kind`: word, cross, number, sign."""

    raw: str
    key: str
    kind: str
    dot: bool = False
    start: int = 0
    end: int = 0

    @property
    def capital(self) -> bool:
        return self.raw[:1].isupper()


def tokenise(text: str) -> list[Token]:
    """Cut folded text into tokens; a lone x is a cross, unless it counts plants (x3, 3 x)."""
    text = _STRICT.sub("sstr", _BROAD.sub("slat", text)) if "s" in text or "S." in text else text
    found: list[Token] = []
    for match in _TOKEN.finditer(text):
        start, end = match.span()
        word = match["word"]
        if word:
            kind = "cross" if word == "x" or (word == "X" and not match["dot"]) else "word"
            found.append(Token(word, key(word), kind, bool(match["dot"]), start, end))
        elif match["number"]:
            found.append(Token(match["number"], match["number"], "number", False, start, end))
        else:
            sign = match["sign"]
            kind = "cross" if sign == CROSS else "sign"
            found.append(Token(sign, sign, kind, False, start, end))
    return _without_counts(found)


def _without_counts(tokens: list[Token]) -> list[Token]:
    """Turn the x of a count (`x3`, `3 x` at the beginning) and `c.` into plain signs."""
    if not any(token.kind == "number" for token in tokens):
        return tokens
    kept = list(tokens)
    for i, token in enumerate(tokens):
        after = tokens[i + 1].kind if i + 1 < len(tokens) else ""
        if token.key in ("c", "ca") and after == "number":
            kept[i] = token._replace(kind="sign")
        if token.kind == "cross":
            before = tokens[i - 1].kind if i else ""
            if after == "number" or (before == "number" and i == 1):
                kept[i] = token._replace(kind="sign")
    return kept
