"""Dates in the order people say them: day, month and year, months, seasons, ranges of each."""

from __future__ import annotations

import re
from datetime import date

from crossproof.parse._date_values import Moment, Part, interval, settle
from crossproof.parse._date_words import Item, Tokens
from crossproof.parse.date_error import DateError

_DECADE = re.compile(r"(?:the )?(?:early |mid[ -]?|late )?(?:(\d{3}0)|'?([2-9]0))'?(?:i?e)?s")
_CENTURY = re.compile(r".*\bcent(?:ury|\.)?.*|c\d{2}(?:th)?", re.DOTALL)


def read_decade(text: str, today: date, notes: list[str]) -> str | None:
    """`1980s` as 1980/1989; None where the text, in lower case, is no decade.

    Raises:
        DateError: `century`, `future`, `implausible`.
    """
    if _CENTURY.fullmatch(text):
        raise DateError("century", f"{text!r} is a century, no date")
    if not (match := _DECADE.fullmatch(text)):
        return None
    start = settle(Part(match[1] or match[2]), today, notes)
    last = min(start.year + 9, today.year)
    notes.append(f"the decade was read as {start.year} to {last}")
    return interval(start, Moment(last))


def read_spoken(text: str, tokens: Tokens, today: date, notes: list[str]) -> str:
    """Read tokens as one date or a range.

    Raises:
        DateError: with the most telling code.
    """
    if not tokens.items:
        raise DateError("unreadable", f"no date can be read in {text!r}")
    reader = _Reader(text, today, notes)
    joined = any(set(gap) & {"~", "&"} for gap in tokens.gaps)
    if not joined:
        found = reader.season(tokens)
        if found is None and (part := reader.single(tokens)):
            found = reader.day(part, tokens)
        if found:
            return found
    return reader.range(tokens)


class _Reader:
    """Reads the tokens of one text; holds what all its steps need."""

    def __init__(self, text: str, today: date, notes: list[str]) -> None:
        self.text = text
        self.today = today
        self.notes = notes

    def fail(self, code: str, message: str) -> DateError:
        return DateError(code, f"{self.text!r} {message}")

    # --- one date --------------------------------------------------------------------------------

    def single(self, tokens: Tokens) -> Part | None:
        """One day, month or year; None where the tokens have no such pattern."""
        read = {
            "nnn": self._nnn,
            "nmn": self._nmn,
            "mnn": self._mnn,
            "nnm": self._nnm,
            "nn": self._nn,
            "nm": self._nm,
            "mn": self._mn,
            "n": self._n,
            "m": self._m,
        }.get(tokens.pattern)
        return read(tokens) if read else None

    def _nnn(self, tokens: Tokens) -> Part | None:
        a, b, c = tokens.items
        if a.is_year and len(a.digits) == 4:
            return self._numbers(a, b, c)
        if c.is_year or len(c.digits) == 2:
            if self._mixed(tokens.gaps) and a.value < b.value <= 12:
                raise self.fail("day_or_month", "may be two months or a day and a month")
            if a.value > 31 and b.value <= 12 and len(c.digits) <= 2:
                self.notes.append("the first number was read as the year")
                return self._numbers(a, b, c)
            if b.value > 12 and 1 <= a.value <= 12 and not self._mixed(tokens.gaps):
                self.notes.append("the month was read as standing before the day")
                return self._numbers(c, a, b)
            return self._numbers(c, b, a)
        return None

    @staticmethod
    def _mixed(gaps: list[str]) -> bool:
        return len({gap.strip() for gap in gaps}) > 1

    def _numbers(self, year: Item, month: Item, day: Item) -> Part | None:
        for item in (month, day):
            if item.kind == "n" and (len(item.digits) > 2 or item.is_year):
                return None
        if not month.value or not day.value:
            raise self.fail("impossible", "has a day or month of zero")
        if month.value > 12:
            raise self.fail("impossible", f"would be in month {month.value}")
        return Part(year.digits, month.value, day.value)

    def _nmn(self, tokens: Tokens) -> Part | None:
        a, month, c = tokens.items
        if (len(a.digits) == 4 or a.value > 31) and len(c.digits) <= 2 and not c.is_year:
            return self._numbers(a, month, c)
        return self._numbers(c, month, a) if len(c.digits) in (2, 4) else None

    def _mnn(self, tokens: Tokens) -> Part | None:
        month, b, c = tokens.items
        if len(b.digits) == 4 and not c.is_year:
            return self._numbers(b, month, c)
        # "June 12-14" is a range, "June-12-1987" is not.
        divided = {"-", "/"} & {*tokens.gaps[1]}
        if divided and (self._mixed(tokens.gaps) or not c.is_year):
            return None
        return self._numbers(c, month, b) if len(c.digits) in (2, 4) else None

    def _nnm(self, tokens: Tokens) -> Part | None:
        a, b, month = tokens.items
        return self._numbers(a, month, b) if len(a.digits) == 4 and not b.is_year else None

    def _nn(self, tokens: Tokens) -> Part | None:
        a, b = tokens.items
        gap = tokens.gaps[0]
        if len(a.digits) == 4:
            return self._year_month(a, b, gap)
        if len(b.digits) == 4:
            return self._month_year(a, b)
        if (b.is_year or b.value > 31) and len(b.digits) == 2:
            return self._month_year(a, b)
        if len(a.digits) > 2 or len(b.digits) > 2:
            return None
        raise self.fail("no_year", "has no year")

    def _month_year(self, month: Item, year: Item) -> Part | None:
        if len(month.digits) > 2:
            return None
        if not 1 <= month.value <= 12:
            raise self.fail("impossible", f"would be in month {month.value}")
        return Part(year.digits, month.value)

    def _year_month(self, year: Item, month: Item, gap: str) -> Part | None:
        if month.is_year or not 1 <= month.value <= 12 or len(month.digits) > 2:
            return None
        following = month.value == (year.value + 1) % (100 if len(month.digits) == 2 else 10)
        if following and gap != "-":
            raise self.fail("span_or_month", "may be a month or two years")
        return Part(year.digits, month.value)

    def _nm(self, tokens: Tokens) -> Part | None:
        number, month = tokens.items
        if number.is_year or number.value > 31:
            return Part(number.digits, month.value)
        raise self.fail("no_year", "has no year")

    def _mn(self, tokens: Tokens) -> Part | None:
        month, number = tokens.items
        if number.is_year or number.value > 31:
            return Part(number.digits, month.value)
        gap = tokens.gaps[0]
        # "Aug-03" is how spreadsheets show a month; "12 June" without a year stands the other way.
        if len(number.digits) == 2 and (gap in ("-", "/", ".") or number.digits[0] == "0"):
            self.notes.append(f"{number.digits} was read as a year")
            return Part(number.digits, month.value)
        if len(number.digits) > 2:
            return None
        if len(number.digits) == 1:
            raise self.fail("no_year", "has no year")
        raise self.fail("day_or_year", "may end in a day or in a year")

    def _n(self, tokens: Tokens) -> Part | None:
        number = tokens.items[0]
        if number.is_year:
            return Part(number.digits)
        if len(number.digits) == 2:
            raise self.fail("short_year", "may be a year or a day")
        return None

    def _m(self, tokens: Tokens) -> Part | None:
        raise self.fail("no_year", "has no year")

    def day(self, part: Part, tokens: Tokens) -> str:
        """One date with its time or times of day; a weekday is held against it."""
        times = tokens.times if part.day else []
        moment = settle(part, self.today, self.notes)
        if tokens.weekday >= 0 and part.day and moment.first.weekday() != tokens.weekday:
            self.notes.append(f"{moment} is a {moment.first:%A}, not the weekday written")
        ends = [Moment(moment.year, moment.month, moment.day, time) for time in times[:2]]
        return interval(ends[0], ends[-1]) if ends else str(moment)

    # --- seasons ---------------------------------------------------------------------------------

    def season(self, tokens: Tokens) -> str | None:
        """`spring 1990`, `1990 spring`, `winter 1990/91`; None where there is no season."""
        pattern = tokens.pattern
        if pattern == "q":
            raise self.fail("no_year", "has no year")
        if pattern not in ("qn", "nq", "qnn"):
            return None
        items = [item for item in tokens.items if item.kind == "n"]
        first = next(item.value for item in tokens.items if item.kind == "q")
        if len(items[0].digits) not in (2, 4):
            return None
        if first == 12:
            return self._winter(items)
        if len(items) > 1:
            return None
        start = settle(Part(items[0].digits, first), self.today, self.notes)
        self.notes.append("the season was read as its three months")
        return interval(start, Moment(start.year, first + 2))

    def _winter(self, years: list[Item]) -> str:
        if len(years) == 1:
            raise self.fail("winter", "may have begun in that year or in the one before")
        start = settle(Part(years[0].digits, 12), self.today, self.notes)
        end = start.year + 1
        if end % 10 ** len(years[1].digits) != years[1].value:
            raise self.fail("impossible", "is no winter: its years do not follow each other")
        self.notes.append("the season was read as its three months")
        return interval(start, Moment(end, 2))

    # --- ranges ----------------------------------------------------------------------------------

    def range(self, tokens: Tokens) -> str:
        """The first division into two dates that can be read, the strongest mark first."""
        failed: list[DateError] = []
        if (both := self._two_years(tokens)) is not None:
            return both
        for strength, i in sorted((-_strength(gap), i) for i, gap in enumerate(tokens.gaps)):
            if not strength:
                break
            kept = len(self.notes)
            try:
                found = self._ends(tokens[: i + 1], tokens[i + 1 :])
            except DateError as error:
                failed.append(error)
                found = None
            if found:
                if {*tokens.gaps[i]} & {*"&,;"}:
                    self.notes.append("two dates were read as the time from the first to the last")
                return found
            del self.notes[kept:]
        for failure in failed:
            if failure.code != "unreadable":
                raise failure
        raise self.fail("unreadable", "is no date in any order known here")

    def _two_years(self, tokens: Tokens) -> str | None:
        """`Dec-Jan 1987/88`: two months and two years that follow each other."""
        if tokens.pattern != "mmnn":
            return None
        first, last, one, two = tokens.items
        follows = two.value == (one.value + 1) % 10 ** len(two.digits)
        if len(one.digits) != 4 or not follows or first.value <= last.value:
            return None
        start = settle(Part(one.digits, first.value), self.today, self.notes)
        return interval(start, settle(Part(str(one.value + 1), last.value), self.today, self.notes))

    def _ends(self, left: Tokens, right: Tokens) -> str | None:
        if left.pattern in ("q", "qn") or right.pattern == "qn":
            return self._seasons(left, right)
        month_first = left.pattern == "mn" and right.pattern == "nn"
        end = None if month_first else self._whole(right)
        end = end or self._borrowed(right, left)
        if not end:
            return None
        start = self._whole(left) or self._shortened(left, end)
        if not start:
            return None
        said: list[str] = []
        last = settle(end, self.today, said)
        first = settle(start, self.today, said)
        self.notes += dict.fromkeys(said)
        return interval(first, last)

    def _seasons(self, left: Tokens, right: Tokens) -> str | None:
        if right.pattern != "qn":
            return None
        one, (last, year) = left.items[0], right.items
        if len(left.items) == 1:
            if one.value > last.value or last.value == 12:
                raise self.fail("wraps", "does not say which year it begins in")
            left = Tokens([one, year], [""])
        start, end = self.season(left), self.season(right)
        return f"{start.partition('/')[0]}/{end.rpartition('/')[2]}" if start and end else None

    def _whole(self, tokens: Tokens) -> Part | None:
        """A part with its own year, if the tokens are one."""
        if tokens.pattern == "n" and not tokens.items[0].is_year:
            return None
        if tokens.pattern in ("m", "q"):
            return None
        if tokens.pattern == "nn" and _is_day_year(tokens):
            return None
        kept = len(self.notes)
        try:
            return self.single(tokens)
        except DateError as error:
            del self.notes[kept:]
            if error.code in ("no_year", "day_or_year"):
                return None
            raise

    def _borrowed(self, right: Tokens, left: Tokens) -> Part | None:
        """An end that leaves its year or month to be taken from the start.

        `1987-89`, `12/6/1987-14/6`, `June 12-14, 1987`, `12 June 1987 to 14`.
        """
        items = right.items
        if left.pattern == "mn" and right.pattern == "nn" and len(items[1].digits) in (2, 4):
            return self._numbers(items[1], left.items[0], items[0])  # June 12-14, 1987
        kept = len(self.notes)
        start = self._whole(left)
        del self.notes[kept:]
        if not start or (len(start.year) == 2 and not start.month):
            if self._lacks_year(left, right):
                raise self.fail("no_year", "has no year")
            return None
        if right.pattern == "n" and not start.month:
            digits = items[0].digits
            if len(digits) < 3 and len(start.year) == 4:
                return Part(self._following(start.year, digits))  # 1987-89
        elif right.pattern == "n" and start.day:
            return Part(start.year, start.month, items[0].value)
        elif right.pattern == "m" and not start.day:
            return Part(start.year, items[0].value)
        elif right.pattern in ("nm", "mn", "nn") and start.day:
            month, day = _month_and_day(right)
            return Part(start.year, month, day)
        return None

    @staticmethod
    def _following(year: str, digits: str) -> str:
        """The year that `digits` end: 1987-89 is 1989, 1999-00 is 2000."""
        after = int(year[: -len(digits)] + digits)
        turned = after + 10 ** len(digits)
        return str(turned if after < int(year) and turned - int(year) <= 10 else after)

    @staticmethod
    def _lacks_year(left: Tokens, right: Tokens) -> bool:
        days = ("n", "m", "nm", "mn", "nn")
        return left.pattern in days and right.pattern in ("nm", "mn", "nn", "m")

    def _shortened(self, left: Tokens, end: Part) -> Part | None:
        """A start that leaves its year, or month and year, to be taken from the end."""
        items = left.items
        if left.pattern == "n" and len(items[0].digits) <= 2:
            if end.day:
                return Part(end.year, end.month, self._some(items[0].value))
            if end.month and self._some(items[0].value) <= 12:
                return Part(end.year, items[0].value)  # 6-7/1987
        elif left.pattern == "m" and not end.day and end.month:
            if items[0].value > end.month:
                raise self.fail("wraps", "does not say which year it begins in")
            return Part(end.year, items[0].value)
        elif left.pattern in ("nm", "mn", "nn") and end.day:
            month, day = _month_and_day(left)
            if month > 12 or not month or not day:
                raise self.fail("impossible", f"would be in month {month}")
            if month > end.month:
                self.notes.append("the start was read as of the year before the end")
                year = f"{(int(end.year) - 1) % 10 ** len(end.year):0{len(end.year)}d}"
                return Part(year, month, day)
            return Part(end.year, month, day)
        return None

    def _some(self, value: int) -> int:
        if not value:
            raise self.fail("impossible", "has a day or month of zero")
        return value


def _month_and_day(tokens: Tokens) -> tuple[int, int]:
    """Day first but where the month is a word that stands first."""
    a, b = tokens.items
    return (a.value, b.value) if a.kind == "m" else (b.value, a.value)


def _is_day_year(tokens: Tokens) -> bool:
    """`14, 1987` as in "June 12-14, 1987"."""
    return "," in tokens.gaps[0] and len(tokens.items[1].digits) == 4


def _strength(gap: str) -> int:
    """How surely a gap divides the two ends of a range; 0 where it cannot."""
    if "~" in gap:
        return 6
    if "&" in gap:
        return 5
    if "-" in gap:
        return 4 if gap.startswith(" ") and gap.endswith(" ") else 3
    if set(gap) & set("/+"):
        return 2
    return 1 if set(gap) & set(",;") else 0
