"""The words of latitude and longitude made signs: `lat. bor. 54 deg. 39 min.` is `n 54° 39'`."""

from __future__ import annotations

import re
from functools import cache

from crossproof.parse.place_error import vocabulary

LAT, LON = "φ", "λ"  # stand for the words latitude and longitude
# One letter for a unit only in front of more of the position: M and D end tetrads too.
_MORE = r"(?=\s*(?:\d|[nsew]\b))"
# Dots or dashes between degrees, minutes and seconds: "51.30.04N", "51-30-04 N", "51-30N".
_JOINED = re.compile(
    r"(?<![\d.-])(\d{1,3})[.-](\d{1,2})[.-](\d{1,2}(?:\.\d+)?)(?=\s*[nsew])"
    r"|(?<![\d.-])(\d{1,3})-(\d{1,2}(?:\.\d+)?)(?=\s*[nsew])"
)
# Two numbers with decimal commas: "51,5012 -1,2345", "51,5012; -1,2345", "51,5012, -1,2345".
_COMMAS = re.compile(
    r"([^\d,]*\d{1,3}),(\d+)([^\d,]*(?:[;/|\s]|[nsew°]\s?,|,\s)[^\d,]*)(\d{1,3}),(\d+)([^\d,]*)"
)
_MINUTE_COMMA = re.compile(r"(\d),(\d+)(?=\s*[\"'])")
_BEHIND_PRIME = re.compile(r"(\d)\s?(['\"°])\.(\d+)")  # 39'.7, as in old books, is 39.7'
# "54.6621(N)", "9° 3' W.": a letter in brackets, a letter or sign with a full stop.
_BRACKETED = re.compile(r"\(\s*([nsew])\s*\)")
_STOPPED = re.compile(r"((?<![a-z])[nsew]|[°'\"])\s?\.(?!\d)|(?<=[nsew])\.(?=\s*\d)")


@cache
def _words() -> tuple[list[tuple[re.Pattern[str], str]], re.Pattern[str]]:
    data = vocabulary()["words"]["degrees"]

    def choice(key: str) -> str:
        return "|".join(data[key])

    units = [
        (rf"\s*(?:\b|(?<=\d))(?:{choice('degree')})\b\.?|(?<=\d)\s*d{_MORE}", "°"),
        (rf"(?<=\d)\s*(?:{choice('minute')})\b\.?|(?<=\d)\s*m{_MORE}", "'"),
        (rf"(?<=\d)\s*(?:{choice('second')})\b\.?|(?<=\d)\s*s(?=\s*[nsew]\b)", '"'),
    ]
    hemispheres = [(rf"\b(?:{choice(key)})\b\.?", key) for key in "nsew"]
    others = [(rf"\b(?:{choice('joining')})\b", ","), (rf"\b(?:{choice('idle')})\b\.?", " ")]
    lat, lon = choice("lat"), choice("lon")
    return (
        [(re.compile(pattern), sign) for pattern, sign in (*units, *hemispheres, *others)],
        re.compile(rf"\"?(?<![a-z])(?:({lat})|({lon}))\b\.?\"?\s*[:=]?\s*"),
    )


def labels_marked(text: str) -> tuple[str, list[str]]:
    """Put the marks `LAT` and `LON` for the words in a text in lower case; and their order."""
    pattern = _words()[1]
    labels = [LAT if match[1] else LON for match in pattern.finditer(text)]
    if not labels:
        return text, labels
    return pattern.sub(lambda m: f" {LAT if m[1] else LON} ", text), labels


def labels_off(marked: str) -> str:
    """Take the marks of `labels_marked` out again."""
    return marked.replace(LAT, " ").replace(LON, " ")


def unified(text: str, notes: list[str]) -> str:
    """One way of writing units, seconds, joined parts and decimal marks; in lower case."""
    if any(letter.isalpha() for letter in text):
        for pattern, sign in _words()[0]:
            text = pattern.sub(sign, text)
        text = _BRACKETED.sub(r" \1 ", text)
    text = _BEHIND_PRIME.sub(r"\1.\3\2", text)
    text = _STOPPED.sub(r"\1 ", text.replace("''", '"'))
    text = text.replace("&", ",").strip(" ()[]{},;./")
    text = _JOINED.sub(lambda m: " ".join(part for part in m.groups() if part), text)
    text = _MINUTE_COMMA.sub(r"\1.\2", text)
    if "." not in text and (match := _COMMAS.fullmatch(text)):
        notes.append("commas were read as decimal marks")
        return f"{match[1]}.{match[2]}{match[3]}{match[4]}.{match[5]}{match[6]}"
    return text
