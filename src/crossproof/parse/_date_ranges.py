"""Ranges of dates, either end of which may leave to the other what both share."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from crossproof.parse._date_single import Reader
from crossproof.parse._date_values import Part, interval, settle
from crossproof.parse._date_words import Tokens
from crossproof.parse.date_error import DateError

_A_MONTH = 31  # days


class Ranges(Reader):
    """Reads the tokens of one text as a range of dates."""

    def range(self, tokens: Tokens) -> str:
        """The first division into two dates that can be read, the strongest mark first."""
        failed: list[DateError] = []
        tokens = _without_middle(tokens)
        if (both := self._two_years(tokens)) is not None:
            return both
        for strength, i in sorted((-_strength(gap), i) for i, gap in enumerate(tokens.gaps)):
            if not strength:
                break
            if self._inside(tokens, i):
                continue
            kept = len(self.notes)
            try:
                found = self._ends(tokens[: i + 1], tokens[i + 1 :])
            except DateError as error:
                failed.append(error)
                found = None
            if found:
                if not tokens.opened:
                    self._refuse_list(found, tokens.gaps[i])
                if {*tokens.gaps[i]} & {*"&,;"}:
                    self.notes.append("two dates were read as the time from the first to the last")
                return found
            del self.notes[kept:]
        for failure in failed:
            if failure.code != "unreadable":
                raise failure
        raise self.fail("unreadable", "is no date in any order known here")

    def _inside(self, tokens: Tokens, i: int) -> bool:
        """Whether a mark only goes on with a date that the same mark has begun: 12/06/1987."""
        if not i or tokens.gaps[i] not in ("/", "-", ".") or tokens.gaps[i] != tokens.gaps[i - 1]:
            return False
        kept = len(self.notes)
        whole = self._whole(tokens[: i + 1])
        del self.notes[kept:]
        return whole is None

    def _refuse_list(self, found: str, gap: str) -> None:
        """Days, months or years far apart that are listed: no span, but visits or opinions."""
        start, _, end = found.partition("/")
        if not {*gap} & {*"&,;"} or len(start) != len(end) or len(start) > 10:
            return
        first, last = (date.fromisoformat(f"{end}-01-01"[:10]) for end in (start, end))
        near = 366 if len(start) == 4 else _A_MONTH
        if first.year != last.year and (last - first).days > near:
            raise self.fail("alternatives", "lists dates of different years")

    def refuse_alternatives(self, tokens: Tokens) -> None:
        """`1986, probably 1987`, `June, possibly July 1986`: more than one date, in doubt.

        Raises:
            DateError: `alternatives`.
        """
        divided = any({*gap} & {*"~&-/"} for gap in tokens.gaps)
        if tokens.doubts and not divided and not self._is_single(tokens):
            raise self.fail("alternatives", "gives more than one date, in doubt")

    def _is_single(self, tokens: Tokens) -> bool:
        kept = len(self.notes)
        try:
            return self.season(tokens) is not None or self.single(tokens) is not None
        except DateError:
            return True
        finally:
            del self.notes[kept:]

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
        if end.day and not start.month:
            return None  # a year and a day are no ends of one time
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
            return self.parted(items[1], left.items[0], items[0])  # June 12-14, 1987
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
        elif right.pattern in ("nm", "mn", "nn") and start.day and not _is_list(right):
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
        elif left.pattern in ("nm", "mn", "nn") and end.day and not _is_list(left):
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


def _is_list(tokens: Tokens) -> bool:
    """`3, 10` are two days, and no day and month."""
    return tokens.pattern == "nn" and bool({*tokens.gaps[0]} & {*",;&+~"})


def _without_middle(tokens: Tokens) -> Tokens:
    """`3, 10 & 17 July 1994` as `3 & 17 July 1994`: days or months that ascend, first and last."""
    end = 0
    while end < len(tokens.gaps) and {*tokens.gaps[end]} & {*",;&+"}:
        end += 1
    days = tokens.items[: end + 1]
    values = [item.value for item in days]
    ascending = values == sorted({*values}) and values[0] > 0 and values[-1] <= 31
    kinds = {item.kind for item in days}
    if (
        end < 2
        or kinds not in ({"n"}, {"m"})
        or any(item.is_year for item in days)
        or not ascending
    ):
        return tokens
    return replace(
        tokens,
        items=[days[0], *tokens.items[end:]],
        gaps=[tokens.gaps[end - 1], *tokens.gaps[end:]],
    )


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
