"""Latitude and longitude as people write them, to decimal degrees."""

from __future__ import annotations

import re
from dataclasses import dataclass

from crossproof.parse.place_error import PlaceError

# One letter for a unit only in front of more of the position: M and D end tetrads too.
_MORE = r"(?=\s*(?:\d|[nsew]\b))"
_WORDS = [
    (re.compile(rf"\s*(?:\b|(?<=\d))(?:degrees?|degs?)\b\.?|(?<=\d)\s*d{_MORE}"), "°"),
    (re.compile(rf"(?<=\d)\s*(?:minutes?|mins?)\b\.?|(?<=\d)\s*m{_MORE}"), "'"),
    (re.compile(r"(?<=\d)\s*(?:seconds?|secs?)\b\.?|(?<=\d)\s*s(?=\s*[nsew]\b)"), '"'),
    (re.compile(r"\bnorth\b"), "n"),
    (re.compile(r"\bsouth\b"), "s"),
    (re.compile(r"\beast\b"), "e"),
    (re.compile(r"\bwest\b"), "w"),
]
_WKT = re.compile(r"point\s*\(\s*([+-]?\d+(?:\.\d+)?)\s+([+-]?\d+(?:\.\d+)?)\s*\)")
_LABELS = re.compile(r"(?<![a-z])(?:(lat)(?:itude)?|(lon|lng)(?:g(?:itude)?)?)\b\.?\s*[:=]?\s*")
# Dots or dashes between degrees, minutes and seconds: "51.30.04N", "51-30-04 N", "51-30N".
_JOINED = re.compile(
    r"(?<![\d.-])(\d{1,3})[.-](\d{1,2})[.-](\d{1,2}(?:\.\d+)?)(?=\s*[nsew])"
    r"|(?<![\d.-])(\d{1,3})-(\d{1,2}(?:\.\d+)?)(?=\s*[nsew])"
)
_KNOWN = frozenset("nsew+,;/|°'\":-")
_LATITUDE_ONLY = re.compile(r"[\d\s°'\"]+(?:\.\d+)?[\s'\"]*[ns]")
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
    at = [i for i, token in enumerate(tokens) if _is_number(token)]
    letters = [i for i, token in enumerate(tokens) if token in "nsew"]
    if len(letters) == 2:
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
    labels = [m[1] or m[2] for m in _LABELS.finditer(low)]
    low = _LABELS.sub(" ", low)
    if not labels and _begins_with_square(low):
        return None
    low = _unified(low, notes)
    if _NOTHING.fullmatch(low):
        return check(0.0, 0.0, notes)
    tokens = _tokens(low)
    numbers = [token for token in tokens if _is_number(token)]
    if not numbers or not _like_degrees(tokens, numbers, bool(labels)):
        return None
    if len(numbers) == 1:
        raise PlaceError("half_a_coordinate", f"{text!r} has one readable coordinate only")
    if any(not _is_number(token) and token not in _KNOWN for token in tokens):
        return None
    if len(numbers) <= 3 and _LATITUDE_ONLY.fullmatch(low):
        raise PlaceError("half_a_coordinate", f"{text!r} is a latitude only")
    middle = _split(tokens)
    first, second = tokens[:middle], tokens[middle:]
    if not any(map(_is_number, first)) or not any(map(_is_number, second)):
        raise PlaceError("ambiguous", f"{text!r} does not divide into latitude and longitude")
    return _pair(first, second, bool(labels) and labels[0] != "lat", text, notes)


def _unified(text: str, notes: list[str]) -> str:
    """One way of writing units, seconds, joined parts and decimal marks; in lower case."""
    for pattern, sign in _WORDS:
        text = pattern.sub(sign, text)
    text = text.replace("''", '"').strip(" ()[],;./")
    text = _JOINED.sub(lambda m: " ".join(part for part in m.groups() if part), text)
    text = re.sub(r"(\d),(\d+)(?=\s*[\"'])", r"\1.\2", text)
    if "." not in text and (match := _COMMAS.fullmatch(text)):
        notes.append("commas were read as decimal marks")
        return f"{match[1]}.{match[2]}{match[3]}{match[4]}.{match[5]}{match[6]}"
    return text


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


def _pair(
    first: list[str], second: list[str], reverse: bool, text: str, notes: list[str]
) -> Degrees:
    """Put two coordinates together, each read from its tokens, in whichever order they came."""
    (one, letter), (two, other) = _value(first, text), _value(second, text)
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
    low = _unified(_LABELS.sub(" ", text.lower()), [])
    tokens = _tokens(re.sub(r"^([+-]?\s*\d+),(\d+)(?=\D*$)", r"\1.\2", low))
    if not any(map(_is_number, tokens)):
        raise PlaceError("half_a_coordinate", f"the {axis} {text!r} is no number")
    if any(not _is_number(token) and (token not in _KNOWN or token in ",;/|") for token in tokens):
        raise PlaceError("unreadable", f"the {axis} {text!r} is no coordinate")
    value, letter = _value(tokens, text)
    if letter and (letter in "ns") != (axis == "latitude"):
        raise PlaceError("swapped", f"the {axis} {text!r} ends in {letter.upper()}")
    return value
