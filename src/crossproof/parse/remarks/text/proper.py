"""Names in a remark: of places (`Badger's Hollow`), and of somebody whose plant is another."""

from __future__ import annotations

from typing import Final

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.compiled import general_words
from crossproof.parse.remarks.text.tokens import Span
from crossproof.parse.remarks.text.vocabulary import Entry, Vocabulary

SOMEBODYS: Final = Entry(v.OTHER, text="somebody's")
_TELLS: Final = v.STATE | v.ORGAN | v.ON | v.AND | v.WITH | v.PHOTO | v.NOT | v.OWN
_SOMEBODY: Final = general_words()["somebody"]
_TODAY: Final = frozenset(_SOMEBODY["no_names"])
_KIN: Final = frozenset(f"{who}'s" for who in _SOMEBODY["kin"])
_THEIR_PLANTS: Final = frozenset(plant + s for plant in _SOMEBODY["plants"] for s in ("", "s"))
_THEIRS_WAS: Final = frozenset(_SOMEBODY["was"])
_WAYS: Final = frozenset(_SOMEBODY["ways"])


def somebodys_plant(text: str, tokens: list[Span], i: int, vocabulary: Vocabulary) -> int:
    """How many words `Ffion's (1931 garden) plant` has, `Ffion's` of `Ffion's was …`; or 0."""
    if not _is_of_a_person(text, tokens[i], vocabulary):
        return 0
    for k in range(i + 1, min(i + 4, len(tokens))):
        behind = tokens[k][0]
        if behind in _THEIR_PLANTS:
            return k - i + 1
        listed = behind == "a" and i and tokens[i - 1][0] in ",;"  # …, Ffion's a solid one
        if k == i + 1 and (behind in _THEIRS_WAS or listed):
            return 1
        kinds = vocabulary.kinds(behind)
        said = k == i + 1 and kinds & v.STATE and _closes(tokens, k)
        if said and i and tokens[i - 1][0] in ",;":
            return 1  # ours hollow, Ffion's solid.
        if not behind.isalnum() or kinds & _TELLS:
            return 0
    return 0


def _closes(tokens: list[Span], k: int) -> bool:
    return k + 1 >= len(tokens) or tokens[k + 1][0] in ".,;"


def _is_of_a_person(text: str, token: Span, vocabulary: Vocabulary) -> bool:
    """`Ffion's`, `my sister's`; not `Plant's` or the letter of `A's`."""
    word, start, _ = token
    if not word.endswith("'s"):
        return False
    if word in _KIN:
        return True
    if len(word) < len("Al's") or word in _TODAY or vocabulary.alone(word[:-2]):
        return False
    return text[start].isupper()


def names_a_way(text: str, tokens: list[Span], i: int) -> bool:
    """`Hollow (Ash) Lane`: capital letters, up to the word for a way, a farm or a house."""
    for word, start, _ in tokens[i : i + 4]:
        if not text[start].isupper():
            return False
        if word in _WAYS:
            return True
    return False


def is_place_name(text: str, tokens: list[Span], i: int, vocabulary: Vocabulary) -> bool:
    """`Badger's Hollow`: capital letters inside a sentence, behind a word we don't know."""
    _, start, end = tokens[i]
    if names_a_way(text, tokens, i):
        return True
    if not i or not text[start].isupper() or not text[start + 1 : end].islower():
        return False
    before, first, last = tokens[i - 1]
    known = before in vocabulary.known
    owner = before.endswith("'s") and not vocabulary.alone(before)  # lady's smock
    if (known and not owner) or last + 1 != start or not text[first].isupper():
        return False
    if before.endswith("ly") or text[first:last].isupper() or not before[0].isalpha():
        return False
    behind = vocabulary.alone(tokens[i + 1][0]) if i + 1 < len(tokens) else None
    if behind and behind.organs:
        return False
    if before.endswith("'s"):
        return True
    return any(text[t[1]].islower() for t in tokens)  # else all words have capital letters
