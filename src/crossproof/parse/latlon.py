"""Latitude and longitude as people write them, to decimal degrees."""

from __future__ import annotations

import re
from dataclasses import dataclass

from crossproof.parse._degree_words import LAT, LON, labels_marked, labels_off, unified
from crossproof.parse.place_error import PlaceError

_WKT = re.compile(r"point\s*\(\s*([+-]?\d+(?:\.\d+)?)\s+([+-]?\d+(?:\.\d+)?)\s*\)")
# A "geo" URI (RFC 5870): latitude, longitude, and perhaps a height and parameters.
_GEO = re.compile(r"geo:([+-]?[\d.]+,[+-]?[\d.]+)(?:,[+-]?[\d.]+)?(?:;.*)?")
_SCIENTIFIC = re.compile(r"\d\s?e[+-]\d")  # 4.1E+05
_KNOWN = frozenset("nsew+,;/|°'\":-")
_LATITUDE_ONLY = re.compile(r"[\d\s°'\"]+(?:\.\d+)?[\s'\"]*[ns]")
_NOTHING = re.compile(r"0+(?:\.0*)?[\s,;/]+[+-]?0+(?:\.0*)?")
_TOKEN = re.compile(r"\d+(?:\.\d+)?|\.\d+|[nsew+,;/|°'\":-]|\s+|.")
_WITHIN = re.compile(
    r"(?<![\w.])([+-]?\d{1,2}\.\d{3,})\s?°?\s?([ns]?)\s?[,;\s]\s?([+-]?\d{1,3}\.\d{3,})\s?°?\s?([ew]?)(?![\w.])"
)
# One coordinate with its letter behind or in front, among words: at least a sign or a decimal.
_ONE = r"\d{1,3}(?:\.\d+\s?°?|\s?°(?:\s?\d{1,2}(?:\.\d+)?\s?'?(?:\s?\d{1,2}(?:\.\d+)?\s?\")?)?)"
# "lat=54.6621&lon=-2.8134" in an address.
_LABELLED = re.compile(
    r"(?<![a-z])lat[a-z]*[=:\s\"']{1,4}[+-]?\d{1,2}\.\d+[^\d+-]{1,4}(?<![a-z])l(?:on|ng)[a-z]*[=:\s\"']{1,4}"
    r"[+-]?\d{1,3}\.\d+(?![\d.])"
)
_LETTERED = [
    re.compile(rf"(?<![\w.]){one}[\s,;/-]{{0,3}}{two}(?![\w])")
    for one, two in (
        (rf"{_ONE}\s?[ns]\b\.?", rf"{_ONE}\s?[ew]"),
        (rf"[ns]\s?{_ONE}", rf"[ew]\s?{_ONE}"),
        (rf"{_ONE}\s?[ew]\b\.?", rf"{_ONE}\s?[ns]"),
    )
]

# The corner points of a box round Britain, Ireland and the Channel Islands, in degrees.
_SOUTH, _NORTH, _WEST, _EAST = 48.9, 61.1, -11.0, 2.2


@dataclass(frozen=True, slots=True)
class Degrees:
    """A position in decimal degrees, north and east positive, in the datum it was given in."""

    latitude: float
    longitude: float


def _in_these_islands(latitude: float, longitude: float) -> bool:
    return _SOUTH <= latitude <= _NORTH and _WEST <= longitude <= _EAST


def check(latitude: float, longitude: float, notes: list[str]) -> Degrees:
    """Hold two numbers to the bounds of the Earth and to these islands.

    Raises:
        PlaceError: `zero`, `swapped` or `out_of_bounds`.
    """
    here = f"latitude {latitude:g}, longitude {longitude:g}"
    if latitude == 0 and longitude == 0:
        raise PlaceError("zero", "latitude and longitude are both zero")
    inside = _in_these_islands(latitude, longitude)
    if not inside and _in_these_islands(longitude, latitude):
        raise PlaceError("swapped", f"{here} lies far off; exchanged it lies in these islands")
    if not (-90 <= latitude <= 90 and -180 <= longitude <= 180):
        raise PlaceError("out_of_bounds", f"{here} lies nowhere on Earth")
    if not inside:
        notes.append("the position lies outside Britain and Ireland")
    return Degrees(latitude, longitude)


def _value(tokens: list[str], text: str) -> tuple[float, str]:
    """One coordinate from its tokens: degrees with their sign, and N, S, E, W or ''."""
    numbers = [token for token in tokens if _is_number(token)]
    letters = [token for token in tokens if token in "nsew"]
    minus = tokens.count("-") == 1 and tokens.index("-") < tokens.index(numbers[0])
    if len(letters) > 1 or len(numbers) > 3 or (tokens.count("-") and not minus):
        raise PlaceError("unreadable", f"{text!r} is no pair of coordinates")
    if any("." in number for number in numbers[:-1]):
        raise PlaceError("ambiguous", f"{text!r} has decimals before its last number")
    whole = numbers[0].partition(".")[0]
    if len(numbers) == 1 and letters and 4 <= len(whole) <= 7:
        numbers = _unpack(numbers[0], whole)
    parts = [float(number) for number in numbers] + [0.0, 0.0]
    if parts[1] >= 60 or parts[2] >= 60:
        raise PlaceError("out_of_bounds", f"{text!r} has sixty minutes or seconds or more")
    letter = letters[0] if letters else ""
    if minus and letter == "n":
        raise PlaceError("ambiguous", f"{text!r} is negative and N at once")
    size = parts[0] + parts[1] / 60 + parts[2] / 3600
    return (-size if minus or letter in ("s", "w") else size), letter


def _unpack(number: str, whole: str) -> list[str]:
    """Digits run together: 513004 is 51° 30′ 04″, 0011404 is 1° 14′ 4″, 5130.07 is 51° 30.07′."""
    fraction = number[len(whole) :]
    if len(whole) <= 5:
        return [whole[:-2], whole[-2:] + fraction]
    return [whole[:-4], whole[-4:-2], whole[-2:] + fraction]


def _split(tokens: list[str]) -> int:
    """Where the second coordinate begins among the tokens; 0 where nothing tells."""
    at = [i for i, token in enumerate(tokens) if _is_number(token)]
    letters = [i for i, token in enumerate(tokens) if token in "nsew"]
    if len(letters) == 2 and not letters[0] < at[0] <= at[-1] < letters[1]:
        return letters[1] if letters[0] < at[0] else letters[0] + 1
    degrees = [i for i, token in enumerate(tokens) if token == "°"]
    if len(degrees) == 2:
        second = max((i for i in at if i < degrees[1]), default=0)
        return second - 1 if tokens[second - 1] in "+-" else second
    marks = [i for i, token in enumerate(tokens) if token in ",;/|"]
    if len(marks) == 1:
        return marks[0]
    signs = [i for i, token in enumerate(tokens) if token in "+-" and i > at[0]]
    if len(signs) == 1:
        return signs[0]
    if len(at) % 2 == 0 and len(at) <= 6:
        return at[len(at) // 2]
    return 0


def _by_labels(tokens: list[str]) -> tuple[list[str], list[str]]:
    """The two coordinates, each with its label in front ("lat. 54°, long. 2°") or behind it."""
    one, other = (i for i, token in enumerate(tokens) if token in (LAT, LON))
    behind = any(map(_is_number, tokens[:one]))
    middle = one + 1 if behind else other
    if not behind and tokens[other - 1] in "nsew":
        # "N. lat. 54°, W. long. 2°": the letter in front of the second label is the second's.
        middle -= sum(token in "nsew" for token in tokens[:other]) == 2
    marks = (LAT, LON)
    return (
        [token for token in tokens[:middle] if token not in marks],
        [token for token in tokens[middle:] if token not in marks],
    )


def read_latlon(text: str, notes: list[str]) -> Degrees | None:
    """Read a text that is a latitude and longitude; None where it is nothing like that.

    The text has its quotes, primes, dashes and degree signs already made plain.

    Raises:
        PlaceError: it is like a position but cannot be one.
    """
    low = text.lower()
    if match := _WKT.fullmatch(low):
        return check(float(match[2]), float(match[1]), notes)
    if _SCIENTIFIC.search(low):
        raise PlaceError("unreadable", f"{text!r} is a number that a spreadsheet has shortened")
    low = _GEO.sub(r"\1", low)
    labelled, labels = labels_marked(low)
    low = labels_off(labelled)
    if not labels and _begins_with_square(low):
        return None
    low = unified(low, notes)
    if _NOTHING.fullmatch(low):
        return check(0.0, 0.0, notes)
    tokens = _tokens(low)
    numbers = [token for token in tokens if _is_number(token)]
    if not numbers or not _like_degrees(tokens, numbers, bool(labels)):
        return None
    if len(numbers) == 1 and not re.match(r"[a-z]{3}", low):
        raise PlaceError("half_a_coordinate", f"{text!r} has one readable coordinate only")
    if any(not _is_number(token) and token not in _KNOWN for token in tokens):
        return None
    if len(numbers) <= 3 and _LATITUDE_ONLY.fullmatch(low):
        raise PlaceError("half_a_coordinate", f"{text!r} is a latitude only")
    if len(labels) > 1 and len({*labels}) == 1:
        raise PlaceError("half_a_coordinate", f"{text!r} names one of the two coordinates twice")
    if len(labels) == 2:
        first, second = _by_labels(_tokens(unified(labelled, [])))
    else:
        middle = _split(tokens)
        first, second = tokens[:middle], tokens[middle:]
    if not any(map(_is_number, first)) or not any(map(_is_number, second)):
        raise PlaceError("ambiguous", f"{text!r} does not divide into latitude and longitude")
    return _pair(first, second, "".join(labels), text, notes)


def _tokens(text: str) -> list[str]:
    return [token for token in _TOKEN.findall(text) if not token.isspace()]


def _is_number(token: str) -> bool:
    return token[0].isdigit() or (token[0] == "." and token != ".")


def _begins_with_square(text: str) -> bool:
    """Whether letters of a grid square stand in front, and not north, south, east or west."""
    if not (match := re.match(r"([a-z])(\s?[a-z])?[^a-z\d]*\d", text)):
        return False
    if match[2] or match[1] not in "nsew":
        return True
    # "N 51.50" may be half a position or an Irish square with a point between its halves.
    return not re.match(r"[nsew]\s*\d.*[nsew]\W*\d|[nsew]\s*\d{1,3}(?:\.\d+$|\s?°)", text)


def _like_degrees(tokens: list[str], numbers: list[str], labelled: bool) -> bool:
    """Whether the tokens can be meant as degrees rather than as digits without letters."""
    if labelled or {"°", '"', "'"} & {*tokens} or tokens[0] in "nsew":
        return True
    letters = {token for token in tokens if token in "nsew"}
    if letters & {*"ns"} and letters & {*"ew"} and tokens[0][0].isdigit():
        return True
    return (
        any("." in number for number in numbers)
        or "-" in tokens
        or tokens[0] == "+"
        or tokens[-1] in "nsew"
    )


def _pair(first: list[str], second: list[str], labels: str, text: str, notes: list[str]) -> Degrees:
    """Put two coordinates together, each read from its tokens, in whichever order they came."""
    (one, letter), (two, other) = _value(first, text), _value(second, text)
    reverse = labels.startswith(LON)
    kinds = ("ew", "ns") if reverse else ("ns", "ew")
    if len(labels) == 2 and not (letter in ("", *kinds[0]) and other in ("", *kinds[1])):
        raise PlaceError("ambiguous", f"{text!r} has a letter that belies its word")
    if letter and other and (letter in "ns") == (other in "ns"):
        raise PlaceError("ambiguous", f"{text!r} has two of the same kind of coordinate")
    if other and other in "ns" and not letter:
        raise PlaceError("half_a_coordinate", f"{text!r} is one coordinate only")
    if reverse or letter in ("e", "w") or (other and other in "ns"):
        one, two, letter, other, second = two, one, other, letter, first
    sexagesimal = sum(token[0].isdigit() for token in second) > 1
    if not other and two and not {*second} & {*"+-"} and (letter or sexagesimal):
        raise PlaceError("ambiguous", f"{text!r} does not say whether it is east or west")
    found = check(one, two, notes)
    packed = any(len(token.partition(".")[0]) > 3 for token in (*first, *second))
    if packed and not _in_these_islands(one, two):
        raise PlaceError("ambiguous", f"{text!r} has its degrees and minutes run together")
    return found


def find_latlon(text: str, notes: list[str]) -> Degrees | None:
    """Find the one pair that stands among words: decimal degrees (three decimals or more), or
    degrees with N or S and E or W.

    Raises:
        PlaceError: `several` pairs stand there, or the pair is impossible.
    """
    low = text.lower().replace("''", '"')
    lettered = [match[0] for pattern in (*_LETTERED, _LABELLED) for match in pattern.finditer(low)]
    pairs = lettered or [match[0] for match in _WITHIN.finditer(low)]
    if len(pairs) > 1:
        raise PlaceError("several", f"{text!r} holds several positions")
    for pair in pairs:
        notes.append("the position was read from among other words")
        return read_latlon(pair, notes)
    return None


def read_one(text: str, axis: str) -> float:
    """Read one coordinate of a column of its own.

    Args:
        text: with its signs made plain.
        axis: `latitude` or `longitude`.

    Raises:
        PlaceError: `half_a_coordinate`, `out_of_bounds`, `ambiguous`, `unreadable` or `swapped`.
    """
    if _SCIENTIFIC.search(text.lower()):
        raise PlaceError("unreadable", f"the {axis} {text!r} was shortened by a spreadsheet")
    low = unified(labels_off(labels_marked(text.lower())[0]), [])
    tokens = _tokens(re.sub(r"^([+-]?\s*\d+),(\d+)(?=\D*$)", r"\1.\2", low))
    if not any(map(_is_number, tokens)):
        raise PlaceError("half_a_coordinate", f"the {axis} {text!r} is no number")
    if any(not _is_number(token) and (token not in _KNOWN or token in ",;/|") for token in tokens):
        raise PlaceError("unreadable", f"the {axis} {text!r} is no coordinate")
    value, letter = _value(tokens, text)
    if letter and (letter in "ns") != (axis == "latitude"):
        raise PlaceError("swapped", f"the {axis} {text!r} ends in {letter.upper()}")
    return value
