"""The signs of a written place made plain: degrees, primes, dashes, and what damage left."""

from __future__ import annotations

import html
import re
import unicodedata
from functools import cache

from crossproof.parse.place_error import vocabulary

# Signs that went through a wrong encoding (UTF-8 read as Windows-1252), longest first.
_MANGLED = [
    ("Ã‚Â°", "°"),
    ("ï¿½", "\ufffd"),
    ("Â°", "°"),
    ("Âº", "°"),
    ("Ëš", "°"),
    ("â€²", "'"),
    ("â€³", '"'),
    ("â€™", "'"),
    ("â€˜", "'"),
    ("â€œ", '"'),
    ("â€\x9d", '"'),
    ("â€", '"'),
    ("âˆ’", "-"),
    ("â€“", "-"),
    ("Â", " "),
]
_SIGNS = str.maketrans(
    {
        **dict.fromkeys("ºᵒ˚⁰∘", "°"),
        **dict.fromkeys("′’‘´`ʹʼ‛", "'"),
        **dict.fromkeys("″”“ʺ〃‟", '"'),
        **dict.fromkeys("−–—‐‑‒―﹣－", "-"),
        **dict.fromkeys("\u200b\u200c\u200d\ufeff\u200e\u200f", ""),
        "，": ",",
        "：": ":",
    }
)
# A degree sign lost in an encoding leaves a question mark or U+FFFD between digits and minutes.
_LOST_DEGREE = re.compile(r"(?<=\d)\s?[?\ufffd](?=\s?\d[\d.\s]*['\"nsewNSEW]|\s?[nsewNSEW]\b)")
_RAISED_POINT = re.compile(r"(?<=\d)[·•∙⋅](?=\d)")
_NORTH = re.compile(r"(?<![A-Za-z])[NSns](?![A-Za-z])")
_EAST = re.compile(r"(?<![A-Za-z])[EWew](?![A-Za-z])")


@cache
def _stand_ins() -> tuple[re.Pattern[str], frozenset[str]]:
    """What stands for a degree sign, or for a prime behind one, beside N and W; and its signs."""
    data = vocabulary()["signs"]
    signs, letters = "".join(data["for_degrees"]), "".join(data["letters_for_degrees"])
    return (
        re.compile(
            rf"(?<=\d)\s?[{re.escape(signs)}](?=\s?(?:\d|[nsewNSEW]\b))"
            rf"|(?<=\d)\s?[{letters}](?=\s?\d{{1,2}}(?:[.,]\d+)?\s?['\"])"
            rf"|(?<=\.\d\d)(?<=\d)\s?[{letters}](?=\s?[nsewNSEW]\b)"
        ),
        frozenset(signs + letters),
    )


def plain(text: str) -> str:
    """Make degree signs, primes, dashes, spaces and mangled signs plain.

    Two primes in a row stay two primes: they may be seconds.
    """
    if not text.isascii():
        for mangled, sign in _MANGLED:
            text = text.replace(mangled, sign)
        text = _RAISED_POINT.sub(".", text.translate(_SIGNS))
        text = unicodedata.normalize("NFKC", text).translate(_SIGNS)
    text = html.unescape(text).translate(_SIGNS) if "&" in text else text
    text = _LOST_DEGREE.sub("°", text) if "?" in text or "\ufffd" in text else text
    stand_in, signs = _stand_ins()
    if not signs.isdisjoint(text) and _NORTH.search(text) and _EAST.search(text):
        text = stand_in.sub("°", text)
    return " ".join(text.split())
