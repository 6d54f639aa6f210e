"""From text to items: the words and phrases of a remark that mean something, in order."""

from __future__ import annotations

import re

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.here import kinds_here
from crossproof.parse.remarks.text.item import Item
from crossproof.parse.remarks.text.marks import punctuation
from crossproof.parse.remarks.text.mended import tokens_of
from crossproof.parse.remarks.text.phrases import longest
from crossproof.parse.remarks.text.proper import SOMEBODYS, is_place_name, somebodys_plant
from crossproof.parse.remarks.text.tokens import Span
from crossproof.parse.remarks.text.unknown import (
    MISREAD,
    UNKNOWN,
    by_ending,
    is_number,
    may_be_absent,
    may_be_no,
    may_deny,
)
from crossproof.parse.remarks.text.vocabulary import Entry, Vocabulary

_NOT_KNOWN: tuple[None, int, bool] = (None, 1, False)
_LETTERS = {letter: Entry(v.WORD, text=letter) for letter in "abcdefghijklmnopqrstuvwxyz"}
_NUMBER = Entry(v.NUMBER | v.COUNT)
_DEPENDS = v.LABEL | v.BUT | v.BEARS  # words whose meaning depends on their neighbours; and these:
_DEPENDS_WORDS = frozenset({"no", "nos", "n", "r", "sum", "+", "-", "–", "—", "false", "0", "but"})
MOST = 600  # words that matter in one remark; what stands beyond is not read
_PUNCTUATION = v.STOP | v.BREAK | v.ASK | v.COMMA | v.COLON
_LEADS = v.BE | v.NOW | v.RELATIVE | v.HEIGHTS
_QUOTED = re.compile(r"""(?<!\w)['"‘“](\w[^'"‘’“”\n]{0,60})['"’”](?!\w)""")
_SENTENCE_ENDS = v.STOP | v.ASK
_SHORTEST_ANSWER = 4  # letters; shorter, an unknown word may be a `no`


def items(
    text: str,
    vocabulary: Vocabulary,
    tokens: list[Span] | None = None,
    begins: int | None = None,
) -> list[Item]:
    """Return the items of `text`; words of no consequence are left out, unknown ones kept.

    A sentence that holds none of the words that matter is left out whole. `tokens` are those of
    `tokens_of`, `begins` is what `first_mattering` gives of them, where they are at hand.
    """
    if tokens is None:
        tokens = tokens_of(text, vocabulary)
    found: list[Item] = []
    phrase = clause = 0
    first, telling = 0, 0  # of the sentence: its first item, all that its items may be
    lead = 0
    i = first_mattering(tokens, vocabulary) if begins is None else begins
    sentence = 0
    size = len(tokens)
    known = vocabulary.known
    hyphens = "-" in text
    while i < size and len(found) < MOST:
        word, start, end = tokens[i]
        entry, length, soft = longest(tokens, i, vocabulary) if word in known else _NOT_KNOWN
        if entry is None or (entry.kinds & v.STATE and is_place_name(text, tokens, i, vocabulary)):
            if word.isalnum():
                found.append(_unknown(tokens, i, phrase, clause, sentence, lead))
                _doubt_misread(tokens, i, found, vocabulary)
                lead = 0
            elif length := somebodys_plant(text, tokens, i, vocabulary):
                end = tokens[i + length - 1][2]
                found.append(Item(v.OTHER, SOMEBODYS, start, end, phrase, clause, sentence, lead))
                lead, telling = 0, telling | v.OTHER
                i += length - 1
            i += 1
            continue
        kinds = entry.kinds
        if kinds & _DEPENDS or word in _DEPENDS_WORDS:
            kinds = kinds_here(text, tokens, i, entry, found, vocabulary)
        end = tokens[i + length - 1][2]
        i += length
        if kinds & _PUNCTUATION:
            kinds, prefix = punctuation(text, tokens, i - length, kinds, vocabulary)
            if kinds:
                item = Item(kinds, entry, start, end, phrase, clause, sentence, lead, prefix)
                found.append(item)
                lead = 0
                phrase += 1
                clause += bool(kinds & v.HARD) and not prefix
            if kinds & _SENTENCE_ENDS and not prefix:
                sentence += 1
                first, telling = _closed(found, first, telling | kinds), 0
                i, passed = _next_mattering(tokens, i, vocabulary, kinds)
                sentence += passed
        elif kinds & _LEADS:
            lead |= kinds & _LEADS
        elif kinds & ~(v.PLAIN | v.NEUTRAL):
            turns = bool(kinds & v.BUT)
            phrase += turns
            clause += turns
            telling |= kinds
            item = Item(kinds, entry, start, end, phrase, clause, sentence, lead, False, soft)
            item.hyphened = hyphens and bool(kinds & v.STATE) and text[start - 1] == "-"
            found.append(item)
            lead = v.BE if kinds & v.FULFILLED else 0
        else:
            _left_out_behind(found)
    _closed(found, first, telling)
    mark_quoted(text, found)
    return found


def first_mattering(tokens: list[Span], vocabulary: Vocabulary) -> int:
    """Where the first sentence begins that may matter; what stands before it has no items."""
    return _next_mattering(tokens, 0, vocabulary, v.STOP)[0]


def _doubt_misread(tokens: list[Span], i: int, found: list[Item], vocabulary: Vocabulary) -> None:
    if _is_misread(tokens, i, found, vocabulary):
        found[-1].entry, found[-1].kinds = MISREAD, MISREAD.kinds


def _is_misread(tokens: list[Span], i: int, found: list[Item], vocabulary: Vocabulary) -> bool:
    """`stem riot hollow`, `Stem hollow: ro.`: what stands there may well have been a denial."""
    word, behind = tokens[i][0], tokens[i + 1][0] if i + 1 < len(tokens) else "."
    before = found[-2].kinds if len(found) > 1 else v.STOP
    if not before & (v.ORGAN | v.STATE | v.LIMIT):
        return False
    labelled = found[-3].kinds if before & v.COLON and len(found) > 2 else 0
    kinds = vocabulary.kinds(behind)
    if (before | labelled) & v.ORGAN:
        return bool(kinds & v.STATE) and may_deny(word)
    if before & v.LIMIT and not labelled:  # ne leaf spots
        return bool(kinds & (v.STATE | v.ORGAN)) and may_be_no(word)
    if behind.isalnum() or not word.isalpha():
        return False
    return bool(labelled & v.STATE and len(word) < _SHORTEST_ANSWER) or (
        bool(before & v.STATE) and may_be_absent(word)
    )


def mark_quoted(text: str, found: list[Item]) -> None:
    """Mark what stands in quotation marks: `his 'hollow'`, but not `the plant's`."""
    spans = [match.span(1) for match in _QUOTED.finditer(text)]
    for item in found if spans else ():
        item.quoted = any(first <= item.start < last for first, last in spans)


def _next_mattering(
    tokens: list[Span], i: int, vocabulary: Vocabulary, before: int
) -> tuple[int, int]:
    """From the beginning of a sentence: where the next begins that may matter, and how many not.

    `before` is what ended the sentence before: behind a question, any may be the answer.
    """
    if before & v.ASK:
        return i, 0
    mattering, passed = vocabulary.mattering, 0
    for j in range(i, len(tokens)):
        word = tokens[j][0]
        if word in mattering:
            return i, passed
        if word == ".":
            i, passed = j + 1, passed + 1
    return len(tokens), passed


def _closed(found: list[Item], first: int, telling: int) -> int:
    """End a sentence: leave it out where nothing in it matters. Returns where the next begins."""
    if not telling & v.MATTERS and not _answers(found, first):
        del found[first:]
    return len(found)


def _answers(found: list[Item], first: int) -> bool:
    """Whether a sentence follows a question: `hollow? Partly.`"""
    return 0 < first <= len(found) and bool(found[first - 1].kinds & v.ASK)


def _left_out_behind(found: list[Item]) -> None:
    """`stem green, lip`: mark an organ behind which a word of no consequence was left out."""
    if found and found[-1].kinds & v.ORGAN:
        found[-1].lead |= v.SAID


def _unknown(
    tokens: list[Span], i: int, phrase: int, clause: int, sentence: int, lead: int
) -> Item:
    """A word that the vocabulary does not hold, or a number."""
    word, start, end = tokens[i]
    if word in _LETTERS:
        entry = _LETTERS[word]
        return Item(entry.kinds, entry, start, end, phrase, clause, sentence, lead)
    figure = word.removeprefix("x")  # hollow stem x3
    if not figure[:1].isdigit():
        entry = by_ending(word)
        return Item(entry.kinds, entry, start, end, phrase, clause, sentence, lead)
    entry = _NUMBER if figure == word and is_number(tokens, i) else UNKNOWN
    item = Item(entry.kinds, entry, start, end, phrase, clause, sentence, lead)
    if figure.isdecimal() and len(figure) < 5:
        item.value = int(figure)
    return item
