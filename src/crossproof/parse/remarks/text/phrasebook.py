"""A tree of phrases that unfolds, word by word, where a remark goes along it.

A vocabulary stands for tens of thousands of phrases, of which an archive uses some hundred: what
nobody says costs neither time nor memory.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, Final, Generic, TypeVar

from crossproof.parse.remarks.text.tokens import Span, words
from crossproof.rulebooks.templates import Phrases

Tokens = tuple[str, ...]
Pattern = tuple[tuple[Tokens, ...], ...]  # what may stand in the first place, in the second …
M = TypeVar("M")  # what a list says of its phrases
E = TypeVar("E")  # what becomes of it, where a phrase is on several lists
# The words that a place was filled with, how many of them are read, the places behind, the meaning.
Rest = tuple[Tokens, int, Pattern, M]
# Of phrases that differ in their last words alone: from the words before and the meanings by last
# words to the entries by last words, to which further words may be added.
Meet = Callable[[Tokens, Mapping[str, list[M]]], dict[str, E]]


@dataclass(slots=True)
class Node(Generic[M, E]):
    """The words of a phrase so far: what they mean, where they are a whole one; what may follow."""

    tokens: Tokens
    entry: E | None
    rests: tuple[Rest[M], ...]
    behind: Mapping[str, Node[M, E]] | None  # None: not unfolded yet


_NOTHING: Final[Mapping[str, Any]] = {}


class Phrasebook(Generic[M, E]):
    """All phrases of a vocabulary; `first` has their first words."""

    def __init__(self, phrases: Iterable[tuple[Pattern, M]], meet: Meet[M, E]) -> None:
        self._meet = meet
        self.first = self._unfolded((), (((), 0, pattern, means) for pattern, means in phrases))

    def longer(self, node: Node[M, E], tokens: list[Span], i: int) -> Sequence[tuple[E, int]]:
        """The phrases that go on from `node`, of token `i`, and their lengths; longest first."""
        following = node.behind
        if following is None:
            following = self.behind(node)
        at, size = i + 1, len(tokens)
        if at == size or tokens[at][0] not in following:
            return ()
        found: list[tuple[E, int]] = []
        while at < size and (further := following.get(tokens[at][0])):
            at += 1
            if further.entry is not None:
                found.append((further.entry, at - i))
            following = further.behind
            if following is None:
                following = self.behind(further)
        found.reverse()
        return found

    def behind(self, node: Node[M, E]) -> Mapping[str, Node[M, E]]:
        """The words that may stand behind those of `node`, each with all that it may lead to."""
        if node.behind is None:
            node.behind = self._unfolded(node.tokens, node.rests)
            node.rests = ()
        return node.behind

    def find(self, tokens: Tokens) -> E | None:
        """The entry of a whole phrase."""
        following: Mapping[str, Node[M, E]] = self.first
        node: Node[M, E] | None = None
        for token in tokens:
            node = following.get(token)
            if node is None:
                return None
            following = self.behind(node)
        return node.entry if node else None

    def __iter__(self) -> Iterator[Tokens]:
        """Every phrase. All of the tree unfolds, which a reader had better not ask for."""
        nodes = list(self.first.values())
        while nodes:
            node = nodes.pop()
            if node.entry is not None:
                yield node.tokens
            nodes.extend(self.behind(node).values())

    def _unfolded(self, before: Tokens, rests: Iterable[Rest[M]]) -> dict[str, Node[M, E]]:
        following: dict[str, list[Rest[M]]] = {}
        meanings: dict[str, list[M]] = {}
        for rest in rests:
            for tokens, at, pattern, meaning in _steps(rest):
                word = tokens[at - 1]
                further = following.setdefault(word, [])
                if at < len(tokens) or pattern:
                    further.append((tokens, at, pattern, meaning))
                if at == len(tokens) and _may_end(pattern):
                    meanings.setdefault(word, []).append(meaning)
        entries = self._meet(before, meanings)
        return {
            word: Node(
                (*before, word), entries.get(word), tuple(rests), None if rests else _NOTHING
            )
            for word in following.keys() | entries.keys()
            for rests in (following.get(word, ()),)
        }


def patterns(phrases: Iterable[str]) -> Iterator[Pattern]:
    """Cut the phrases of a list into words, those with classes in them without spelling them out.

    Phrases without a word are left out.
    """
    if not isinstance(phrases, Phrases):
        yield from (((tokens,),) for tokens in map(words, phrases) if tokens)
        return
    for phrase in phrases.written:
        if "{" in phrase:
            yield tuple(map(_cut, phrases.places(phrase)))
        else:
            yield from patterns((phrase,))


@cache
def _cut(choices: tuple[str, ...]) -> tuple[Tokens, ...]:
    """Remembered, since many phrases are made of the same classes."""
    return tuple(map(words, choices))


def _steps(rest: Rest[M]) -> Iterator[Rest[M]]:
    """One word further, in each way there is."""
    tokens, at, pattern, meaning = rest
    if at < len(tokens):
        yield tokens, at + 1, pattern, meaning
    elif pattern:
        for chosen in pattern[0]:
            yield from _steps((chosen, 0, pattern[1:], meaning))


def _may_end(pattern: Pattern) -> bool:
    """Whether nothing need stand in any of the places that are left."""
    return all(() in choices for choices in pattern)
