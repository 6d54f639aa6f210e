"""Spaces that are missing or stand a letter too far: `leavesspotted`, `th eleaves`."""

from __future__ import annotations

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.compiled import general_words
from crossproof.parse.remarks.text.misread import undoubled
from crossproof.parse.remarks.text.tokens import Span
from crossproof.parse.remarks.text.vocabulary import Damage, Vocabulary

_TYPING = general_words()["typing"]
_GLUE: frozenset[str] = frozenset(_TYPING["glue"])
_ANSWERS: frozenset[str] = frozenset(_TYPING["glued_answers"])
_DENIALS = frozenset({"none", "without", "nothing", "never", "neither"})
_STRONG = v.STATE | v.ORGAN | v.PHOTO
_DEGREES = v.SLIGHT | v.FAINT | v.NEARLY | v.TRULY
_LENT = (1, 2)  # letters that may stand on the wrong side of a space
_SHORTEST_RUN, _LONGEST_RUN = 6, 60  # letters of words run together
_SHORTEST_PIECE = 3
_REMEMBERED = 100_000


def odd_words(tokens: list[Span], vocabulary: Vocabulary) -> list[int]:
    """Which tokens may be pieces, or hold more words than one: few do."""
    whole = vocabulary.whole
    return [i for i, (word, _, _) in enumerate(tokens) if word not in whole]


def respaced(text: str, tokens: list[Span], odd: list[int], vocabulary: Vocabulary) -> list[Span]:
    """Set the spaces at `odd` words where they were meant to be, where that makes words of ours."""
    added = 0
    for at in odd:
        i = at + added
        word, start, _ = tokens[i]
        parts, fronts, ends = vocabulary.spacing.get(word) or _remembered(word, vocabulary)
        if parts and not _in_a_name(text, tokens, i) and not _is_a_code(tokens, i):
            tokens[i : i + 1] = _placed(parts, start)
            added += len(parts) - 1
        elif fronts or ends:
            _set_right(text, tokens, i, fronts, ends, vocabulary)
    return tokens


_NONE: Damage = ((), (), ())


def _in_a_name(text: str, tokens: list[Span], i: int) -> bool:
    """`Hollowstem Bottom`: a capital letter, and one behind it."""
    if not text[tokens[i][1]].isupper() or i + 1 == len(tokens):
        return False
    behind = text[tokens[i + 1][1] : tokens[i + 1][2]]
    return behind[0].isupper() and behind[1:].islower()


def _is_a_code(tokens: list[Span], i: int) -> bool:
    """`stemHollow=1`: what the figure means is not said."""
    behind = [token[0] for token in tokens[i + 1 : i + 3]]
    return len(behind) > 1 and behind[0] == "=" and behind[1].isdigit()


def _remembered(word: str, vocabulary: Vocabulary) -> Damage:
    """What is wrong with the spaces at a word; nothing is, with most."""
    found = _damage(word, vocabulary)
    if any(found) or word in vocabulary.pieces:
        if len(vocabulary.spacing) > _REMEMBERED:
            vocabulary.spacing.clear()
        vocabulary.spacing[word] = found
    else:
        if len(vocabulary.whole) > _REMEMBERED:
            vocabulary.whole.intersection_update(vocabulary.every)
        vocabulary.whole.add(word)
    return found


def _damage(word: str, vocabulary: Vocabulary) -> Damage:
    """The words that `word` is made of; how many letters at its ends may belong to others."""
    if not word.isalpha() or vocabulary.mender.is_real(word):
        return _NONE
    if not vocabulary.every.isdisjoint(undoubled(word)):
        return _NONE  # unsspotted
    if _SHORTEST_RUN <= len(word) <= _LONGEST_RUN and (parts := parts_of(word, vocabulary)):
        return parts, (), ()
    fronts = tuple(n for n in _LENT if _may_stand(word[n:], vocabulary))
    ends = tuple(n for n in _LENT if len(word) > n and _may_stand(word[:-n], vocabulary))
    return (), fronts, ends


def parts_of(word: str, vocabulary: Vocabulary) -> tuple[str, ...]:
    """`stempartlyhollow`, `nospotsonleaves`: the fewest words of ours that make it up, or none."""
    best: dict[int, tuple[str, ...]] = {0: ()}
    for end in range(1, len(word) + 1):
        for start in range(max(0, end - 16), end):
            if start not in best or not _may_be_part(word[start:end], vocabulary):
                continue
            parts = (*best[start], word[start:end])
            if end not in best or len(parts) < len(best[end]):
                best[end] = parts
    parts = best.get(len(word), ())
    return parts if len(parts) > 1 and _tell_something(parts, vocabulary) else ()


def _may_be_part(word: str, vocabulary: Vocabulary) -> bool:
    if word in _GLUE or word in _ANSWERS:
        return True
    if len(word) < _SHORTEST_PIECE:
        return False
    kinds = vocabulary.kinds(word)
    return word in _DENIALS or (bool(kinds & (_STRONG | _DEGREES)) and not kinds & v.LOOSE)


def _tell_something(parts: tuple[str, ...], vocabulary: Vocabulary) -> bool:
    """A state and its organ, `stempartly`; or one of them, or a denial, with a little word."""
    strong = [
        part
        for part in parts
        if part not in _GLUE and (part in _DENIALS or _tells(part, vocabulary))
    ]
    glued = not _GLUE.isdisjoint(parts) or not _ANSWERS.isdisjoint(parts)
    states = any(vocabulary.kinds(part) & v.STATE for part in strong)
    graded = any(vocabulary.kinds(part) & _DEGREES for part in parts[1:])
    return bool(strong) and (glued or graded or (len(strong) > 1 and states))


def _placed(parts: tuple[str, ...], start: int) -> list[Span]:
    """The parts of a word, each with its place."""
    placed = []
    for part in parts:
        placed.append((part, start, start + len(part)))
        start += len(part)
    return placed


def _set_right(
    text: str,
    tokens: list[Span],
    i: int,
    fronts: tuple[int, ...],
    ends: tuple[int, ...],
    vocabulary: Vocabulary,
) -> None:
    """Give letters of token `i` to the word before or behind, where both are words then."""
    word, start, end = tokens[i]
    if fronts and i and text[tokens[i - 1][2] : start] == " ":
        before, first, last = tokens[i - 1]
        for n in fronts:
            if _are_words(before + word[:n], word[n:], vocabulary):
                tokens[i - 1] = (before + word[:n], first, last)
                tokens[i] = (word[n:], start + n, end)
                return
    if ends and i + 1 < len(tokens) and text[end : tokens[i + 1][1]] == " ":
        behind, first, last = tokens[i + 1]
        for n in ends:
            if _are_words(word[:-n], word[-n:] + behind, vocabulary):
                tokens[i] = (word[:-n], start, end - n)
                tokens[i + 1] = (word[-n:] + behind, first, last)
                return


def _are_words(word: str, behind: str, vocabulary: Vocabulary) -> bool:
    """Two words that each tell something of the plant, or are little ones."""
    return _may_stand(word, vocabulary) and _may_stand(behind, vocabulary)


def _may_stand(word: str, vocabulary: Vocabulary) -> bool:
    return word in _GLUE or _tells(word, vocabulary)


def _tells(word: str, vocabulary: Vocabulary) -> bool:
    """A state, an organ with states, or a photo, and nothing else."""
    if len(word) <= _SHORTEST_PIECE:
        return False
    entry = vocabulary.alone(word)
    if entry is None or entry.kinds & v.LOOSE:
        return False
    return bool(entry.organs or entry.senses or entry.kinds & (v.PHOTO | v.NONE))
