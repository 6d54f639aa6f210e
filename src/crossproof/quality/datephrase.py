"""Dates as people write them, turned into ISO 8601 where they can mean one thing only.

Read are month names (several languages), Roman numerals for months, English ordinals, any of the
usual separators, ranges, a time of the day at the end, and placeholders for an unknown day
(`XX DEC 1932`). The precision written is kept. Refused are two-digit years, numeric dates whose day
and month could change places, and every word not known here (`circa`, `before`, `spring`).
"""

from __future__ import annotations

import csv
import re
import unicodedata
from dataclasses import dataclass, replace
from functools import cache, lru_cache

from . import isodate
from .registry import DATA, words
from .values import integer, trim

LONGEST = 80  # characters; a longer text is a description, not a date

_ROMAN = {"i": 1, "ii": 2, "iii": 3, "iv": 4, "v": 5, "vi": 6, "vii": 7, "viii": 8, "ix": 9}
_ROMAN |= {"x": 10, "xi": 11, "xii": 12}
_EMPTY_WORDS = words("weekdays") | words("fillers")

# ISO 8601-1 dates no year before 1583 without agreement; the draft standard begins with 1582.
_FIRST_BARE_YEAR = 1582


@dataclass(frozen=True, slots=True)
class _Parts:
    year: int | None = None
    month: int | None = None
    day: int | None = None

    def iso(self) -> str | None:
        if self.year is None or (self.day and not self.month):
            return None
        if not isodate.valid_day(self.year, self.month or 1, self.day or 1):
            return None
        text = f"{self.year:04}"
        text += f"-{self.month:02}" if self.month else ""
        return text + (f"-{self.day:02}" if self.day else "")


@cache
def _month_words() -> dict[str, int]:
    """Map each month word to its number, words that mean two months left out."""
    meanings: dict[str, set[int]] = {}
    with (DATA / "months.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(line for line in file if not line.startswith("#")):
            for number in range(1, 13):
                for word in row[str(number)].split():
                    meanings.setdefault(word, set()).add(number)
    return {word: found.pop() for word, found in meanings.items() if len(found) == 1}


def month(text: str) -> int | None:
    """Read a month on its own: a number, a name, an abbreviation or a Roman numeral I to XII."""
    word = trim(text).rstrip(".").casefold()
    found = integer(re.sub(r"\.0*$", "", word))
    found = found or _month_words().get(word) or _ROMAN.get(word)
    return found if found and 1 <= found <= 12 else None


def day(text: str) -> int | None:
    """Read a day of the month on its own: `7`, `07`, `7.0`, `7th`. Roman numerals are refused."""
    word = trim(text).casefold()
    found = integer(re.sub(r"(?<=[0-9])(?:st|nd|rd|th|\.0*)$", "", word))
    return found if found and 1 <= found <= 31 else None


@lru_cache(maxsize=1 << 16)
def interpret(text: str) -> str | None:
    """Return the one ISO 8601 date or interval that `text` can mean, or None."""
    written = trim(text)
    if len(written) > LONGEST:
        return None
    if isodate.parse(written):
        return _from_iso(written)
    cleaned = _cleaned(written)
    once = _once(cleaned)
    return once or _range(cleaned)


def standardise(text: str) -> str | None:
    """As `interpret`, but a text that is a valid date once trimmed is kept as it stands."""
    written = trim(text)
    return written if isodate.parse(written) else interpret(written)


def _from_iso(text: str) -> str | None:
    """Accept a valid ISO date found in running text, unless its digits may mean something else."""
    if re.fullmatch(r"[0-9]{4}", text):
        return text if int(text) >= _FIRST_BARE_YEAR else None
    if re.fullmatch(r"[0-9]{7}", text) or text.startswith("0"):
        return None
    basic = re.fullmatch(r"([0-9]{4})([0-9]{2})([0-9]{2})", text)
    return "-".join(basic.groups()) if basic else text


def _cleaned(text: str) -> str:
    folded = unicodedata.normalize("NFKC", text).casefold()
    folded = re.sub(r"[‐‑‒–—−]", "-", folded)
    folded = re.sub(r"(?<![0-9])([0-9]{1,2})(?:st|nd|rd|th)\b", r"\1", folded)
    return " ".join(folded.split())


_CLOCK = re.compile(
    r"(?:(?<=[0-9])t|[ ,]+(?:at )?)([0-9]{1,2}):([0-9]{2})(?::([0-9]{2}))? ?(am|pm)?"
    r"(z|[+-][0-9]{2}:?[0-9]{2})?$"
)


def _once(text: str) -> str | None:
    """Read a single date, with or without a time of the day."""
    clock = _CLOCK.search(text)
    parts = _whole(text[: clock.start()] if clock else text)
    iso = parts.iso() if parts else None
    if iso is None or clock is None:
        return iso
    time = _time(clock)
    return f"{iso}T{time}" if time and isodate.parse(f"{iso}T{time}") and len(iso) == 10 else None


def _time(clock: re.Match[str]) -> str | None:
    hour = int(clock[1])
    if clock[4]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if clock[4] == "pm" else 0)
    seconds = f":{clock[3]}" if clock[3] else ""
    return f"{hour:02}:{clock[2]}{seconds}{(clock[5] or '').upper()}"


Token = tuple[str, int]  # kind (year, month, roman, number, unknown) and value


def _tokens(text: str) -> list[Token] | None:
    """Cut a date into its meaningful pieces; None when one of them has no meaning here."""
    if re.search(r"[^\w\s.,/?'’-]", text):
        return None
    tokens: list[Token] = []
    for word in re.findall(r"[^\W\d_]+|[0-9]+|\?+", text):
        if word in _EMPTY_WORDS:
            continue
        token = _token(word)
        if token is None:
            return None
        tokens.append(token)
    return tokens


def _token(word: str) -> Token | None:
    if word in _month_words():
        return "month", _month_words()[word]
    if word in _ROMAN:
        return "roman", _ROMAN[word]
    if word in ("xx", "??", "00"):  # a single ? is a doubt, not a gap
        return "unknown", 0
    if not (word.isascii() and word.isdigit()):
        return None
    if len(word) == 4 and not word.startswith("0"):
        return "year", int(word)
    return ("number", int(word)) if len(word) <= 2 and int(word) > 0 else None


def _whole(text: str) -> _Parts | None:
    """Read a date that has its year."""
    tokens = _tokens(text)
    years = [value for kind, value in tokens or () if kind == "year"]
    if tokens is None or len(years) != 1 or len(tokens) > 3:
        return None
    year_first = tokens[0][0] == "year"
    if not year_first and tokens[-1][0] != "year":
        return None
    rest = [token for token in tokens if token[0] != "year"]
    if any(kind in ("month", "roman") for kind, _ in rest):
        parts = _worded(rest)
        return replace(parts, year=years[0]) if parts else None
    return _numeric(years[0], rest, year_first, text)


def _worded(rest: list[Token]) -> _Parts | None:
    """Read the day and the month of a date whose month is a word or a Roman numeral."""
    months = [value for kind, value in rest if kind == "month"]
    romans = [value for kind, value in rest if kind == "roman"]
    if months and romans == [10]:  # beside a month's name, X marks the unknown day
        romans = []
    if len(months) + len(romans) != 1:
        return None
    days = [value for kind, value in rest if kind == "number"]
    return _Parts(month=(months or romans)[0], day=days[0] if days else None)


def _numeric(year: int, rest: list[Token], year_first: bool, text: str) -> _Parts | None:
    """Read a date in figures; refuse it when day and month could change places."""
    figures = [value for kind, value in rest if kind == "number"]
    unknown = len(rest) - len(figures)
    if unknown:
        known_order = year_first and all(kind == "unknown" for kind, _ in rest[len(figures) :])
        if not known_order:
            return None
        return _Parts(year, figures[0] if figures else None)
    if not figures:
        return _Parts(year) if year >= _FIRST_BARE_YEAR else None
    if len(figures) == 1:
        # 2007/08 may be the winter of 2007 to 2008; 1999/11 cannot be.
        season = year_first and re.search(r"[/-]", text) and figures[0] > year % 100
        return _Parts(year, figures[0]) if figures[0] <= 12 and not season else None
    first, second = figures
    if year_first:
        return _Parts(year, first, second) if first <= 12 else _Parts(year, second, first)
    if first <= 12 and second <= 12 and first != second:
        return None
    return _Parts(year, second, first) if second <= 12 else _Parts(year, first, second)


_JOINT = re.compile(r" (?:to|until|till|through|and) | ?[-/&] ?")


def _range(text: str) -> str | None:
    """Read two dates with a joint between them, each lending the other what it leaves out."""
    text = re.sub(r"^(?:from|between) ", "", text)
    found = {
        both
        for joint in _JOINT.finditer(text)
        if (both := _both(text[: joint.start()], text[joint.end() :]))
    }
    return found.pop() if len(found) == 1 else None


def _both(left: str, right: str) -> str | None:
    first, last = _whole(left) or _piece(left), _whole(right) or _piece(right)
    tokens = _tokens(right) or []
    if first and first.day and [kind for kind, _ in tokens] == ["number", "year"]:
        last = _Parts(year=tokens[1][1], day=tokens[0][1])  # June 12-14 1987
    if first is None or last is None:
        return None
    first = _Parts(first.year or last.year, first.month or last.month, first.day)
    last = _Parts(last.year or first.year, last.month or first.month, last.day)
    if bool(first.month) != bool(last.month) or bool(first.day) != bool(last.day):
        return None
    ends = first.iso(), last.iso()
    if ends[0] is None or ends[1] is None or ends[0] == ends[1]:
        return None
    joined = f"{ends[0]}/{ends[1]}"
    return joined if isodate.parse(joined) else None


def _piece(text: str) -> _Parts | None:
    """Read one end of a range that leaves out its year: `12`, `12 June`, `June`."""
    tokens = _tokens(text)
    if not tokens or len(tokens) > 2 or any(kind in ("year", "unknown") for kind, _ in tokens):
        return None
    if any(kind in ("month", "roman") for kind, _ in tokens):
        return _worded(tokens)
    return _Parts(day=tokens[0][1]) if len(tokens) == 1 else None
