"""Bring a written name to one alphabet, one multiplication sign and one kind of space."""

from __future__ import annotations

import html
import re
import unicodedata
from functools import lru_cache
from itertools import product

from crossproof.parse.names import mend, words

CROSS = "×"
MENDED = "a multiplication sign was restored from a damaged or look-alike character"


def _misread(text: str, code_page: str) -> str:
    """`text` in UTF-8, read in `code_page`; bytes it lacks stand for themselves."""
    return "".join(
        bytes([byte]).decode(code_page, errors="ignore") or chr(byte)
        for byte in text.encode("utf-8")
    )


def _damaged() -> list[str]:
    """Every form a multiplication sign takes that was misread up to three times.

    Control characters may be lost on the way, and the whole put into lower case. The sign may also
    have become the replacement character U+FFFD before.
    """
    forms = set()
    for sign in (CROSS, "\ufffd"):
        for depth in (1, 2, 3):
            for pages in product(words.CODE_PAGES, repeat=depth):
                form = sign
                for page in pages:
                    form = _misread(form, page)
                bare = "".join(c for c in form if c.isprintable())
                forms |= {f for f in (form, form.lower(), bare) if len(f) > 1}
    return sorted(forms, key=len, reverse=True)


_DAMAGED = re.compile("|".join(map(re.escape, [*words.ESCAPES, *_damaged(), "Ã�"])))
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
    crossed = _DAMAGED.sub(CROSS, clean)
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
