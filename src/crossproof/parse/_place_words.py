"""The words and signs around a written place: made plain, taken off, and remembered."""

from __future__ import annotations

import html
import math
import re
import unicodedata
from dataclasses import dataclass, field
from functools import cache

from crossproof.parse.grid import is_square
from crossproof.parse.place_error import vocabulary

# Signs that went through a wrong encoding (UTF-8 read as Windows-1252), longest first.
_MANGLED = [
    ("Ã‚Â°", "°"),
    ("Â°", "°"),
    ("Âº", "°"),
    ("Ëš", "°"),
    ("â€²", "'"),
    ("â€³", '"'),
    ("â€™", "'"),
    ("â€˜", "'"),
    ("â€œ", '"'),
    ("â€\x9d", '"'),
    ("â€", '"'),
    ("âˆ’", "-"),
    ("â€“", "-"),
    ("Â", " "),
]
_SIGNS = str.maketrans(
    {
        **dict.fromkeys("ºᵒ˚⁰∘", "°"),
        **dict.fromkeys("′’‘´`ʹʼ‛", "'"),
        **dict.fromkeys("″”“ʺ〃‟", '"'),
        **dict.fromkeys("−–—‐‑‒―﹣－", "-"),
        **dict.fromkeys("\u200b\u200c\u200d\ufeff\u200e\u200f", ""),
        "，": ",",
        "：": ":",
    }
)
# A degree sign lost in an encoding leaves a question mark or U+FFFD between digits and minutes.
_LOST_DEGREE = re.compile(r"(?<=\d)\s?[?\ufffd](?=\s?\d[\d.\s]*['\"nsewNSEW]|\s?[nsewNSEW]\b)")
_WITHIN_M = re.compile(
    r"\(?\s*(?:±|\+\s?/?\s?-)\s*(\d+(?:\.\d+)?)\s*(k?m)(?:et(?:re|er)s?)?\b\s*\)?", re.I
)
# The size of the square said behind it: "SU 12 (10 km)". Only sizes people use.
_SIZE = re.compile(r"[\s(]+((?:1|2|5|10|50|100)\s?km|(?:1|5|10|50|100|1000)\s?m)[\s).]*$", re.I)
# The zone in front of the lettered squares of the Channel Islands.
_ZONE = re.compile(r"^(?:utm\s*)?30\s?u\s?(?=w\s?[va])", re.IGNORECASE)
# The kind of square said between hectad and suffix: "TQ38 tetrad J".
_MIDDLE = re.compile(r"(?<=\d)[\s,(]+(?:tetrad|quadrant|quad)\s+", re.IGNORECASE)
_DOTTED = re.compile(r"(?<![A-Za-z])(?:[A-Za-z]\.){2,}(?![A-Za-z])")


@dataclass(slots=True)
class Bare:
    """A written place without the words round it."""

    text: str
    system: str = ""  # a key of `[words.systems]`, where one is named
    named_by: str = ""
    within_m: float = 0.0  # an uncertainty the writer stated
    notes: list[str] = field(default_factory=list)


def plain(text: str) -> str:
    """Make degree signs, primes, dashes, spaces and mangled signs plain.

    Two primes in a row stay two primes: they may be seconds.
    """
    if not text.isascii():
        for mangled, sign in _MANGLED:
            text = text.replace(mangled, sign)
        text = text.translate(_SIGNS)
        text = unicodedata.normalize("NFKC", text).translate(_SIGNS)
    text = html.unescape(text) if "&" in text else text
    text = _LOST_DEGREE.sub("°", text) if "?" in text or "\ufffd" in text else text
    return " ".join(text.split())


@cache
def _patterns() -> tuple[re.Pattern[str], re.Pattern[str], dict[str, str]]:
    words = vocabulary()["words"]
    systems = {word: key for key, several in words["systems"].items() for word in several}

    def choice(*groups: object) -> str:
        every = {word for group in groups for word in group}  # type: ignore[attr-defined]
        longest_first = sorted(every, key=lambda word: (-len(word), word))
        return "|".join(re.escape(word).replace(r"\ ", r"\s*") for word in longest_first)

    front = choice(words["before"], words["near"], systems)
    back = choice(words["after"], systems)
    return (
        re.compile(rf"[\s(\[]*({front})(?:(?<=~)|(?![a-z]))[\s.:;=)\]-]*", re.IGNORECASE),
        re.compile(rf"[\s,;(\[-]+({back})[\s.)\]]*$", re.IGNORECASE),
        {re.sub(r"\s", "", word): key for word, key in systems.items()},
    )


def _may_go(word: str, rest: str) -> bool:
    """Whether a word in front is only a word: `nr`, `c` and `st` are grid letters too."""
    if not rest:
        return False
    if word == "~" or not is_square(word.upper()):
        return True
    return rest[0].isalpha() or bool(re.match(r"[+-]?\d+\.\d+\D", rest))


def bare(text: str) -> Bare:
    """Take off what stands round a reference: `NGR`, `c.`, `(OSGB36)`, `± 50 m`, `?`."""
    found = Bare(plain(text))
    front, back, systems = _patterns()
    if match := _WITHIN_M.search(found.text):
        found.within_m = float(match[1]) * (1000 if match[2].lower() == "km" else 1)
        found.text = (found.text[: match.start()] + " " + found.text[match.end() :]).strip()
    if found.text.endswith("?") and len(found.text) > 1:
        found.text = found.text.rstrip("? ")
        found.notes.append("a question mark behind the place was disregarded")
    if match := _SIZE.search(found.text):
        size = match[1].lower()
        side = float(re.sub(r"\D", "", size)) * (1000 if "k" in size else 1)
        found.within_m = max(found.within_m, side / math.sqrt(2))
        found.text = found.text[: match.start()]
    found.text = _MIDDLE.sub(" ", found.text)
    found.text = _DOTTED.sub(lambda m: m[0].replace(".", ""), found.text).strip(" \"'")
    if found.text[:1] + found.text[-1:] in ("()", "[]"):
        found.text = found.text[1:-1].strip()
    found.text = _ZONE.sub("", found.text)
    near = vocabulary()["words"]["near"]
    for pattern in (front, front, front, front, back, back, back):
        match = pattern.match(found.text) if pattern is front else pattern.search(found.text)
        if not match:
            continue
        rest = found.text[match.end() :] if pattern is front else found.text[: match.start()]
        word = match[1].lower()
        if pattern is front and not _may_go(word, rest):
            continue
        found.text = rest.strip()
        key = re.sub(r"\s", "", word)
        if key in systems:
            found.system, found.named_by = systems[key], key
        elif word in near:
            found.notes.append(
                f"{match[1]!r} was read as near by, and does not widen the uncertainty"
            )
    return found
