"""Words that no vocabulary holds: what their endings make of them, and which are numbers."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from rapidfuzz.distance import OSA

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.tokens import Span
from crossproof.parse.remarks.text.vocabulary import Entry

UNKNOWN: Final = Entry(v.WORD)
MISREAD: Final = Entry(v.WORD | v.UNSURE)
_ADVERB: Final = Entry(v.WORD | v.ADVERB, topic=v.DESCRIBES)
_VERB: Final = Entry(v.WORD | v.VERB)
_NO_VERBS: Final = frozenset({"ss", "us", "is"})
_DOING: Final = Entry(v.WORD | v.VERB, topic=v.DESCRIBES)
_ADJECTIVE: Final = Entry(v.WORD, topic=v.DESCRIBES)
# Endings of adjectives and participles, English and Latin; and of nouns that end alike.
_ADJECTIVAL: Final = (
    "al", "ant", "ar", "ate", "ble", "ed", "ent", "est", "ful", "ic", "ier", "ish", "ive", "less",
    "like", "oid", "ose", "ous", "wards", "ways", "wise", "y",
    "ae", "ibus", "is", "sa", "ta", "um", "us",
)  # fmt: skip
_NOMINAL: Final = (
    "ary", "ay", "cy", "ey", "graphy", "ity", "logy", "ment", "oy", "tory", "ury", "uy",
)  # fmt: skip
_UNITS: Final = frozenset({"cm", "mm", "m", "km", "x", "×", "st", "nd", "rd", "th", "/"})


@lru_cache(maxsize=4096)
def by_ending(word: str) -> Entry:
    """`strikingly` only says how; what stands behind `wants`, `regarding` may be its object.

    `bluish`, `rounder`, `smudged`, `fuscis` describe something. English and Latin endings, common
    knowledge.
    """
    if word.endswith(_ADJECTIVAL) and not word.endswith(_NOMINAL):
        return _ADVERB if word.endswith("ly") else _ADJECTIVE
    last = word[-1]
    if last == "s":
        return UNKNOWN if word.endswith("ss") else _VERB
    if last == "g" and word.endswith("ing") and not word.endswith("thing"):
        return _DOING
    return UNKNOWN


# Letters that a scanner mixes up, made one; what denies or grades a state.
_ALIKE: Final = str.maketrans("filaceruhbv", "tttooonnnny")
_NO: Final = "no"
_DENIES_OR_GRADES: Final = ("not", "half", "partly", "nearly", "narrowly", "hardly")
_LOOKS_SO: Final = frozenset(
    word.translate(_ALIKE) for word in (*_DENIES_OR_GRADES, "without", "slightly")
)


def may_be_no(word: str) -> bool:
    """`ne`, `ro`, `uo`."""
    return word.translate(_ALIKE) == _NO


@lru_cache(maxsize=4096)
def may_deny(word: str) -> bool:
    """`rot`, `riot`, `net`, `halt`, `portly`: by its looks it may be `not`, `half`, `partly`."""
    forms = {word, word.replace("ri", "n"), word.replace("ii", "n")}
    if not _LOOKS_SO.isdisjoint(form.translate(_ALIKE) for form in forms):
        return True
    longer = _DENIES_OR_GRADES[1:]
    return any(OSA.distance(f, w, score_cutoff=1) <= 1 for f in forms for w in longer)


@lru_cache(maxsize=4096)
def may_be_absent(word: str) -> bool:
    """`ubsent`, `alisent`: by its looks it may be `absent`."""
    return OSA.distance(word, "absent", score_cutoff=2) <= 2


def is_number(tokens: list[Span], i: int) -> bool:
    """A number that may count plants: no measurement, no `1st`."""
    following = tokens[i + 1][0] if i + 1 < len(tokens) else ""
    return tokens[i][0].isdigit() and following not in _UNITS
