"""Find what gives a place away in any text, and take it out.

Two nets are laid over each other. One knows notations: grid references with any spacing, degrees
in every way of writing, eastings and northings, and the codes of maps. The other knows the place:
any figures that are its own go, whatever stands round them. Both rather take too much than too
little; they are used on records whose place is kept back, and on no others.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterator
from itertools import pairwise

from crossproof.sensitive.level import WITHHELD
from crossproof.sensitive.tell import Tell

MARK = "[place withheld]"

Span = tuple[int, int]

_GAP = r"[\s.,:;/_()\[\]|*+~-]{0,4}"
_LETTERED = re.compile(
    rf"(?<![A-Za-z])(?P<letters>[A-Za-z](?:{_GAP}[A-Za-z])?){_GAP}(?P<digits>\d(?:{_GAP}\d)+)"
    rf"(?:{_GAP}(?:tetrad|quadrant)?{_GAP}(?P<suffix>[NSns]\.?\s?[EWew]|[A-Za-z])(?![A-Za-z]))?"
)
# A reference glued to a word before it: IMGSU123456. Upper case, and six digits or more.
_GLUED = re.compile(r"(?P<letters>[A-Z]{1,2})[ _-]?(?P<digits>\d{3}[ _-]?\d{3}(?:\d\d){0,2})(?!\d)")
_NOTATIONS = [
    re.compile(pattern, re.IGNORECASE)
    for pattern in (
        r"\d+(?:[.,]\d+)?\s*(?:°|º|˚|⁰|∘|&deg;?|%C2%B0|\\u00b0|degs?\b|degrees?\b)"
        r"(?:[\s\d.,:'\"′″’”‘“`´-]|&#?\w+;|%\w\w|\\u\w{4}|min(?:ute)?s?\b|sec(?:ond)?s?\b|m\b)*"
        r"[NSEWO]?(?![A-Za-z])",
        r"(?<!\w)[NSEW]\s?\d{1,3}(?:[\s:.,°'\"′″’”_-]{1,3}\d+){1,3}",  # N51 30.07, W 1 14 4
        r"\d{1,3}(?:[\s:.,'\"′″’”_-]{1,3}\d+){1,3}\s?['\"′″’”]{0,2}\s?[NSEW](?![A-Za-z])",
        r"(?<!\d)\d{4,7}(?:\.\d+)?\s?[NSEW](?![A-Za-z])",  # 513004N
        r"(?<![A-Za-z])[NSEW]\s?\d{4,7}(?:\.\d+)?(?!\d)",
        r"-?\d{1,3}[\s:_-]+\d{1,2}(?:[\s:_-]+\d{1,2}(?:\.\d+)?|\.\d+)\s*[,;/\s]\s*"
        r"-?\d{1,3}[\s:_-]+\d{1,2}(?:[\s:_-]+\d{1,2}(?:\.\d+)?|\.\d+)",  # two of degrees, minutes
        r"-?\d{1,2}[.,]\d{2,}\s*[,;/|\s_]\s*-?\d{1,3}[.,]\d{2,}",  # two decimals
        r"(?:[exXyn]|eastings?|northings?)?\s*[:=]?\s*-?\d{5,8}(?:\.\d+)?\s*(?:m\s?)?[en]?"
        r"\s*[,;/|\s_x]\s*(?:[exyn]|eastings?|northings?)?\s*[:=]?\s*-?\d{5,8}(?:\.\d+)?",
        r"(?:eastings?|northings?)\s*[:=]?\s*\d{5,8}(?:\.\d+)?",
        r"(?<!\d)\d{1,2}\s?[C-HJ-NP-X]\s?[A-HJ-NP-Z]{2}\s?\d(?:\s?\d){3,}",  # military grid
        # 41/123456, the old numbered squares; 06/2019 is a month
        r"(?<!\d)\d\d\s?/\s?(?!(?:1[789]|20)\d\d(?!\d))\d(?:\s?\d){3,9}(?!\d)",
        r"(?<!\w)[23456789CFGHJMPQRVWX]{4,8}\+[23456789CFGHJMPQRVWX]{2,4}(?!\w)",  # plus codes
        r"(?<![A-Za-z])[A-R]{2}\d\d[A-X]{2}(?:\d\d)?(?!\w)",  # Maidenhead locators
        r"/{3}\w+\.\w+\.\w+",  # three words behind three strokes
        r"(?<!\w)[A-Z]{1,2}\d[A-Z\d]?\s?\d[ABD-HJLNP-UW-Z]{2}(?!\w)",  # British postcodes
    )
]
_DECIMAL = re.compile(r"(?<!\d)-?(\d{1,3})([.,·])(\d{2,})(?!\d)")
_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_DIGIT = re.compile(r"\d")
_RUN = re.compile(rf"\d(?:{_GAP}\d)+")
_WORD = re.compile(r"[0-9a-z]+")
_INVISIBLE = dict.fromkeys(map(ord, "\u200b\u200c\u200d\u2060\ufeff\u200e\u200f\u00ad"))


class Positions:
    """Takes positions out of texts.

    Args:
        is_square: whether letters (upper case) name a 100 km square of a national grid.
    """

    def __init__(self, is_square: Callable[[str], bool]) -> None:
        self._is_square = is_square

    def strip(self, text: str, tell: Tell | None, level: int, mark: str = MARK) -> str:
        """The text with `mark` in the place of everything that tells of a position."""
        if not _DIGIT.search(text) and "///" not in text and not _has_geohash(text, tell):
            return text
        plain, at = _plain(text)
        spans = sorted(self._spans(plain, tell, level))
        if not spans:
            return text
        kept, end = [], 0
        for start, stop in _joined(spans):
            kept += [text[end : at[start]], mark]
            end = at[stop]
        return "".join([*kept, text[end:]])

    def is_half(self, text: str, tell: Tell | None) -> bool:
        """Whether a cell holds one half of the place's grid reference and nothing else."""
        return tell is not None and text.strip() in tell.halves

    def _spans(self, text: str, tell: Tell | None, level: int) -> Iterator[Span]:
        for pattern in (_LETTERED, _GLUED):
            for match in pattern.finditer(text):
                if self._tells(match, level):
                    yield match.span()
        for pattern in _NOTATIONS:
            for match in pattern.finditer(text):
                yield match.span()
        yield from _decimals(text, tell)
        if tell:
            yield from _own(text, tell)

    def _tells(self, match: re.Match[str], level: int) -> bool:
        """Whether letters and digits are a reference finer than the level allows."""
        letters = "".join(filter(str.isalpha, match["letters"]))
        digits = "".join(filter(str.isdigit, match["digits"]))
        if not self._is_square(letters.upper()):
            if match.re is _GLUED or letters == match["letters"]:
                return False
            letters = letters[-1]  # "a D 12 34": a word, then a square of the Irish grid
            if not self._is_square(letters.upper()):
                return False
        if len(digits) >= 4:
            # "a 2024 survey": a small letter alone is a word before it is a square.
            return len(letters) > 1 or letters.isupper() or len(digits) >= 6
        suffix = match.groupdict().get("suffix")
        return letters.isupper() and (level >= WITHHELD or (bool(suffix) and level > 2_000))


def _plain(text: str) -> tuple[str, list[int]]:
    """The text with signs made plain, and where each of its signs stands in the original."""
    if text.isascii():
        return text, list(range(len(text) + 1))
    signs, at = [], []
    for index, sign in enumerate(text):
        if ord(sign) in _INVISIBLE:
            continue
        for piece in unicodedata.normalize("NFKC", sign):
            digit = unicodedata.decimal(piece, None)
            signs.append("-" if piece in "−–—‐‑" else piece if digit is None else str(digit))
            at.append(index)
    return "".join(signs), [*at, len(text)]


def _joined(spans: list[Span]) -> Iterator[Span]:
    """Spans that overlap or touch, as one."""
    start, stop = spans[0]
    for first, last in spans[1:]:
        if first > stop:
            yield start, stop
            start, stop = first, last
        stop = max(stop, last)
    yield start, stop


def _decimals(text: str, tell: Tell | None) -> Iterator[Span]:
    """Figures of three decimals or more that may be degrees, or two that are the place's."""
    for match in _DECIMAL.finditer(text):
        value = float(f"{match[1]}.{match[3]}")
        fine = len(match[3]) >= (4 if match[2] == "," else 3)
        if value <= 180 and (fine or (tell is not None and tell.is_degrees(value))):
            yield match.span()


def _own(text: str, tell: Tell) -> Iterator[Span]:
    """The place's own figures, in whatever words or signs they stand."""
    numbers = list(_NUMBER.finditer(text))
    for number in numbers:
        if tell.is_metres(float(number[0])) or _packed(number[0], tell):
            yield number.span()
    for i, (first, second) in enumerate(pairwise(numbers)):
        if _near(first, second) and (_whole(first[0]), _whole(second[0])) in tell.sexagesimal:
            third = numbers[i + 2] if i + 2 < len(numbers) else second
            yield first.start(), (third if _near(second, third) else second).end()
    for run in _RUN.finditer(text):
        yield from _references(run, tell)
    if _has_geohash(text, tell):
        for word in _WORD.finditer(text.casefold()):
            if tell.geohash in word[0]:
                yield word.span()


def _has_geohash(text: str, tell: Tell | None) -> bool:
    return tell is not None and tell.geohash in text.casefold()


def _whole(number: str) -> int:
    return int(number.partition(".")[0])


def _near(first: re.Match[str], second: re.Match[str]) -> bool:
    return second.start() - first.end() <= 4


def _packed(number: str, tell: Tell) -> bool:
    """Degrees, minutes and seconds run together: 513004, 0011404."""
    digits = number.partition(".")[0]
    return len(digits) >= 6 and any(
        digits.lstrip("0").startswith(f"{degrees}{minutes:02d}") and degrees
        for degrees, minutes in tell.sexagesimal
    )


def _references(run: re.Match[str], tell: Tell) -> Iterator[Span]:
    """Neighbouring groups of digits that make a grid reference without letters."""
    groups = [match.span() for match in re.finditer(r"\d+", run[0])][:24]
    for i, (start, _) in enumerate(groups):
        digits = ""
        for begin, end in groups[i:]:
            digits += run[0][begin:end]
            if len(digits) > 10:
                break
            if digits in tell.digits:
                yield run.start() + start, run.start() + end
