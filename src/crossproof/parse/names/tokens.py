"""Cut a folded name into words and signs."""

from __future__ import annotations

import re
from typing import NamedTuple

from crossproof.parse.names.fold import CROSS, key

_BROAD = re.compile(
    r"(?<![\w.])(?:s(?:ens)?\.? ?l(?:at)?\.?|sens[uo] lat[ou]|S\.L\.)(?![\w.])|"
    r"(?<![\w.])(?:sens\. ?lat\.)(?!\w)"
)
_STRICT = re.compile(
    r"(?<![\w.])(?:s(?:ens)?\.? ?s(?:tr(?:icto)?)?\.?|sens[uo] strict[ou]|S\.S\.)(?![\w.])"
)
_CF = re.compile(r"(?<![\w.])c\. ?f\.(?!\w)", re.IGNORECASE)
# A sign run together with the initial behind it: `xD. fuchsii`, `XD.`; not the number XI.
_GLUED = re.compile(r"(?<![^\W\d_])(?:x(?=[A-Z])|X(?=[A-BD-HJ-KM-UWYZ]\.))")
_TOKEN = re.compile(r"([^\W\d_]+(?:['’\-][^\W\d_]+)*)(\.?)|(\d+)|(\S)")


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


def as_cross(token: Token) -> Token:
    """The token, taken for a multiplication sign."""
    return token._replace(raw="×", key="×", kind="cross", dot=False)


def join_qualifiers(text: str) -> str:
    """Write the qualifiers of more than one word as one: `s. lat.`, `c.f.`, `sensu stricto`."""
    if "f." in text:
        text = _CF.sub("cf ", text)
    if "s." in text or " s" in text or "S." in text or "sens" in text:
        text = _STRICT.sub("sstr", _BROAD.sub("slat", text))
    return text


def tokenise(text: str) -> list[Token]:
    """Cut folded text into tokens; a lone x is a cross, unless it counts plants (x3, 3 x)."""
    found: list[Token] = []
    counted = False
    if "x" in text or "X" in text:
        text = _GLUED.sub(CROSS, text)
    for match in _TOKEN.finditer(text):
        word, dot, number, sign = match.groups()
        start, end = match.span()
        if word:
            cross = word in ("x", "xx") or (word == "X" and not dot)
            kind = "cross" if cross else "word"
            parts = (word, key(word), kind, dot == ".", start, end)
        elif number:
            counted = True
            parts = (number, number, "number", False, start, end)
        else:
            kind = "cross" if sign == CROSS else "sign"
            parts = (sign, sign, kind, False, start, end)
        found.append(tuple.__new__(Token, parts))  # by keyword it takes twice as long
    return _without_counts(found) if counted else found


def _without_counts(tokens: list[Token]) -> list[Token]:
    """Turn the x of a count (`x3`, `3 x` at the beginning) and `c.` into plain signs."""
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
