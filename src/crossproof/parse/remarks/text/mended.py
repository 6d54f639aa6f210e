"""The words and marks of a remark, as they were meant: mended, joined, without idle dots."""

from __future__ import annotations

from itertools import takewhile
from operator import itemgetter

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.compiled import general_words
from crossproof.parse.remarks.text.pieces import rejoined
from crossproof.parse.remarks.text.spaces import odd_words, respaced
from crossproof.parse.remarks.text.tokens import Span, joined, spans
from crossproof.parse.remarks.text.vocabulary import Vocabulary

_WORD = itemgetter(0)
_ANSWERS = frozenset("ynhs")  # letters that may be answers or labels
_ENDING = _ANSWERS | frozenset("+✓✔✗✘)")  # behind these a full stop ends the sentence
_NAMES_FOLLOW = frozenset(general_words()["typing"]["names_follow"])
_BEFORE_NAMES = frozenset(general_words()["typing"]["before_names"])


def tokens_of(text: str, vocabulary: Vocabulary) -> list[Span]:
    """The words and marks of `text`, mended, without the full stops that end no sentence."""
    tokens = spans(text)
    if not text.isascii() or "-" in text:
        tokens = list(joined(tokens))
    if "'" in text or not text.isascii():
        tokens = _without_apostrophes(tokens, vocabulary)
    odd = odd_words(tokens, vocabulary)
    whole = rejoined(text, tokens, odd, vocabulary)
    if odd:
        odd = odd if whole is tokens else odd_words(whole, vocabulary)
        respaced(text, whole, odd, vocabulary)
    tokens = whole
    if " very " in text:
        tokens = _without_emphasis(tokens)
    if "." in text:
        tokens = _without_dots(text, _initials(text, tokens, vocabulary), vocabulary)
    return _mended(tokens, vocabulary)


def _without_apostrophes(tokens: list[Span], vocabulary: Vocabulary) -> list[Span]:
    """`did'nt see any spot's on the leave's`: apostrophes where none belong."""
    for i, (word, start, end) in enumerate(tokens):
        if "'" in word and word not in vocabulary.every:
            bare = word.replace("'", "")
            if bare in vocabulary.every and (bare.endswith("nt") or _is_plural(bare, vocabulary)):
                tokens[i] = (bare, start, end)
    return tokens


def _is_plural(word: str, vocabulary: Vocabulary) -> bool:
    """`spots`, `leaves`: more than one sign or organ."""
    entry = vocabulary.alone(word)
    return entry is not None and bool(entry.kinds & (v.STATE | v.ORGAN)) and word[-1] == "s"


def _without_emphasis(tokens: list[Span]) -> list[Span]:
    """`the very base` is the base."""
    return [
        token
        for i, token in enumerate(tokens)
        if not (token[0] == "very" and i and tokens[i - 1][0] == "the")
    ]


def _initials(text: str, tokens: list[Span], vocabulary: Vocabulary) -> list[Span]:
    """`photos with N. Oddie`: a letter that begins a name is no `no`, no `yes` and no label."""
    for i in range(1, len(tokens) - 2):
        word, start, end = tokens[i]
        if word not in _ANSWERS or tokens[i + 1][0] != "." or tokens[i + 1][1] != end:
            continue
        before, behind = tokens[i - 1][0], tokens[i + 2]
        named = before in _BEFORE_NAMES or (before[-1] == "." and behind[0] not in vocabulary.every)
        if named and text[start].isupper() and text[behind[1]].isupper():
            tokens[i] = (f"{word}.", start, end)
    return tokens


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
    if after[0] in ",;:" and after[1] == dot[2] and word.isalpha():
        return True
    if word in ("no", "nos") and after[0].isdigit():
        return True
    short = len(word) <= 2 or word[-1].isdigit()
    if after[1] == dot[2] and short and after[0][0].isalnum():
        return True
    first = text[after[1]]
    if word == "o" and i > 1 and tokens[i - 2][0] == "/":
        return first.islower()  # w/o.
    if word[1:] in ("", ".") and word not in _ENDING and not word.isdigit():
        return True
    if word in _NAMES_FOLLOW and first.isupper():  # det. F. Oddie, conf. Oddie
        return len(after[0].rstrip(".")) == 1 or after[0] not in vocabulary.every
    if word not in vocabulary.dotted or _ends_pair(tokens, i, vocabulary):
        return False
    return first.islower() or first.isdigit() or first in ",;:?()-–"


def _ends_pair(tokens: list[Span], i: int, vocabulary: Vocabulary) -> bool:
    """`lip sptd. leaves plain`: an organ and its state stand before the stop, others behind."""
    state, behind = (vocabulary.alone(tokens[k][0]) for k in (i - 1, i + 1))
    if not state or not behind or not state.kinds & v.STATE:
        return False
    begins = behind.kinds & (v.STATE | v.ORGAN | v.NONE) and len(tokens[i + 1][0]) > 1
    if not begins and tokens[i + 1][0] not in ("a", "with"):
        return False
    before = takewhile(
        str.isalpha, (word for word, _, _ in reversed(tokens[max(i - 4, 0) : i - 1]))
    )
    return any(e.kinds & v.ORGAN for e in map(vocabulary.alone, before) if e)


def _mended(tokens: list[Span], vocabulary: Vocabulary) -> list[Span]:
    """Put the words that were meant in place of misspelt ones; their places stay."""
    right = vocabulary.mender.right
    if right.issuperset(map(_WORD, tokens)):
        return tokens
    for i in [i for i, (word, _, _) in enumerate(tokens) if word not in right]:
        word, start, end = tokens[i]
        tokens[i] = (vocabulary.mender.mend(word), start, end)
    return tokens
