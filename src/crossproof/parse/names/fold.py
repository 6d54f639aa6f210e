"""Bring a written name to one alphabet, one multiplication sign and one kind of space."""

from __future__ import annotations

import html
import re
import unicodedata
from functools import lru_cache

from crossproof.parse.names import mend, words
from crossproof.parse.names.damage import CROSS as CROSS
from crossproof.parse.names.damage import restored

MENDED = "a multiplication sign was restored from a damaged or look-alike character"


_SIGNS = str.maketrans(
    dict.fromkeys(words.SIGNS, CROSS) | dict.fromkeys("‘’‛´`ʼ", "'") | dict.fromkeys("‐‑−﹣", "-")
)
_ALIKE = str.maketrans(dict.fromkeys(words.LOOKALIKES, "x"))
_CYRILLIC = str.maketrans("асеорАСЕОРМТНВКі", "aceopACEOPMTHBKi")
_MARKED = re.compile(r"[&\\%=+#$]")
_FOOTNOTE = re.compile(r"(?<=[\w.)])[*†‡§]+(?=\s*$)")
_SPACES = re.compile(r"[\s\x00-\x1f\x7f-\x9f_\u200b-\u200f\u2060\ufeff\xad]+")
_MARKUP = re.compile(r"</?(?:i|b|em|strong|span)[^<>]{0,40}>", re.IGNORECASE)


def fold(text: str) -> tuple[str, bool]:
    """Return `text` with every multiplication sign as ×, and whether one had to be restored."""
    if text.endswith(words.FOOTNOTES):
        text = _FOOTNOTE.sub("", text)
    if text.isascii() and not _MARKED.search(text):
        plain = _MARKUP.sub("", text) if "<" in text else text
        if "?" in plain or " " not in plain:
            plain = mend.escapes(plain)
        return _SPACES.sub(" ", plain.translate(_SIGNS)).strip(), False
    clean = text
    for _ in range(3):  # entities of entities
        unescaped = html.unescape(clean)
        if unescaped == clean:
            break
        clean = unescaped
    crossed = restored(clean)
    mended = crossed != text
    clean = mend.letters(mend.escapes(_MARKUP.sub("", crossed)))
    clean = unicodedata.normalize("NFKC", clean).translate(_SIGNS)
    alike = clean.translate(_ALIKE).translate(_CYRILLIC)
    mended = mended or alike != clean
    alike = " ".join(
        CROSS if word in words.LONE else word for word in _SPACES.sub(" ", alike).split(" ")
    )
    return alike.replace("�", CROSS).strip(), mended or "�" in text


@lru_cache(maxsize=65536)
def key(word: str) -> str:
    """Fold a word for look-up: lower case, no accents, no hyphens, no apostrophes, no dots."""
    lower = word.lower()
    if lower.isalpha() and lower.isascii():
        return lower
    decomposed = unicodedata.normalize("NFKD", lower)
    return "".join(c for c in decomposed if c.isalpha())
