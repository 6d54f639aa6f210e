"""One date in the order people say it: day, month and year, a month, a year, a season."""

from __future__ import annotations

from datetime import date

from crossproof.parse._date_values import Moment, Part, interval, settle
from crossproof.parse._date_words import Item, Tokens
from crossproof.parse.date_error import DateError


class Reader:
    """Reads the tokens of one text as one date or season; holds what every step needs."""

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
            return self.parted(a, b, c)
        if c.is_year or len(c.digits) == 2:
            if self._mixed(tokens.gaps) and a.value < b.value <= 12:
                if tokens.gaps[0].strip() not in ("/", "."):
                    raise self.fail("day_or_month", "may be two months or a day and a month")
                self.notes.append("the first number was read as the day")
            if a.value > 31 and b.value <= 12 and len(c.digits) <= 2:
                self.notes.append("the first number was read as the year")
                return self.parted(a, b, c)
            if b.value > 12 and 1 <= a.value <= 12 and not self._mixed(tokens.gaps):
                self.notes.append("the month was read as standing before the day")
                return self.parted(c, a, b)
            return self.parted(c, b, a)
        return None

    @staticmethod
    def _mixed(gaps: list[str]) -> bool:
        return len({gap.strip() for gap in gaps}) > 1

    def parted(self, year: Item, month: Item, day: Item) -> Part | None:
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
            return self.parted(a, month, c)
        return self.parted(c, month, a) if len(c.digits) in (2, 4) else None

    def _mnn(self, tokens: Tokens) -> Part | None:
        month, b, c = tokens.items
        if len(b.digits) == 4 and not c.is_year:
            return self.parted(b, month, c)
        # "June 12-14" is a range, "June-12-1987" and "July 4/76" are not.
        divided = {"-", "/"} & {*tokens.gaps[1]}
        year = c.is_year or c.value > 31
        if divided and not year:
            return None
        return self.parted(c, month, b) if len(c.digits) in (2, 4) else None

    def _nnm(self, tokens: Tokens) -> Part | None:
        a, b, month = tokens.items
        return self.parted(a, month, b) if len(a.digits) == 4 and not b.is_year else None

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
        if following and (gap != "-" or len(month.digits) == 1):
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
