"""People's names as they are published: as given, as initials, or as pseudonyms."""

from __future__ import annotations

import hashlib
import hmac
import re
import unicodedata
from base64 import b32encode
from collections.abc import Callable
from functools import lru_cache

from crossproof.sensitive.terms import listed, ordered

LEAST_KEY = 16  # bytes; a shorter key could be found by trying

Rename = Callable[[str], str]


class KeyRefused(ValueError):
    """The key of the pseudonyms is missing or too short; the message says what to do."""


def names_in(cell: str) -> tuple[str, ...]:
    """The names in a cell that may hold several.

    A comma parts two names only where each side has two words: `Wren, A.` is one name.
    """
    pieces = re.split("|".join(map(re.escape, ordered("people", "separators"))), cell)
    names: list[str] = []
    for piece in pieces:
        sides = [side.strip() for side in piece.split(",")]
        several = len(sides) > 1 and all(len(side.split()) > 1 for side in sides)
        names += sides if several else [" ".join(piece.split())]
    return tuple(name.strip(" ,|") for name in names if name.strip(" ,|"))


def initials(name: str) -> str:
    """`A. W.` of `Ann Wren`, `Wren, Ann` and `Dr A. Wren`; hyphens stay: `J.-P. W.`"""
    words = _words(name)
    return " ".join("-".join(f"{p[0].upper()}." for p in w.split("-") if p) for w in words)


def pseudonyms(key: bytes) -> Rename:
    """A function from names to pseudonyms that nobody can make, or check, without the key.

    The same name gives the same pseudonym in every run with the same key, whatever its case,
    spacing, titles, and whether the surname stands first. A keyed digest (RFC 2104, HMAC-SHA-256,
    cut to 80 bits) can't be tried out with a list of names, as a plain digest can.

    Raises:
        KeyRefused: the key is shorter than `LEAST_KEY` bytes.
    """
    if len(key) < LEAST_KEY:
        raise KeyRefused(
            f"the key has {len(key)} bytes, and {LEAST_KEY} are the least; make one with, for "
            'example: python -c "import secrets; print(secrets.token_hex(32))"'
        )

    @lru_cache(maxsize=65_536)
    def rename(name: str) -> str:
        if not _words(name):
            return name
        message = "recorder\x1f" + " ".join(_words(name)).casefold()
        digest = hmac.digest(key, message.encode("utf-8", "surrogatepass"), hashlib.sha256)
        return f"recorder-{b32encode(digest[:10]).decode().lower()}"

    return rename


def _words(name: str) -> list[str]:
    """The words of a name, given names first, without titles and full stops."""
    plain = unicodedata.normalize("NFKC", name)
    surname, comma, rest = plain.partition(",")
    if comma and rest.strip():
        plain = f"{rest} {surname}"
    words = re.findall(r"[\w'’-]+", plain.replace(".", " "))
    named = [w for w in words if w.casefold() not in listed("people", "titles")]
    return [w for w in named or words if w.strip("-'’")]


def renamed(cell: str, rename: Rename) -> str:
    """A cell of names with each of them renamed, joined as Darwin Core asks (` | `)."""
    return " | ".join(dict.fromkeys(rename(name) or name for name in names_in(cell)))


def without_names(text: str, names: tuple[str, ...], rename: Rename) -> str:
    """A text in which the names given, where they stand whole, are renamed."""
    for name in sorted(names, key=len, reverse=True):
        if len(name) > 2 and name.casefold() in text.casefold():
            pattern = rf"(?<!\w){re.escape(name)}(?!\w)"
            short = rename(name).replace("\\", "")
            text = re.sub(pattern, short, text, flags=re.IGNORECASE)
    return text
