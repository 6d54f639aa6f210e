"""The one date that stands among other words, and the week that begins or ends with a date."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, timedelta
from functools import cache

from crossproof.parse._date_signs import without_accents
from crossproof.parse._date_values import Moment, interval
from crossproof.parse.date_error import DateError, vocabulary

# Reads (the text for messages, a date alone, today, the notes).
Read = Callable[[str, str, date, list[str]], str]

_ROMAN = "xii|xi|x|ix|viii|vii|vi|v|iv|iii|ii|i"
_YEAR = r"(?:\d{4}|'?\d\d)"
_DAY = r"\d{1,2}(?:\s?(?:st|nd|rd|th))?"


@cache
def _month_names() -> str:
    names = {name for several in vocabulary()["months"].values() for name in several}
    return "|".join(sorted(names, key=lambda name: (-len(name), name)))


@cache
def _dates() -> re.Pattern[str]:
    """A day of a month of a year, or a month of a year; nothing that may be half a range."""
    months = _month_names()
    whole = (
        rf"\d{{1,2}}([/.-])\d{{1,2}}\1{_YEAR}|\d{{4}}-\d\d-\d\d"
        rf"|{_DAY}[\s./-]{{0,2}}(?:of\s)?(?:(?:{_ROMAN})(?![a-z])|(?:{months})(?![a-z]))[\s./,-]{{0,2}}{_YEAR}"
        rf"|(?:{months})\.?\s{_DAY},?\s\d{{4}}|(?:{months})[.,]?\s\d{{4}}"
    )
    return re.compile(rf"(?<![\w/.-])(?:{whole})(?![\w/-])")


_LONE_YEAR = re.compile(r"(?<![\d/.-])(?:1[5-9]|20)\d\d(?![\d/-])")
_NOT_WORDS = re.compile(r"[^\0\sa-z.,;:()\[\]'\"&/-]")  # digits and signs of something else
_NUMERAL = re.compile(r"[ivxl]{2,}")
_CLAUSE = re.compile(r"[,;()\[\]\0]")


@cache
def _listed() -> re.Pattern[str]:
    """A month that is joined to a date or to another month: `June, July, August 1987`."""
    months = _month_names()
    return re.compile(rf"(?<![a-z])(?:{months})\.?\s*(?:[,;&/-]|and|to|or)\s*(?:\0|(?:{months})\b)")


def find_date(text: str, today: date, notes: list[str], read: Read) -> str | None:
    """Read the one date among other words: `Kiln Bog, 12.vi.1987`. None where there is none.

    Dates that words such as "det." give to something else are left out.

    Raises:
        DateError: `alternatives` where there are several; as `read` where the one is impossible;
            `open_ended`, `relative`, `alternatives` by words such as "before".
    """
    low = without_accents(text.lower())
    pattern, data = _dates(), vocabulary()["words"]
    found: dict[str, str] = {}
    rest, end, others = "", 0, 0
    for match in pattern.finditer(low):
        rest += low[end : match.start()]
        end = match.end()
        anothers = _is_anothers(rest)
        rest += "\0"
        if anothers:
            others += 1
            continue
        said: list[str] = []
        found.setdefault(read(text, match[0], today, said), "; ".join(said))
    rest += low[end:]
    words = {*_words(rest)}
    years = {
        match[0]
        for match in _LONE_YEAR.finditer(rest)
        if not _is_anothers(rest[: match.start()])
        and not any(iso.startswith(match[0]) for iso in found)
    }
    if _denied(rest, words) or (not found and len(years) < 2):
        return None
    if words & {*data["or"]} or len(found) + len(years) > 1:
        raise DateError("alternatives", f"{text!r} gives more than one date")
    for code, kind in (("open_ended", "open"), ("relative", "relative")):
        if words & {*data[kind]}:
            raise DateError(code, f"{text!r} gives no day, but a time beside one")
    if _NOT_WORDS.search(_LONE_YEAR.sub("", rest)):
        return None
    ((iso, said_of_it),) = found.items()
    notes += [said_of_it] if said_of_it else []
    notes.append("the date was read from among other words")
    if others:
        notes.append("a date of something else, such as the determination, was left out")
    return iso


def _is_anothers(before: str) -> bool:
    """Whether the clause up to a date has a word such as "det." in it."""
    clause = _words(_CLAUSE.split(before)[-1])
    return not {*clause}.isdisjoint(vocabulary()["words"]["of_something_else"])


def _denied(rest: str, words: set[str]) -> bool:
    """Whether the words round a date change it: "not", a Latin numeral, a month joined to it."""
    denying = not words.isdisjoint(vocabulary()["words"]["denying"])
    return denying or any(map(_NUMERAL.fullmatch, words)) or bool(_listed().search(rest))


def _words(text: str) -> list[str]:
    return re.findall(r"[a-z]+", text)


@cache
def _weeks() -> re.Pattern[str]:
    weeks = vocabulary()["weeks"]

    def of(key: str) -> str:
        return "|".join(re.escape(word).replace(r"\ ", r"\s+") for word in weeks[key])

    return re.compile(rf"(?:(?P<begins>{of('begins')})|{of('ends')})[\s.:]+(?P<date>.*\d.*)")


def read_week(text: str, today: date, notes: list[str], read: Read) -> str | None:
    """`week commencing 8 June 1987`, in lower case, as its seven days; None where it is none.

    Raises:
        DateError: as `read`; `unreadable` where no day is given.
    """
    if not (match := _weeks().fullmatch(text)):
        return None
    iso = read(text, match["date"], today, notes)
    if not re.fullmatch(r"\d{4}-\d\d-\d\d", iso):
        raise DateError("unreadable", f"{text!r} gives no day for the week")
    day = date.fromisoformat(iso)
    first = day if match["begins"] else day - timedelta(days=6)
    last = min(first + timedelta(days=6), today)
    notes.append("the week was read as its seven days")
    return interval(*(Moment(one.year, one.month, one.day) for one in (first, last)))
