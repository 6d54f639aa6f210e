"""Typing errors: the nearest known word, where there is one nearest."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rapidfuzz import process
from rapidfuzz.distance import OSA

from crossproof.parse.names.index import Index, Ref
from crossproof.parse.names.variants import stem


def allowed(word: str) -> int:
    """How many typing errors a word of this length may hold: 0, 1 or 2."""
    length = len(word)
    return 0 if length < 4 else 1 if length < 7 else 2


def nearest(word: str, choices: Sequence[str], least: int = 0) -> tuple[list[str], int]:
    """The choices at the least distance (of adjacent swaps, gaps, and changed letters).

    `least`: so many errors are allowed even in the shortest words.
    """
    limit = max(allowed(word), least)
    if not limit:
        return [], 0
    found = process.extract(word, choices, scorer=OSA.distance, score_cutoff=limit, limit=12)
    if not found:
        return [], 0
    best = min(distance for _, distance, _ in found)
    return [choice for choice, distance, _ in found if distance == best], int(best)


def near_epithets(index: Index, book: int, word: str) -> tuple[tuple[str, ...], int]:
    """The taxa whose epithets are nearest to a misspelt one, and the distance.

    Another ending alone (`grande`) counts as half an error.
    """
    epithets = index.epithets[book]
    same = index.stems[book].get(stem(word), ())
    if len(same) == 1:
        return same, 1
    close, distance = nearest(word, index.epithet_words[book])
    return tuple(dict.fromkeys(epithets[w].taxon for w in close)), distance


def near_phrases(index: Index, phrase: Sequence[str]) -> tuple[tuple[Ref, ...], tuple[str, ...]]:
    """The taxa, and the plants outside, whose English names are nearest to a misspelt one.

    Every word must be near its own counterpart, so that `sea campion` is not `red campion`.
    """
    written = " ".join(phrase)
    limit = 2 if len(written) >= 12 else 1 if len(written) >= 5 else 0
    if not limit:
        return (), ()
    length = len(written)  # a phrase that is longer or shorter by more cannot be near
    choices = [
        c for n in range(length - limit, length + limit + 1) for c in index.by_length.get(n, ())
    ]
    found = process.extract(written, choices, scorer=OSA.distance, score_cutoff=limit, limit=12)
    good = [(choice, d) for choice, d, _ in found if _word_by_word(phrase, choice.split())]
    if not good:
        return (), ()
    best = min(distance for _, distance in good)
    nearest_ones = [choice for choice, distance in good if distance == best]
    if not written.endswith("s"):  # `hawthorne` is one, not many
        nearest_ones = [c for c in nearest_ones if not c.endswith("s")] or nearest_ones
    refs = dict.fromkeys(ref for choice in nearest_ones for ref in index.spaced.get(choice, ()))
    outside = (index.spaced_outside.get(choice, "") for choice in nearest_ones)
    return tuple(refs), tuple(dict.fromkeys(filter(None, outside)))


def _word_by_word(ours: Sequence[str], theirs: Sequence[str]) -> bool:
    if len(ours) != len(theirs):
        return "".join(ours) == "".join(theirs)
    return all(
        OSA.distance(a, b) <= (0 if len(a) < 3 else 1 if len(b) < 6 else 2)
        for a, b in zip(ours, theirs, strict=True)
    )


def only(values: Iterable[str]) -> str:
    """The one value there is, or the empty string."""
    distinct = set(values)
    return distinct.pop() if len(distinct) == 1 else ""
