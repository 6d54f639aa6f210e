"""Latitude and longitude as people write them, to decimal degrees."""

from __future__ import annotations

import re
from dataclasses import dataclass

from crossproof.parse.place_error import PlaceError

_WORDS = [
    (re.compile(r"\b(?:degrees?|degs?|d)\b\.?|(?<=\d)\s*(?:degrees?|degs?|d)(?![a-z])\.?"), "°"),
    (re.compile(r"(?<=\d)\s*(?:minutes?|mins?|m)(?![a-z])\.?"), "'"),
    (re.compile(r"(?<=\d)\s*(?:seconds?|secs?|sec|s(?=\s*[nsew]))(?![a-z])\.?"), '"'),
    (re.compile(r"\bnorth\b"), "n"),
    (re.compile(r"\bsouth\b"), "s"),
    (re.compile(r"\beast\b"), "e"),
    (re.compile(r"\bwest\b"), "w"),
]
_WKT = re.compile(r"point\s*\(\s*([+-]?[\d.]+)\s+([+-]?[\d.]+)\s*\)")
_LABELS = re.compile(r"(?<![a-z])(?:(lat)(?:itude)?|(lon|lng)(?:g(?:itude)?)?)\b\.?\s*[:=]?\s*")
# Dots or dashes between degrees, minutes and seconds: "51.30.04N", "51-30-04 N", "51-30N".
_JOINED = re.compile(
    r"(?<![\d.-])(\d{1,3})[.-](\d{1,2})[.-](\d{1,2}(?:\.\d+)?)(?=\s*[nsew])"
    r"|(?<![\d.-])(\d{1,3})-(\d{1,2}(?:\.\d+)?)(?=\s*[nsew])"
)
_NOTHING = re.compile(r"0+(?:\.0*)?[\s,;/]+[+-]?0+(?:\.0*)?")
_TOKEN = re.compile(r"\d+(?:\.\d+)?|\.\d+|[nsew+,;/|°'\":-]|\s+|.")
# Two numbers with decimal commas: "51,5012 -1,2345", "51,5012; -1,2345", "51,5012, -1,2345".
_COMMAS = re.compile(
    r"([^\d,]*\d{1,3}),(\d+)([^\d,]*(?:[;/|\s]|[nsew°]\s?,|,\s)[^\d,]*)(\d{1,3}),(\d+)([^\d,]*)"
)
_WITHIN = re.compile(
    r"(?<![\w.])([+-]?\d{1,2}\.\d{3,})\s?°?\s?([ns]?)\s?[,;\s]\s?([+-]?\d{1,3}\.\d{3,})\s?°?\s?([ew]?)(?![\w.])"
)

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
    numbers = [token for token in tokens if token[0].isdigit() or token[0] == "."]
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
    if minus and letter in ("n", "e"):
        raise PlaceError("ambiguous", f"{text!r} is negative and {letter.upper()} at once")
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
    at = [i for i, token in enumerate(tokens) if token[0].isdigit() or token[0] == "."]
    letters = [i for i, token in enumerate(tokens) if token in "nsew"]
    if len(letters) == 2:
        return letters[1] if letters[0] < at[0] else letters[0] + 1
    degrees = [i for i, token in enumerate(tokens) if token == "°"]
    if len(degrees) == 2:
        second = max(i for i in at if i < degrees[1])
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


def read_latlon(text: str, notes: list[str]) -> Degrees | None:
    """Read a text that is a latitude and longitude; None where it is nothing like that.

    The text has its quotes, primes, dashes and degree signs already made plain.

    Raises:
        PlaceError: it is like a position but cannot be one.
    """
    low = text.lower()
    if match := _WKT.fullmatch(low):
        return check(float(match[2]), float(match[1]), notes)
    low = low.removeprefix("geo:")
    reverse = False
    labels = [m[1] or m[2] for m in _LABELS.finditer(low)]
    if labels:
        reverse = labels[0] != "lat"
        low = _LABELS.sub(" ", low)
    for pattern, plain in _WORDS:
        low = pattern.sub(plain, low)
    low = low.replace("''", '"').strip(" ()[],;.")
    if _NOTHING.fullmatch(low):
        return check(0.0, 0.0, notes)
    low = _JOINED.sub(lambda m: " ".join(part for part in m.groups() if part), low)
    low = re.sub(r"(\d),(\d+)(?=\s*[\"'])", r"\1.\2", low)
    if "." not in low and (match := _COMMAS.fullmatch(low)):
        low = f"{match[1]}.{match[2]}{match[3]}{match[4]}.{match[5]}{match[6]}"
        notes.append("commas were read as decimal marks")
    tokens = [token for token in _TOKEN.findall(low) if not token.isspace()]
    numbers = [
        token for token in tokens if token[0].isdigit() or (token[0] == "." and token != ".")
    ]
    if not numbers or not _like_degrees(tokens, numbers, low, bool(labels)):
        return None
    if any(len(token) == 1 and token not in "0123456789nsew+,;/|°'\":-" for token in tokens):
        if len(numbers) == 1:
            raise PlaceError("half_a_coordinate", f"{text!r} has one readable coordinate only")
        return None
    if len(numbers) == 1:
        raise PlaceError("half_a_coordinate", f"{text!r} is one coordinate only")
    if re.fullmatch(r"\d+\s?,\s?\d+", low):
        raise PlaceError("ambiguous", f"{text!r} may be two whole degrees or one with a comma")
    middle = _split(tokens)
    first, second = tokens[:middle], tokens[middle:]
    if not all(
        any(token[0].isdigit() or token[0] == "." for token in half) for half in (first, second)
    ):
        raise PlaceError("ambiguous", f"{text!r} does not divide into latitude and longitude")
    return _pair(first, second, reverse, text, notes)


def _like_degrees(tokens: list[str], numbers: list[str], text: str, labelled: bool) -> bool:
    """Whether the tokens can be meant as degrees rather than as a grid reference."""
    if labelled or "°" in tokens or '"' in tokens or "'" in tokens:
        return True
    letters = "".join(token for token in tokens if token in "nsew")
    begins = tokens[0][0].isdigit() or tokens[0] in "+-."
    if len(letters) == 2 and {*letters} & {*"ns"} and {*letters} & {*"ew"}:
        # "N 51.5 W 1.2" and "51.5 N 1.2 W", but not the square SE nor the quadrant NW.
        return bool(re.search(r"\d\s*[nsew]?\s*[,;/]?\s*[nsew]?\s*[+-]?\s*\d", text)) and (
            begins or bool(re.match(r"[nsew]\s*\d.*[nsew]\s*\d", text))
        )
    if not begins and re.fullmatch(r"[nsew]\s*\d{1,3}\.\d+", text):
        # "N 51.50" may be half a position or an Irish square with a point between its halves.
        return True
    return begins and (
        any("." in number for number in numbers) or tokens[0] in "+-" or "-" in tokens
    )


def _pair(
    first: list[str], second: list[str], reverse: bool, text: str, notes: list[str]
) -> Degrees:
    """Put two coordinates together, each read from its tokens, in whichever order they came."""
    (one, letter), (two, other) = _value(first, text), _value(second, text)
    if letter and other and (letter in "ns") == (other in "ns"):
        raise PlaceError("ambiguous", f"{text!r} has two of the same kind of coordinate")
    if reverse or letter in ("e", "w") or other in ("n", "s"):
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
    """Find the one pair of decimal degrees (three decimals or more) that stands among words.

    Raises:
        PlaceError: `several` pairs stand there, or the pair is impossible.
    """
    found = list(_WITHIN.finditer(text.lower()))
    if len(found) > 1:
        raise PlaceError("several", f"{text!r} holds several positions")
    for match in found:
        latitude, longitude = float(match[1]), float(match[3])
        notes.append("the position was read from among other words")
        return check(
            -latitude if match[2] == "s" else latitude,
            -abs(longitude) if match[4] == "w" else longitude,
            notes,
        )
    return None


def read_one(text: str, axis: str) -> float:
    """Read one coordinate of a column of its own.

    Args:
        text: with its signs made plain.
        axis: `latitude` or `longitude`.

    Raises:
        PlaceError: `half_a_coordinate`, `out_of_bounds`, `ambiguous`, `unreadable` or `swapped`.
    """
    low = text.lower()
    for pattern, plain in _WORDS:
        low = pattern.sub(plain, _LABELS.sub(" ", low))
    low = low.replace("''", '"').strip(" ()[];")
    low = re.sub(r"^([+-]?\s*\d+),(\d+)(?=\D*$)", r"\1.\2", low)
    tokens = [token for token in _TOKEN.findall(low) if not token.isspace()]
    numbers = [
        token for token in tokens if token[0].isdigit() or (token[0] == "." and token != ".")
    ]
    if not numbers:
        raise PlaceError("half_a_coordinate", f"the {axis} {text!r} is no number")
    if any(len(token) == 1 and token not in "0123456789nsew+°'\":-" for token in tokens):
        raise PlaceError("unreadable", f"the {axis} {text!r} is no coordinate")
    value, letter = _value(tokens, text)
    if letter and (letter in "ns") != (axis == "latitude"):
        raise PlaceError("swapped", f"the {axis} {text!r} ends in {letter.upper()}")
    return value
