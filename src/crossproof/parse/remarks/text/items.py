"""From text to items: the words and phrases of a remark that mean something, in order."""

from __future__ import annotations

from dataclasses import dataclass

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.marks import punctuation
from crossproof.parse.remarks.text.pieces import rejoined
from crossproof.parse.remarks.text.tokens import Span, joined, spans
from crossproof.parse.remarks.text.unknown import (
    TELLING_ENDS,
    UNKNOWN,
    by_ending,
    is_number,
    is_place_name,
)
from crossproof.parse.remarks.text.vocabulary import Entry, Vocabulary

_NOT_KNOWN: tuple[None, int, bool] = (None, 1, False)
_NUMBER = Entry(v.NUMBER | v.COUNT)
_OF = frozenset({"of", "the"})
_ON = _OF | {"on", "its", "their", "each", "every", "all", "these"}  # behind `the rings`


_DEPENDS = v.LABEL | v.BUT | v.BEARS  # words whose meaning depends on their neighbours; and these:
_DEPENDS_WORDS = frozenset({"no", "nos", "n", "+", "-", "false"})
MOST = 600  # words that matter in one remark; what stands beyond is not read
_PUNCTUATION = v.STOP | v.BREAK | v.ASK | v.COMMA | v.COLON
_LEADS = v.BE | v.RELATIVE | v.LOW | v.MIDDLE | v.HIGH
_SENTENCE_ENDS = v.STOP | v.ASK


@dataclass(slots=True)
class Item:
    """A phrase of the remark, what it may mean, and its place in the text.

    `phrase` numbers the stretches between commas and stronger breaks, `clause` those between
    stronger breaks, `sentence` those between full stops.
    """

    kinds: int
    entry: Entry
    start: int
    end: int
    phrase: int = 0
    clause: int = 0
    sentence: int = 0
    lead: int = 0  # what stands right before it: `BE` (`is`, `were`), `RELATIVE` (`which`), `LOW` …
    prefix: bool = False  # of a question mark: it stands before the word it doubts
    soft: bool = False  # this word speaks of something else unless its organ stands before it
    value: int = -1  # of a number in figures
    counted: bool = False  # a bracket behind it counts the plants: `spotted (5)`


def all_kinds(items: list[Item]) -> int:
    """Everything that any of the items may be, to see at once what need not be looked for."""
    kinds = 0
    for item in items:
        kinds |= item.kinds
    return kinds


def items(text: str, vocabulary: Vocabulary, tokens: list[Span] | None = None) -> list[Item]:
    """Return the items of `text`; words of no consequence are left out, unknown ones kept.

    A sentence that holds none of the words that matter is left out whole. `tokens` are those of
    `tokens_of`, where they are at hand.
    """
    if tokens is None:
        tokens = tokens_of(text, vocabulary)
    found: list[Item] = []
    phrase = clause = 0
    first, telling = 0, 0  # of the sentence: its first item, all that its items may be
    lead = 0
    i, sentence = _next_telling(tokens, 0, vocabulary, v.STOP)
    size = len(tokens)
    known = vocabulary.phrases
    while i < size and len(found) < MOST:
        word, start, end = tokens[i]
        entry, length, soft = _longest(tokens, i, vocabulary) if word in known else _NOT_KNOWN
        if entry is None or (entry.kinds & v.STATE and is_place_name(text, tokens, i, known)):
            if word.isalnum():
                found.append(_unknown(tokens, i, phrase, clause, sentence, lead))
                lead = 0
            i += 1
            continue
        kinds = entry.kinds
        if kinds & _DEPENDS or word in _DEPENDS_WORDS:
            kinds = _kinds_here(text, tokens, i, entry, found, vocabulary)
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
                i, passed = _next_telling(tokens, i, vocabulary, kinds)
                sentence += passed
        elif kinds & _LEADS:
            lead |= kinds & _LEADS
        elif kinds and kinds != v.PLAIN and kinds != v.NEUTRAL:
            if kinds & v.BUT:
                phrase += 1
                clause += 1
            telling |= kinds
            item = Item(kinds, entry, start, end, phrase, clause, sentence, lead, False, soft)
            found.append(item)
            lead = v.BE if kinds & v.FULFILLED else 0
    _closed(found, first, telling)
    return found


def _next_telling(
    tokens: list[Span], i: int, vocabulary: Vocabulary, before: int
) -> tuple[int, int]:
    """From the beginning of a sentence: where the next begins that may matter, and how many not.

    `before` is what ended the sentence before: behind a question, any may be the answer.
    """
    if before & v.ASK:
        return i, 0
    telling, passed = vocabulary.telling, 0
    for j in range(i, len(tokens)):
        word = tokens[j][0]
        if word in telling:
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


def _unknown(
    tokens: list[Span], i: int, phrase: int, clause: int, sentence: int, lead: int
) -> Item:
    """A word that the vocabulary does not hold, or a number."""
    word, start, end = tokens[i]
    if not word[0].isdigit():
        entry = by_ending(word) if word[-1] in TELLING_ENDS else UNKNOWN
        return Item(entry.kinds, entry, start, end, phrase, clause, sentence, lead)
    entry = _NUMBER if is_number(tokens, i) else UNKNOWN
    item = Item(entry.kinds, entry, start, end, phrase, clause, sentence, lead)
    if word.isdecimal() and len(word) < 5:
        item.value = int(word)
    return item


def _kinds_here(
    text: str,
    tokens: list[Span],
    i: int,
    entry: Entry,
    found: list[Item],
    vocabulary: Vocabulary,
) -> int:
    """What a word may be, where it stands: `no` of `photo no. 12` and `s` without a colon drop."""
    kinds, word = entry.kinds, tokens[i][0]
    if word in ("no", "nos") and _numbers(text, tokens, i, found) and not _asked(found):
        return 0 if found and found[-1].kinds & v.PHOTO else v.PLANTS
    if (
        word == "n"
        and "".join(token[0] for token in tokens[i + 1 : i + 3])[:2].lstrip("=:").isdigit()
    ):
        return 0  # n=12
    if kinds & v.LABEL and not (i + 1 < len(tokens) and tokens[i + 1][0] in ":="):
        kinds &= ~(v.ORGAN | v.PHOTO | v.LABEL)
    if kinds & v.BEARS and _bears(tokens, i, vocabulary):
        return v.WITH
    answers = i > 0 and tokens[i - 1][0] in ":="
    if word == "false":
        kinds = v.NONE if answers else v.WRONG
    elif entry.text in ("+", "-") and (answers or _closes(tokens, i, found)):
        kinds = _plus_or_minus(text, word, kinds)
    if kinds & v.BUT and kinds & v.MUCH and found and found[-1].kinds & v.NOT:
        kinds &= ~v.BUT  # not so solid
    return kinds


def _bears(tokens: list[Span], i: int, vocabulary: Vocabulary) -> bool:
    """`five plants bore (dark) spots`, not `a bore 2 mm wide`."""
    for word, _, _ in tokens[i + 1 : i + 3]:
        borne = vocabulary.phrases.get(word, (None,))[0]
        if borne is None or borne.kinds & (v.LIMIT | v.BE):
            return False
        if borne.kinds & (v.STATE | v.ORGAN | v.NONE | v.COUNT):
            return True
    return False


def tokens_of(text: str, vocabulary: Vocabulary) -> list[Span]:
    """The words and marks of `text`, mended, without the full stops that end no sentence."""
    tokens = spans(text)
    if not text.isascii() or "-" in text:
        tokens = list(joined(tokens))
    tokens = rejoined(text, tokens, vocabulary)
    if " very " in text:
        tokens = _without_emphasis(tokens)
    if "." in text:
        tokens = _without_dots(text, tokens, vocabulary)
    return _mended(tokens, vocabulary)


def _without_emphasis(tokens: list[Span]) -> list[Span]:
    """`the very base` is the base."""
    return [
        token
        for i, token in enumerate(tokens)
        if not (token[0] == "very" and i and tokens[i - 1][0] == "the")
    ]


def _without_dots(text: str, tokens: list[Span], vocabulary: Vocabulary) -> list[Span]:
    """Leave out full stops that end no sentence: of `lvs.`, `J. Smith`, `v.1971` and numbers."""
    idle = {
        i
        for i in range(1, len(tokens) - 1)
        if tokens[i][0] == "." and _is_idle(text, tokens, i, vocabulary)
    }
    return [token for i, token in enumerate(tokens) if i not in idle] if idle else tokens


def _is_idle(text: str, tokens: list[Span], i: int, vocabulary: Vocabulary) -> bool:
    """Whether the full stop at token `i` only marks an abbreviation or stands in a number."""
    before, dot, after = tokens[i - 1 : i + 2]
    if before[2] != dot[1]:
        return False
    word = before[0]
    if word in ("no", "nos") and after[0].isdigit():
        return True
    short = len(word) <= 2 or word[-1].isdigit()
    if after[1] == dot[2] and short and after[0][0].isalnum():
        return True
    first = text[after[1]]
    if len(word) == 1 and word not in "ynhs" and not word.isdigit():
        return True
    return word in vocabulary.dotted and (first.islower() or first in ",;:?()-–")


def _mended(tokens: list[Span], vocabulary: Vocabulary) -> list[Span]:
    """Put the words that were meant in place of misspelt ones; their places stay."""
    every, mend = vocabulary.every, vocabulary.mender.mend
    for i, (word, start, end) in enumerate(tokens):
        if word not in every and len(word) > 3 and (meant := mend(word)) != word:
            tokens[i] = (meant, start, end)
    return tokens


def _longest(tokens: list[Span], i: int, vocabulary: Vocabulary) -> tuple[Entry | None, int, bool]:
    """The longest phrase of the vocabulary that starts at token `i`, and its length in tokens."""
    choices = vocabulary.phrases.get(tokens[i][0])
    if choices is None:
        return None, 1, False
    alone, longer = choices
    soft = False
    if longer and i + 1 < len(tokens):
        for n in longer.get(tokens[i + 1][0], ()):
            here = tuple([token[0] for token in tokens[i : i + n]])
            entry = vocabulary.table.get(here)
            if entry is None:
                continue
            if entry.kinds == v.SOFT:  # but `hollow below the first leaf` is no place in a field
                behind = _longest(tokens, i + 1, vocabulary)[0]
                listed = (
                    tokens[i + n : i + n + 1] and tokens[i + n][0] == ","
                )  # hollow below, solid …
                soft = not listed and (behind is None or not behind.kinds & v.AFTER)
                continue
            if entry.kinds & v.STATE and _denies_a_sign(entry, tokens, i + n, vocabulary):
                continue
            passed = _ON if tokens[i][0] == "the" else _OF
            if entry.kinds == v.TRAP and _organ_follows(tokens, i + len(here), passed, vocabulary):
                continue
            return entry, len(here), soft
    return alone, 1, soft


def _denies_a_sign(entry: Entry, tokens: list[Span], i: int, vocabulary: Vocabulary) -> bool:
    """`no purple` says that a leaf has no marks, but `no purple blotches` denies the blotches."""
    behind = vocabulary.phrases.get(tokens[i][0]) if i < len(tokens) else None
    if behind is None or behind[0] is None:
        return False
    return any(
        sense.role == "sign" and c in entry.senses and entry.senses[c].state == scale.absent
        for c, sense in behind[0].senses.items()
        if (scale := vocabulary.scales[c]).absent
    )


def _closes(tokens: list[Span], i: int, found: list[Item]) -> bool:
    """`spots +, cavity -`: a sign that ends what it stands in, behind a state or an organ."""
    behind = tokens[i + 1][0] if i + 1 < len(tokens) else "."
    before = found[-2] if len(found) > 1 and found[-1].entry.text == "(" else found[-1:]
    last = before if isinstance(before, Item) else before[0] if before else None
    return behind in ",;.)" and last is not None and bool(last.kinds & (v.STATE | v.ORGAN))


def _plus_or_minus(text: str, word: str, kinds: int) -> int:
    """`spots: +, hollow: -` answer each other; a lone `-` is a blank."""
    if word == "+":
        return v.YES
    return v.NONE if "+" in text else kinds


def _asked(found: list[Item]) -> bool:
    """`Leaf spots? No 2. Hollow stem? …`: an answer, not a number."""
    return bool(found) and bool(found[-1].kinds & v.ASK) and not found[-1].prefix


def _numbers(text: str, tokens: list[Span], i: int, found: list[Item]) -> bool:
    """Whether `no` is short for number: `photo no. 12`, `photo no 12`."""
    rest = [token[0] for token in tokens[i + 1 : i + 4]]
    dotted = text[tokens[i][2] : tokens[i][2] + 1] == "."
    rest = [word for word in rest if word not in (".", ":")]
    if not rest or not rest[0][0].isdigit():
        return False
    return dotted or bool(found and found[-1].kinds & v.PHOTO)


def _organ_follows(
    tokens: list[Span], i: int, passed: frozenset[str], vocabulary: Vocabulary
) -> bool:
    """`the hollow (of the) stem` is no hollow in the ground, and `the ring spots` are no road."""
    while i < len(tokens) and tokens[i][0] in passed:
        i += 1
    choices = vocabulary.phrases.get(tokens[i][0]) if i < len(tokens) else None
    if not choices or not choices[0]:
        return False
    return bool(choices[0].organs) or any(s.role == "sign" for s in choices[0].senses.values())
