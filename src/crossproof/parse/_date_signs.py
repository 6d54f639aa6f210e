"""The signs and set phrases of a written date made plain, before it is divided into its items."""

from __future__ import annotations

import re
import unicodedata
from functools import cache

from crossproof.parse.date_error import vocabulary

_SIGNS = str.maketrans(
    {
        **dict.fromkeys("−–—‐‑‒―", "-"),
        **dict.fromkeys("’‘´`ʼ′", "'"),
        **dict.fromkeys("“”„″", '"'),
        **dict.fromkeys("\u200b\u200c\u200d\ufeff\u200e\u200f", ""),
        **dict.fromkeys("→⇒➔", " to "),
        "⁄": "/",
        "∕": "/",
    }
)
# Letters that a scan puts for digits, in a token that has a digit or stands where one must.
_MISREAD = str.maketrans("OoIl|SB", "0011158")
_MIXED = re.compile(
    r"(?<![A-Za-z\d|])(?=\d*[OoIl|SB])(?=[OoIl|SB]*\d)[OoIl|SB\d]+"
    r"(?=$|[\s/.,-]|(?:st|nd|rd|th)\b)"
)
_MISREAD_DATE = re.compile(r"([OoIl|\d]{1,2})([/.-])([OoIl|\d]{1,2})([/.-])([OoIl|SB\d]{2,4})")
_YEAR_SPAN = re.compile(r"^(\d{4})\s?[–—]\s?(\d{2})$")  # a dash, where ISO 8601 has a hyphen
_TAIL = re.compile(r"(?<=\w)[\s.]*[!*†‡]+$")  # a botanist's "seen" mark, a footnote's
_TEXT_MARK = re.compile(r"^'(?=\d{1,4}[/.-])")  # a spreadsheet's mark that a cell is text
_SPACED = re.compile(r"\S(?: \S){3,}")  # "1 5 / 0 6 / 1 9 8 4"
_BARRED = re.compile(r"^(\d{1,2})\s?\|\s?(\w{1,9})\s?\|\s?(\d{4}|\d\d)$")
_LATIN_PART = re.compile(r"\[(\d+)\](?=\d)|(?<=\d)\[(\d+)\]")  # "[19]04"
_LATIN_DAY = re.compile(r"\b(?:die|d\.)\s+(x{0,3})(ix|iv|v?i{0,3})\b(?=\.?\s)")  # "die XII Junii"
# Nothing that the following change.
_LEVEL = re.compile(r"(?!.*\d(?:d\b|(?:st|nd|rd|th)[a-z]{3}))[\sa-z\d/.,'-]*")
_DIVIDERS = (
    (re.compile(r"^(\d{1,2}):(\d{1,2}):(\d{4})$"), r"\1/\2/\3"),
    (re.compile(r"(?<=[\da-z])\s?[|¦·•∙⋅]\s?(?=[\da-z])"), "/"),
    (re.compile(r"(?<=\d):(?=[a-z])|(?<=[a-z]):(?=\d)"), "/"),
    (re.compile(r"^([a-z]+)\s?:\s?"), r"\1 "),
    (re.compile(r"(?<=\d)_(?=\d)"), "/"),
    (re.compile(r"\b(\d{1,2})d\b(?=[\s.,]|$)"), r"\1"),  # "Dec. 3d"
    (re.compile(r"(?<=\d)(st|nd|rd|th)(?=[a-z]{3})"), r"\1 "),  # "3rdAug"
)


def plain(text: str) -> str:
    """One plain form of dashes, apostrophes, spaces and full-width digits; quotes taken off."""
    if not text.isascii():
        text = _YEAR_SPAN.sub(r"\1 - \2", text)
        text = unicodedata.normalize("NFKC", text.translate(_SIGNS)).translate(_SIGNS)
    text = _TEXT_MARK.sub("", _TAIL.sub("", " ".join(text.split())))
    if _SPACED.fullmatch(text):
        text = text.replace(" ", "")
    text = _BARRED.sub(r"\1/\2/\3", text)
    for opening, closing in ("()", "[]", '""', "''"):
        if len(text) > 1 and text[0] == opening and text[-1] == closing:
            text = text[1:-1].strip()
    return text


def repaired(text: str, notes: list[str]) -> str:
    """Read the letters O, I, l, S and B as digits where only digits make sense."""
    fixed = text
    if match := _MISREAD_DATE.fullmatch(text):
        day, one, month, two, year = match.groups()
        if not set(month) <= {"I"} and any(c.isdigit() for c in year + month):
            fixed = f"{day}{one}{month}{two}{year}".translate(_MISREAD)
        elif day.translate(_MISREAD) != day:
            fixed = day.translate(_MISREAD) + text[len(day) :]
    else:
        fixed = _MIXED.sub(lambda m: m[0].translate(_MISREAD), text)
    if fixed != text:
        notes.append(f"letters were read as digits: {fixed}")
    return fixed


def without_accents(text: str) -> str:
    """`Lúnasa` as `Lunasa`."""
    if text.isascii():
        return text
    return "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))


def _of(words: list[str]) -> str:
    longest_first = sorted(words, key=lambda word: (-len(word), word))
    return "|".join(re.escape(word).replace(r"\ ", r"[\s.-]*") for word in longest_first)


@cache
def _phrases() -> tuple[re.Pattern[str], dict[str, re.Pattern[str]]]:
    """Set phrases of several words, all together and each kind by the word that stands for it."""
    phrases = vocabulary()["phrases"]
    kinds = {" ": phrases["idle"], " before ": phrases["open"], " early ": phrases["vague"]}
    every = _of([word for words in kinds.values() for word in words])
    return (
        re.compile(rf"(?<![a-z])(?:{every})(?![a-z])"),
        {
            sign: re.compile(rf"(?<![a-z])(?:{_of(words)})(?![a-z])\.?")
            for sign, words in kinds.items()
        },
    )


@cache
def _front() -> re.Pattern[str]:
    return re.compile(rf"^(?:{_of(vocabulary()['phrases']['front'])})\.?\s+(?=[a-z\d])")


@cache
def _days() -> tuple[re.Pattern[str], re.Pattern[str], re.Pattern[str]]:
    """Days in words: any of them, one in front of its month, and one behind it."""
    days = _of(vocabulary()["words"]["days"])
    months = _of([name for several in vocabulary()["months"].values() for name in several])
    return (
        re.compile(rf"\b(?:{days})\b"),
        re.compile(rf"\b()({days})(?=\s(?:day\s)?(?:of\s)?(?:{months})\b)"),
        re.compile(rf"\b((?:{months})(?:\sthe)?\s)({days})\b"),
    )


def _day_in_digits(match: re.Match[str]) -> str:
    days = vocabulary()["words"]["days"]
    return match[1] + str(days.index(" ".join(re.findall("[a-z]+", match[2]))) + 1)


def _latin_day(match: re.Match[str]) -> str:
    units = ["", "i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix"].index(match[2])
    return str(10 * len(match[1]) + units) if match[1] or units else match[0]


def smooth(text: str) -> str:
    """A text in lower case with one kind of divider, and its set phrases as single words."""
    low = _LATIN_PART.sub(lambda m: m[1] or m[2], without_accents(text)).replace("\\", "/")
    low = _LATIN_DAY.sub(_latin_day, low)
    phrases, kinds = _phrases()
    if phrases.search(low):
        for sign, pattern in kinds.items():
            low = pattern.sub(sign, low)
    low = _front().sub("", low)
    any_day, before, behind = _days()
    if any_day.search(low):
        low = behind.sub(_day_in_digits, before.sub(_day_in_digits, low))
    if not _LEVEL.fullmatch(low):
        for pattern, sign in _DIVIDERS:
            low = pattern.sub(sign, low)
    low = low.replace("mean fomhair", "meanfomhair").replace("deireadh fomhair", "deireadhfomhair")
    return " ".join(low.split())
