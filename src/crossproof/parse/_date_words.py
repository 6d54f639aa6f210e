"""A written date as tokens: numbers, months, seasons, and the marks that stand between them."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import cache
from typing import Literal

from crossproof.parse._date_iso import clock
from crossproof.parse._date_signs import smooth
from crossproof.parse.date_error import DateError, vocabulary

Kind = Literal["n", "m", "q"]  # number, month, season ("quarter")

_NUMERALS = ["i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii"]
_ROMAN = {numeral: month for month, numeral in enumerate(_NUMERALS, start=1)}
_TOKEN = re.compile(r"'?\d+|[^\W\d_]+|.", re.DOTALL)
_LATIN_MONTH = re.compile(r"(?<![\da-z])(?:10|[789x])b(?:e?r|ris|re)\b")
_ZONE = r"(?:\s?((?:gmt|utc)?(?:\+\d{2}:?\d{2}|-\d{4})|z|utc|gmt|bst)(?![a-z\d+-]))?"
_BETWEEN_TIMES = re.compile(r"\0\s?(?:-|to|until|/|and|&)\s?\0")
_CLOCKS = (
    re.compile(
        rf"(?<!\d)([01]?\d|2[0-3])[:h]([0-5]\d)(?::([0-5]\d))?(?:[.,]\d+)?\s?([ap]\.?m\b\.?)?{_ZONE}(?!\d)"
    ),
    re.compile(rf"(?<![\d.])(1[0-2]|0?[1-9])(?:[.:]([0-5]\d))?()\s?([ap]\.?m\b\.?){_ZONE}"),
    re.compile(rf"(?<!\d)([01]\d|2[0-3])[.:]?([0-5]\d)()()\s?(?:hrs?|hours|h)\b{_ZONE}"),
    re.compile(rf"(?:(?<=\d{{4}} )|(?<=\d{{4}}, ))([01]?\d|2[0-3])\.([0-5]\d)()(){_ZONE}$"),
    re.compile(rf"(?<=\bat )([01]?\d|2[0-3])\.([0-5]\d)()(){_ZONE}(?!\d)"),
)
_UNKNOWN_DAY = re.compile(
    r"[?x_-]{1,2}([/. ])(?:[?_-]{1,2}|xx|(\d{1,2}|[a-z]+))\1(\d{4})"
    r"|\d{1,2}([/. ])(?:[?_-]{1,2}|xx)\4(\d{4})"
)
_UNKNOWN_END = re.compile(r"^(\d{4}(?:-\d{2})?)(?:-[x?u]{2}){1,2}$")
_LOST_DIGITS = re.compile(r"\d\?\?|(?<!\d)\d{3}\?")


@dataclass(frozen=True, slots=True)
class Item:
    """A number (its digits, `'87` with its apostrophe), or a month or season by its number."""

    kind: Kind
    text: str
    value: int

    @property
    def is_year(self) -> bool:
        """Whether a number can only be a year."""
        return self.kind == "n" and (len(self.text) == 4 or self.text[0] == "'")

    @property
    def digits(self) -> str:
        return self.text.lstrip("'")


@dataclass(slots=True)
class Tokens:
    """Items and what stands between them: `gaps[i]` is the text between items i and i+1.

    In a gap `~` is a word that means "to", `&` one that means "and".
    """

    items: list[Item] = field(default_factory=list)
    gaps: list[str] = field(default_factory=list)
    times: list[str] = field(default_factory=list)
    weekday: int = -1
    opened: bool = False  # "from" or "between" stands in front
    doubts: list[int] = field(default_factory=list)  # gaps with "?" or "probably" in them

    def __getitem__(self, part: slice) -> Tokens:
        start, stop, _ = part.indices(len(self.items))
        return Tokens(self.items[start:stop], self.gaps[start : max(start, stop - 1)])

    @property
    def pattern(self) -> str:
        return "".join(item.kind for item in self.items)


@cache
def _meanings() -> dict[str, tuple[str, int]]:
    """Every known word: what kind it is and its number."""
    data = vocabulary()
    known: dict[str, tuple[str, int]] = {}
    for kind in (
        "filler",
        "circa",
        "vague",
        "daytime",
        "ordinals",
        "to",
        "and",
        "or",
        "open",
        "relative",
    ):
        for word in data["words"][kind]:
            # "until" stands between two dates or in front of one: the gap decides.
            known.setdefault(word, (kind, 0))
    for number, day in enumerate(data["words"]["weekdays"]):
        known |= dict.fromkeys(day, ("weekday", number))
    for season in data["seasons"].values():
        known |= dict.fromkeys(season["words"], ("q", season["from"]))
    known |= {numeral: ("roman", month) for numeral, month in _ROMAN.items()}
    for number, names in data["months"].items():
        known |= dict.fromkeys(names, ("m", int(number)))
    return known


@cache
def _loose_dash() -> re.Pattern[str]:
    """`mid-June`, `early/mid June`, `Sat-Sun 13-14 June`: the dash divides nothing."""
    words = vocabulary()["words"]
    loose = [*words["vague"], *(day for days in words["weekdays"] for day in days)]
    return re.compile(rf"\b({'|'.join(loose)})\s?[-/&]\s?(?=[a-z]|'?\d\d)")


@cache
def _nearest_month(word: str) -> int:
    """The one English month that `word` is a misspelling of, 0 if none.

    One slip is allowed, two in words of six letters or more.

    Raises:
        DateError: `month_unclear` where two months are equally near.
    """
    from rapidfuzz.distance import OSA

    if not 4 <= len(word) <= 12 or word in vocabulary()["words"]["not_months"]:
        return 0
    allowed = 2 if len(word) >= 6 else 1
    names = vocabulary()["words"]["english"]
    near = {n: OSA.distance(word, name, score_cutoff=allowed) for n, name in enumerate(names, 1)}
    best = min(near.values())
    if best > allowed:
        return 0
    months = [month for month, distance in near.items() if distance == best]
    if len(months) > 1:
        raise DateError("month_unclear", f"{word!r} may be more than one month")
    return months[0]


def _take_times(text: str, tokens: Tokens, notes: list[str]) -> str:
    for pattern in _CLOCKS:
        for match in pattern.finditer(text):
            hour, minute, second, half, zone = match.groups()
            if half and int(hour) <= 12:
                hour = str(int(hour) % 12 + (12 if half[0] == "p" else 0))
            zone = re.sub(r"^(?:gmt|utc)(?=.)", "", zone or "")
            named = vocabulary()["words"]["zones"].get(zone, zone)
            if time := clock((hour, minute or "00", second, named), notes):
                tokens.times.append(time)
        text = pattern.sub("\0", text)
    return _BETWEEN_TIMES.sub(" ", text).replace("\0", " ")


def tokenise(text: str, notes: list[str]) -> Tokens:
    """Divide a date into its items.

    Raises:
        DateError: `unreadable`, `relative`, `open_ended`, `alternatives`, `month_unclear`, or
            `impossible` for a time of day.
    """
    tokens = Tokens()
    low = smooth(text.lower())
    if match := _UNKNOWN_DAY.fullmatch(low):
        notes.append("the day is not known")
        low = f"{match[2] or ''} {match[3] or match[5]}"
    low = _UNKNOWN_END.sub(r"\1", low)
    if _LOST_DIGITS.search(low):
        raise DateError("no_year", f"{text!r} lacks digits of its year")
    low = _take_times(low, tokens, notes)
    low = _loose_dash().sub(r"\1 ", low)
    gap = ""
    for word in _words(low):
        item, mark = _classify(word, text, bool(tokens.items), tokens, notes)
        if item is None:
            gap += mark
            continue
        if tokens.items:
            if "%" in gap:
                tokens.doubts.append(len(tokens.gaps))
            tokens.gaps.append(gap.replace("%", ""))
        elif "^" in gap:
            tokens.opened = True
        elif set(gap) & set("-<>"):
            raise DateError("open_ended", f"{text!r} leaves one end of the time open")
        if "//" in gap or ".." in gap or (not tokens.items and "/" in gap):
            raise DateError("unreadable", f"{text!r} lacks a part")
        tokens.items.append(item)
        gap = ""
    divided = any(set(between) & set("~&-/") for between in tokens.gaps)
    if tokens.items and "/" in gap:
        raise DateError("unreadable", f"{text!r} lacks a part")
    if tokens.items and (set(gap) & set("-~<>+") or (tokens.opened and not divided)):
        raise DateError("open_ended", f"{text!r} leaves one end of the time open")
    return tokens


def _words(text: str) -> list[str]:
    """Words, numbers and signs; the old Latin `7ber` and `xber` are words."""
    words: list[str] = []
    end = 0
    for match in _LATIN_MONTH.finditer(text):
        words += [*_TOKEN.findall(text[end : match.start()]), match[0]]
        end = match.end()
    return words + _TOKEN.findall(text[end:])


def _classify(
    word: str, text: str, begun: bool, tokens: Tokens, notes: list[str]
) -> tuple[Item | None, str]:
    """An item, or None and the mark that the word leaves in the gap."""
    if word[-1].isdigit():
        if not word.lstrip("'").isascii() or len(word) > 5:
            raise DateError("unreadable", f"{text!r} has digits that are no day, month or year")
        if word[0] == "'" and len(word) != 3:
            word = word[1:]
        return Item("n", word, int(word.lstrip("'"))), ""
    if not word[0].isalpha() and word not in _meanings():
        return None, _sign(word, text, notes)
    kind, value = _meanings().get(word, ("", 0))
    if not kind and (month := _nearest_month(word)):
        notes.append(f"{word!r} was read as {vocabulary()['words']['english'][month - 1].title()}")
        kind, value = "m", month
    if kind in ("m", "q", "roman"):
        return Item("q" if kind == "q" else "m", "roman" if kind == "roman" else word, value), ""
    return None, _word_mark(kind, value, word, text, begun, tokens, notes)


def _sign(sign: str, text: str, notes: list[str]) -> str:
    if sign in " -/&+<>":
        return sign
    if sign in ".,;'\"()[]":
        return sign if sign in ".,;" else ""
    if sign in "~?":
        if "doubt" not in "".join(notes):
            notes.append("a sign of doubt beside the date was disregarded")
        return "%" if sign == "?" else ""
    raise DateError("unreadable", f"{text!r} has the sign {sign!r}, which no date has")


def _word_mark(
    kind: str, value: int, word: str, text: str, begun: bool, tokens: Tokens, notes: list[str]
) -> str:
    if kind == "weekday":
        # Two weekdays belong to a range, whose days say more than they do.
        tokens.weekday = value if tokens.weekday == -1 else -2
    elif kind in ("circa", "vague", "daytime"):
        notes.append(f"{word!r} was disregarded: ISO 8601 has no word for it")
        return "%" if word in vocabulary()["words"]["doubting"] else ""
    elif kind == "to" and begun:
        return "~"
    elif kind == "and":
        return "&"
    elif kind == "or":
        raise DateError("alternatives", f"{text!r} gives more than one date")
    elif kind == "relative":
        raise DateError("relative", f"{text!r} depends on the day it was written")
    elif kind == "open" or kind == "to":
        if word == "from" and not begun:
            return "^"
        raise DateError("open_ended", f"{text!r} leaves one end of the time open")
    elif not kind:
        if word == "between" and not begun:
            return "^"
        raise DateError("unreadable", f"{text!r} has the word {word!r}, which no date has")
    return ""
