"""Read a stem by its measures: `lumen 0.5 mm in a total of 6 mm`, `cavity a fifth of the stem`.

A cavity of up to a third of what surrounds it is a narrow one, of half or more a wide one; between
the two nothing is read. Alone, a cavity of up to a millimetre is narrow (from memory: the pinhole
of partly hollow stems). The words for the cavity are the signs of the state that the rulebook
grades (`slightly`), those for the whole the words of its organ.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from crossproof.model import Evidence
from crossproof.parse.remarks.states.measures import shared_words
from crossproof.rulebooks.model import Rulebook

NARROW, WIDE, NARROW_MM = 1 / 3, 1 / 2, 1.0
_FAR = 5.5
_SIZE = re.compile(r"(?<![\d.,/])(\d+(?:[.,]\d+)?)\s*mm\b", re.IGNORECASE)
_SHARE_ENDS = frozenset("hsfdr%0123456789")  # fifth, thirds, half, third, quarter
_JOINTS = (" of ", " its ", " the width", " the diam")
_WORD = re.compile(r"[^\W\d_]+")
# What is left of a stem beside its cavity: `… a fifth of the stem, the rest solid`.
_REST = re.compile(r"[^,;]*[,;]?\s*(?:and\s+)?(?:the\s+)?(?:rest|remainder|balance)\b[^,;]*", re.I)
_PITH = re.compile(r"\bpith\s+$", re.I)  # the pith cavity: no pith
_SENTENCE = re.compile(r"(?:[^.;\n]|\.(?!\s+[A-Z]|\s*$))+")


@dataclass(frozen=True, slots=True)
class Cavity:
    """The words of one character whose cavity may be measured, and the states they give."""

    character: str
    words: Mapping[str, str]  # each to `inner`, `wall`, `whole`
    wide: str
    narrow: str
    none: str


def cavities_of(rulebook: Rulebook) -> tuple[Cavity, ...]:
    """The characters of a rulebook that have a graded state with nouns of its own."""
    return tuple(
        Cavity(name, _words(said, wide), state, wide["slightly"], wide["denied"])
        for name, said in rulebook.phrases.items()
        if isinstance(said, Mapping)
        for state, wide in said.get("states", {}).items()
        if wide.get("signs") and "slightly" in wide and "denied" in wide
    )


def _words(said: Mapping[str, Any], wide: Mapping[str, Any]) -> dict[str, str]:
    own = shared_words()["cavity"]
    words = {word: "whole" for word in (*own["whole"], *said.get("organ", ())) if " " not in word}
    words |= dict.fromkeys((w for w in (*wide["signs"], *own["inner"]) if " " not in w), "inner")
    return words | dict.fromkeys(own["wall"], "wall")


def by_measure(text: str, cavities: tuple[Cavity, ...]) -> tuple[tuple[Evidence, ...], str]:
    """Return what the measures of cavities in `text` say, and the text with them blanked out."""
    found: list[Evidence] = []
    for cavity in cavities:
        for sentence in list(_SENTENCE.finditer(text)):
            if read := _read(sentence, cavity) or _read_share(sentence, cavity):
                found.append(read)
                text = f"{text[: read.start]}{' ' * (read.end - read.start)}{text[read.end :]}"
    return tuple(found), text


def _read(sentence: re.Match[str], cavity: Cavity) -> Evidence | None:
    sizes: dict[str, float] = {}
    ends: list[int] = []
    for part, size, start, end in _measures(sentence, cavity.words):
        sizes.setdefault(part, size)
        ends += [start, end]
    if "inner" not in sizes:
        return None
    state = _state(sizes, cavity)
    if not state:
        return None
    first, last = min(ends), max(ends)
    return Evidence(
        cavity.character, state, "remark", sentence.string[first:last], first, last, "stated"
    )


def _read_share(sentence: re.Match[str], cavity: Cavity) -> Evidence | None:
    """`the cavity takes up less than a fifth of the stem`, `lumen about 1/4 of stem diameter`."""
    text, offset = sentence.group(), sentence.start()
    share = _shares().search(text)
    if share is None:
        return None
    named = [m for m in _WORD.finditer(text) if m.group().lower() in cavity.words]
    named = [m for m in named if m.group().lower() != "hollow"]  # in the lower half of the stem
    parts = [cavity.words[m.group().lower()] for m in named]
    inner = [m for m, part in zip(named, parts, strict=True) if part == "inner"]
    if "whole" not in parts or not inner or inner[0].start() > share.start():
        return None
    state = _state({"inner": _value(share.group("share")), "whole": 1.0}, cavity)
    if not state:
        return None
    first, last = min(m.start() for m in named), offset + share.end()
    first = offset + (before.start() if (before := _PITH.search(text[:first])) else first)
    if rest := _REST.match(text, share.end()):
        last = offset + rest.end()
    words = sentence.string[first:last]
    return Evidence(cavity.character, state, "remark", words, first, last, "stated")


def names_share(text: str) -> bool:
    """Whether `a fifth of`, `half its` or the like may stand in a text: a cheap look beforehand."""
    if "half the " in text:
        return True
    for joint in _JOINTS:
        at = text.find(joint)
        while at >= 0:
            if text[at - 1 : at] in _SHARE_ENDS:
                return True
            at = text.find(joint, at + 1)
    return False


@cache
def _shares() -> re.Pattern[str]:
    """Finds `(about) a quarter of`, `half its`, `one-sixth the` with the group `share`."""
    words = "|".join(shared_words()["cavity"]["share"]).replace(" ", "[ -]")
    place = "".join(rf"(?<!\b{at} )" for at in ("upper", "lower", "top", "bottom", "basal"))
    share = rf"\b{place}(?P<share>(?:{words}|\d+ ?%|\d/\d)(?= (?:of|the|its)\b))"
    return re.compile(share, re.IGNORECASE)


def _value(share: str) -> float:
    known: Mapping[str, float] = shared_words()["cavity"]["share"]
    text = " ".join(share.lower().replace("-", " ").split())
    if "%" in text:
        return float(text.rstrip(" %")) / 100
    if "/" in text:
        part, whole = (int(figure) for figure in text.split("/"))
        return part / whole if whole else 0.0
    return known[text]


def _state(sizes: Mapping[str, float], cavity: Cavity) -> str:
    inner = sizes["inner"]
    whole = sizes.get("whole") or (2 * sizes["wall"] + inner if "wall" in sizes else 0.0)
    if inner == 0:
        return cavity.none
    if not whole:
        return cavity.narrow if inner <= NARROW_MM else ""
    if inner > whole:
        return ""
    share = inner / whole
    return cavity.wide if share >= WIDE else cavity.narrow if share <= NARROW else ""


def _measures(
    sentence: re.Match[str], words: Mapping[str, str]
) -> Iterator[tuple[str, float, int, int]]:
    """Each size in a sentence with the part it is of; nothing where no organ word stands in it."""
    text, offset = sentence.group(), sentence.start()
    found = ((m, words.get(m.group().lower())) for m in _WORD.finditer(text))
    named = [(m, part) for m, part in found if part]
    if not any(part == "whole" for _, part in named):
        return
    taken: set[int] = set()
    for size in _SIZE.finditer(text):
        near = min(_distances(text, size, named, taken), default=None, key=lambda found: found[0])
        if near is None or near[0] > _FAR:
            continue
        _, noun, part = near
        taken.add(noun.start())
        start, end = min(noun.start(), size.start()), max(noun.end(), size.end())
        yield part, float(size.group(1).replace(",", ".")), offset + start, offset + end


def _distances(
    text: str, size: re.Match[str], named: list[tuple[re.Match[str], str]], taken: set[int]
) -> Iterator[tuple[float, re.Match[str], str]]:
    """How far each noun stands from a size, in words; before it counts a little further."""
    for noun, part in named:
        behind = noun.start() > size.start()
        between = text[size.end() : noun.start()] if behind else text[noun.end() : size.start()]
        if noun.start() not in taken and not _SIZE.search(between):
            far = len(_WORD.findall(between)) + 3 * between.count(",") + (not behind) / 2
            yield far, noun, part
