"""Mend letters that were damaged on the way: read in the wrong code page, escaped, run together."""

from __future__ import annotations

import re
from functools import cache
from urllib.parse import unquote

from crossproof.parse.names import words

_RUN = re.compile(r"[^\x00-\x7f×]{2,}")
_PERCENT = re.compile(r"(?:%[0-9A-Fa-f]{2})+")
_LETTERS = str.maketrans(words.LIGATURES) | dict.fromkeys(
    map(ord, "\xad\u200b\u200c\u200d\u2060\ufeff"), ""
)
_BROKEN = {re.compile(rf"(?<!\w){re.escape(k)}(?!\w)"): v for k, v in words.BROKEN.items()}
_LOST = re.compile(r"(?<=\w )\?{2,3}(?= \w)")  # a sign of two or three bytes, each lost
_HUMP = re.compile(r"(?<=[a-z]{4})(?=[A-Z][a-z]{3})")


def letters(text: str) -> str:
    """Put right what is not ASCII: misread code pages, ligatures, signs that join letters unseen.

    Ligatures are written as separate letters (ICN Art. 60.7).
    """
    return _RUN.sub(_read_again, text).translate(_LETTERS)


def escapes(text: str) -> str:
    """Undo what a web address, a file name or a form does to spaces and letters."""
    if "%" in text:
        text = _PERCENT.sub(lambda m: unquote(m[0], errors="replace"), text)
    if "?" in text:
        text = _LOST.sub("?", text)
        for pattern, whole in _BROKEN.items():
            text = pattern.sub(whole, text)
    if " " not in text.strip():
        text = text.replace("+", " ").replace("-x-", " x ")
        text = _HUMP.sub(" ", text)
    return text


def _read_again(match: re.Match[str]) -> str:
    """A run of letters that were UTF-8, read in another code page up to three times.

    Only what becomes letters or dashes is taken; a multiplication sign is found elsewhere.
    """
    run = match[0]
    for _ in range(3):
        better = _decoded(run)
        if not better:
            break
        run = better
    return run


@cache
def _decoded(run: str) -> str:
    for page in words.CODE_PAGES:
        table = _bytes_of(page)
        if all(letter in table for letter in run):
            try:
                found = bytes(table[letter] for letter in run).decode("utf-8")
            except UnicodeDecodeError:
                continue
            if all(c.isalpha() or not c.isascii() for c in found):
                return found
    return ""


@cache
def _bytes_of(page: str) -> dict[str, int]:
    """The byte behind each character of a code page; bytes it lacks stand for themselves."""
    found = {}
    for byte in range(256):
        letter = bytes([byte]).decode(page, errors="ignore") or chr(byte)
        found[letter] = byte
    return found
