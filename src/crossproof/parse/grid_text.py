"""Grid references as people write them, to squares."""

from __future__ import annotations

import re

from crossproof.parse.grid import Grid, Square, is_square, square, square_at
from crossproof.parse.place_error import PlaceError, vocabulary

_GAP = r"[\s.,:;/_()\[\]-]*"
_REFERENCE = re.compile(
    rf"(?P<letters>[A-Za-z]\s?[A-Za-z]?){_GAP}"
    rf"(?P<digits>\d(?:{_GAP}\d)*)?{_GAP}"
    rf"(?P<suffix>[NSns]\.?\s?[EWew]\.?|[A-Za-z])?{_GAP}"
)
# Letters that a scan or a hurried hand puts for digits, between or behind real ones.
_MISREAD = re.compile(r"(?<=\d)[OoIl|](?=[\dOoIl|]*[\s.,-]*\d)|(?<=\s)[OoIl|](?=\d)")
_AS_DIGIT = str.maketrans("OoIl|", "00111")
_NUMBER = r"((?!00)\d{5,7}(?:\.\d+)?)"
_PAIR = re.compile(
    r"(?P<first>eastings?|northings?|[exny])?\s*[:=]?\s*"
    + _NUMBER
    + r"\s*(?:m\s?)?(?P<one>[en])?m?"
    r"\s*[,;/\s]\s*"
    r"(?P<second>eastings?|northings?|[exny])?\s*[:=]?\s*"
    + _NUMBER
    + r"\s*(?:m\s?)?(?P<two>[en])?m?",
    re.IGNORECASE,
)
_THOUSANDS = re.compile(r"(?<![\d.,])(\d{1,3}),(\d{3})(?=\D+\d{1,3},\d{3}$|$)")
# References of before the letters: "41/123456" is SU 123 456 (east 4, north 1).
_NUMBERED = re.compile(r"(\d)(\d)\s?/\s?(\d[\d .-]*\d)\s?([NSns][EWew]|[A-Za-z])?")
# "382 715 SU", "478721 (SD)"; "SU(41) 382 715": the square by letters and by figures.
_LETTERS_BEHIND = re.compile(
    r"(?P<digits>\d{2,5}[\s.,/-]+\d{2,5}|\d{4,10})[\s,]*[(\[]?(?P<letters>[A-Z]{2})[)\]]?"
)
_BOTH_WAYS = re.compile(
    r"(?P<letters>[A-Za-z]{2})\s?[(\[/]\s?(?P<east>\d)\s?(?P<north>\d)\s?[)\]/]\s?(?=\d)"
)


class _FullMetres(Exception):
    """The digits are an easting and northing from the grid's own origin, in metres."""

    def __init__(self, easting: float, northing: float) -> None:
        super().__init__()
        self.easting = easting
        self.northing = northing


def halves(text: str, digits: str, notes: list[str]) -> tuple[str, str]:
    """Divide the digits of a reference into easting and northing.

    Raises:
        PlaceError: `odd_digits`, `uneven_halves` or `too_many_digits`.
    """
    groups = re.findall(r"\d+", digits)
    joined = "".join(groups)
    if len(groups) == 2 and len(groups[0]) == 6 and len(groups[1]) in (6, 7):
        raise _FullMetres(float(groups[0]), float(groups[1]))
    if len(joined) % 2:
        raise PlaceError("odd_digits", f"{text!r} has {len(joined)} digits, an odd number")
    if len(joined) > 10:
        raise PlaceError("too_many_digits", f"{text!r} has {len(joined)} digits")
    half = len(joined) // 2
    reached = 0
    for group in groups:
        reached += len(group)
        if reached >= half:
            break
    if reached != half and len(groups) > 1:
        if len(groups) == 2 or len({len(group) for group in groups}) > 1:
            raise PlaceError(
                "uneven_halves",
                f"{text!r} has its digits in groups that do not make an easting and a northing",
            )
        notes.append("the spaces between the digits were disregarded")
    return joined[:half], joined[half:]


def _from_match(text: str, match: re.Match[str], notes: list[str]) -> Square:
    letters = re.sub(r"\s", "", match["letters"]).upper()
    suffix = re.sub(r"[\s.]", "", match["suffix"] or "").upper()
    if not match["digits"]:
        if suffix:
            raise PlaceError("unreadable", f"{text!r} has letters but no digits")
        return square(letters)
    try:
        east, north = halves(text, match["digits"], notes)
    except _FullMetres as metres:
        return _agreeing(text, letters, metres.easting, metres.northing, notes)
    return square(letters, east, north, suffix)


def _agreeing(text: str, letters: str, easting: float, northing: float, notes: list[str]) -> Square:
    """Letters in front of full eastings and northings: both must mean the same square."""
    found = square_at(square(letters).grid, easting, northing)
    if not found.reference.startswith(letters):
        raise PlaceError("ambiguous", f"{text!r}: the digits do not lie in square {letters}")
    notes.append("the digits were taken for full eastings and northings in metres")
    return found


def read_reference(text: str, notes: list[str]) -> Square | None:
    """Read a text that is a lettered grid reference and nothing else.

    Appends what was taken for granted to `notes`. Returns None where the text does not begin like
    a reference at all.

    Raises:
        PlaceError: it begins like a reference but is none.
    """
    # Tenths of a metre, as handheld receivers give them, say nothing more.
    plain = re.sub(r"(?<=\d{5})\.\d+", "", text) if re.search(r"\d{5}\.\d", text) else text
    plain = _in_order(plain, notes)
    if match := _REFERENCE.fullmatch(plain):
        if not match["digits"] and not _stands_alone(plain):
            return None
        if not match["digits"] and len(match["letters"]) == 1:
            notes.append("a letter alone was taken for a 100 km square of the Irish Grid")
        return _from_match(text, match, notes)
    repaired = _MISREAD.sub(lambda m: m[0].translate(_AS_DIGIT), plain)
    if repaired != plain and (match := _REFERENCE.fullmatch(repaired)):
        notes.append("letters between the digits were read as the digits 0 and 1")
        return _from_match(text, match, notes)
    letters = re.match(r"([A-Za-z]{1,2})[\s.-]?\d", plain)
    if letters and is_square(letters[1].upper()) and len(plain) <= 14:
        # Too short to hold a reference and other words: whatever follows the digits is wrong.
        if re.fullmatch(r"[A-Za-z]{1,2}[\d\s.-]*[A-Za-z]{1,3}", plain):
            raise PlaceError("unknown_suffix", f"{text!r} ends in letters no square has")
        if re.fullmatch(r"[A-Za-z]{1,2}[\d\s.-]*[A-Za-z][\d\s.-]*", plain):
            raise PlaceError("unreadable", f"{text!r} has a letter among its digits")
    return None


def _in_order(text: str, notes: list[str]) -> str:
    """A reference with its letters behind, or with the square's figures as well, as is usual."""
    if (match := _LETTERS_BEHIND.fullmatch(text)) and is_square(match["letters"]):
        notes.append("the letters behind the digits were taken for those of the square")
        return f"{match['letters']} {match['digits']}"
    if (match := _BOTH_WAYS.match(text)) and is_square(match["letters"].upper()):
        named = square(match["letters"].upper())
        corner = (named.easting // 100_000, named.northing // 100_000)
        if corner == (int(match["east"]), int(match["north"])):
            return f"{match['letters']} {text[match.end() :]}"
    return text


def _stands_alone(text: str) -> bool:
    """Whether letters without digits are meant as a 100 km square and not as a word."""
    bare = text.strip()
    if len(bare) > 2:
        return False
    if bare.isupper():
        return is_square(bare)
    return (
        len(bare) == 2 and is_square(bare.upper()) and bare not in vocabulary()["words"]["english"]
    )


def read_pair(text: str, system: str, notes: list[str]) -> Square | tuple[float, float] | None:
    """Read an easting and northing in full metres, or a reference numbered in the old way.

    Args:
        system: `GB`, `IE`, `CI`, `ITM`, `UTM29`, `UTM30` or `UTM31` where words beside the numbers
            name one, else ''.

    Returns:
        A one-metre square; (easting, northing) for Irish Transverse Mercator and UTM; None where
        the text is neither.

    Raises:
        PlaceError: `off_grid`, `swapped`, `letters_missing` or one of the digits' reasons.
    """
    if (match := _NUMBERED.fullmatch(text)) and system in ("", "GB", "IE"):
        grid: Grid = "IE" if system == "IE" else "GB"
        whole = square_at(grid, int(match[1]) * 100_000, int(match[2]) * 100_000)
        notes.append("the two figures before the stroke were taken for the 100 km square")
        parts = halves(text, match[3], notes)
        return square(whole.reference[:-10], *parts, (match[4] or "").upper())
    if not (match := _PAIR.fullmatch(_THOUSANDS.sub(r"\1\2", text))):
        return None
    numbers = [match[2], match[5]]
    if all(len(number.partition(".")[0]) < 6 for number in numbers):
        raise PlaceError("letters_missing", f"{text!r} has digits but no letters of a square")
    axes = [
        {"e": "e", "x": "e", "n": "n", "y": "n"}.get(
            (match[label] or match[unit] or " ")[0].lower()
        )
        for label, unit in (("first", "one"), ("second", "two"))
    ]
    if axes[0] and axes[0] == axes[1]:
        raise PlaceError("ambiguous", f"{text!r} has two of the same kind of coordinate")
    if axes[0] == "n" or (axes[1] == "e" and not axes[0]):
        numbers.reverse()
    return pair(float(numbers[0]), float(numbers[1]), system, notes)


def pair(
    easting: float, northing: float, system: str, notes: list[str]
) -> Square | tuple[float, float]:
    """The square of an easting and northing in metres; for ITM and UTM the two as they are.

    In UTM zone 30 the Channel Islands have squares, with letters of their own.

    Raises:
        PlaceError: `off_grid`, or `swapped` where they fit only the other way round.
    """
    if system == "ITM":
        # Bounds of the land of Ireland in ITM, rounded outward (from memory).
        return _within(easting, northing, (400_000, 500_000, 800_000, 1_000_000), "Ireland in ITM")
    if system.startswith("UTM"):
        if system == "UTM30" and 500_000 <= easting < 600_000 and 5_400_000 <= northing < 5_520_000:
            return square_at("CI", easting, northing)
        # A zone is 6 degrees wide, some 430 km at 49 degrees; from 48.9 to 61.1 degrees north.
        return _within(
            easting,
            northing,
            (270_000, 5_416_000, 730_000, 6_780_000),
            f"these islands in {system}",
        )
    grid: Grid = "IE" if system == "IE" else "CI" if system == "CI" else "GB"
    if not system:
        notes.append("easting and northing were taken for the British National Grid's")
    if easting % 100 == 0 and northing % 100 == 0:
        notes.append("the zeros at the end were taken for measured metres")
    try:
        return square_at(grid, easting, northing)
    except PlaceError as error:
        try:
            square_at(grid, northing, easting)
        except PlaceError:
            raise error from None
        raise PlaceError(
            "swapped",
            f"easting {easting:g}, northing {northing:g} lies off the grid; "
            "exchanged they lie on it",
        ) from None


def _within(
    easting: float, northing: float, box: tuple[float, float, float, float], where: str
) -> tuple[float, float]:
    west, south, east, north = box
    if not (west <= easting <= east and south <= northing <= north):
        raise PlaceError("off_grid", f"easting {easting:g}, northing {northing:g} lies off {where}")
    return easting, northing
