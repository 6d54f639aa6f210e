"""When a value is Empty, and when it is a number: the two questions nearly every test asks."""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal

# bdqval:Empty: nothing, or nothing but the characters U+0000 to U+0020. A lone no-break space is
# NotEmpty by that definition, so str.strip() and str.isspace() would both be wrong here.
EMPTY_CHARACTERS = "".join(map(chr, range(0x21)))

# XML Schema 1.1 part 2 collapses these around a number (whiteSpace facet), and only these.
_COLLAPSED = "\t\n\r "

_NUMBER = re.compile(
    r"[+-]?(?:[0-9]{1,400}(?:\.[0-9]{0,400})?|\.[0-9]{1,400})(?:[eE][+-]?[0-9]{1,3})?"
)
_INTEGER = re.compile(r"[+-]?[0-9]{1,400}")


def is_empty(value: str) -> bool:
    """Say whether `value` is bdqval:Empty."""
    return not value.strip(EMPTY_CHARACTERS)


def number(value: str) -> Decimal | None:
    """Read a decimal number exactly, or return None: `x`, `41.0554 N`, `NaN`, `1,5` are none."""
    text = value.strip(_COLLAPSED)
    return Decimal(text) if _NUMBER.fullmatch(text) else None


def integer(value: str) -> int | None:
    """Read a whole number written in digits, or return None: `5.0` and `V` are none."""
    text = value.strip(_COLLAPSED)
    return int(text) if _INTEGER.fullmatch(text) else None


def plain(value: Decimal) -> str:
    """Write a number without exponent, float noise or trailing zeros: `457.2`, `18.288`, `100`."""
    text = format(value, "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in ("-0", "") else text


def trim(value: str) -> str:
    """Take white space, control and format characters off both ends. Only amendments may."""
    start, end = 0, len(value)
    while start < end and _invisible(value[start]):
        start += 1
    while end > start and _invisible(value[end - 1]):
        end -= 1
    return value[start:end]


def _invisible(character: str) -> bool:
    return character.isspace() or unicodedata.category(character) in ("Cc", "Cf", "Zs")
