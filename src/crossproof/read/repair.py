"""Mend text that went through a wrong encoding: `Ã—`, `ÃƒÂ—`, `Î`, `◊`, `&times;` are all `×`."""

from __future__ import annotations

import html
import re
from collections.abc import Callable

# Each codec is one through which UTF-8 is read by mistake: the signs its lead bytes turn into.
# Windows-1252 comes with the control characters of the bytes it leaves undefined.
_TO_BYTE = {bytes([b]).decode("cp1252", "ignore") or chr(b): b for b in range(0x80, 0x100)}
_TO_BYTE |= {chr(b): b for b in range(0x80, 0xA0)}


def _table(codec: str) -> dict[str, int]:
    return {bytes([b]).decode(codec): b for b in range(0x80, 0x100)}


def _pattern(table: dict[str, int], leads: tuple[int, ...]) -> re.Pattern[str]:
    signs = {byte: sign for sign, byte in table.items()}
    tail = "[" + "".join(re.escape(sign) for sign, byte in table.items() if byte < 0xC0) + "]"
    two = "".join(re.escape(signs[lead]) for lead in leads if lead < 0xE0)
    three = "".join(re.escape(signs[lead]) for lead in leads if lead >= 0xE0)
    return re.compile(f"[{two}]{tail}|[{three}]{tail}{tail}")


# C2 and C3 lead Latin letters and ×, C4 and C5 the letters of many surnames, E2 the dashes,
# quotes, arrows and ♀ ♂, EF the byte order mark.
_LEADS = (0xC2, 0xC3, 0xC4, 0xC5, 0xE2, 0xEF)
_TABLES = [_TO_BYTE, _table("mac_roman"), _table("cp850")]
_MISREAD = [
    (table, _pattern(table, _LEADS if table is _TO_BYTE else (0xC2, 0xC3, 0xE2)))
    for table in _TABLES
]
_ENTITY = re.compile(r"&(?:amp;)*(?:#\d{2,6}|#[xX][0-9a-fA-F]{2,6}|[A-Za-z]\w{1,7});")
_KEPT = {"&lt;", "&gt;", "&amp;"}

# × itself, misread as one sign: Î (Windows-1252 read as cp850), ◊ (read as Mac Roman), ž (cp850
# read as Windows-1252), Ч (read as Windows-1251). Repaired only where it stands between words.
_LONE = re.compile(r"(?<=[\w.)] )[ÎžЧ](?= [\w(])|◊(?=\s?\w)")
_LOST = re.compile(r"(?<=[\w.)] )\ufffd(?= ?[a-z])")  # × replaced by "no such character"

_PLAUSIBLE = re.compile(
    "[\u00a0-\u017f\u2010-\u203a\u20ac\u2122\u2190-\u2193\u2212\u2260-\u2265\u2640-\u2642"
    "\u2715\u2716\u2a2f\ufeff\u25ca\u02dc\u02c6\u0192]"
)
TELL_TALE = re.compile(
    "|".join([*(p.pattern for _, p in _MISREAD), _LONE.pattern, _LOST.pattern, _ENTITY.pattern])
)


def repair(text: str, *, name: bool = False) -> str:
    """Give back the text as it was before it went through a wrong encoding.

    Up to three wrong passes are undone. In a plant's `name` a sign that was lost altogether
    (U+FFFD) between genus and epithet is taken for ×. Text that shows no damage is unchanged.
    """
    for _ in range(3):
        mended = text
        for table, pattern in _MISREAD:
            mended = pattern.sub(_decode(table), mended)
        if mended == text:
            break
        text = mended
    text = _ENTITY.sub(_entity, text)
    text = _LONE.sub("×", text)
    if name:
        text = _LOST.sub("×", text)
    return text.replace("\ufeff", "")


def _decode(table: dict[str, int]) -> Callable[[re.Match[str]], str]:
    def decode(match: re.Match[str]) -> str:
        run = match[0]
        if run[0] in "ÄÅ" and not run[1].isalnum() and run[1] in "‘’“”–—«»›":
            return run  # a capital before a quotation mark or dash, as it should be
        try:
            sign = bytes(table[character] for character in run).decode("utf-8")
        except UnicodeDecodeError:
            return run
        # A second wrong pass leaves control characters, to be undone with the next.
        return sign if _PLAUSIBLE.match(sign) or "\x80" <= sign < "\xa0" else run

    return decode


def _entity(match: re.Match[str]) -> str:
    entity = re.sub(r"&(?:amp;)+(?!$)", "&", match[0])
    return match[0] if entity in _KEPT else html.unescape(entity)
