"""Whether a remark says that the name rests on the flowers alone, and whether parents were near."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from crossproof.parse.remarks.sources import lexicon as x
from crossproof.parse.remarks.sources.basis_alone import said_alone
from crossproof.parse.remarks.sources.basis_refused import refused
from crossproof.parse.remarks.sources.lexicon import Word
from crossproof.parse.remarks.text import vocabulary as v

Span = tuple[int, int]

_TO_FLOWER: Final = (
    x.THE | x.OF | x.LIGHT | x.ONLY | x.COUNT | x.NUMBER | x.OWN | x.PRONOUN | x.FLOWER | x.STATE
    | x.SAW | x.AND | x.THAT
)  # fmt: skip
_TO_FROM: Final = (
    x.LIGHT | x.ONLY | x.THE | x.OWN | x.OTHER | x.PRONOUN | x.COUNT | x.NAME | x.FROM
    | x.PREPOSITION | x.USED | x.OF | x.WEAK_NAME | x.NUMBER | x.SAW
)  # fmt: skip
_MOST_UNKNOWN = 5


def flower_only(text: str, words: list[Word], others_stated: bool) -> tuple[bool, str]:
    """Return whether the name is said to rest on flowers alone, and the words that say it.

    `others_stated`: the remark states leaf or stem characters; then flowers that merely suggest a
    hybrid are one piece of evidence among several.
    """
    for span, flower in _found(text, words, others_stated):
        if not refused(words, span, flower):
            return True, text[words[span[0]].start : words[span[1]].end]
    return False, ""


def _found(text: str, words: list[Word], others_stated: bool) -> Iterator[tuple[Span, int]]:
    """What may say that the name rests on flowers: first and last word, and the flower."""
    for i, word in enumerate(words):
        kinds = word.kinds
        if kinds & x.TRAP:
            continue
        if kinds & x.PHRASE:
            yield (i, i), i
        elif kinds & x.FLOWER and not _is_no_flower(words, i):
            for span in (
                _named_from(text, words, i),
                _from_named(words, i),
                _labelled(words, i),
                *said_alone(words, i, others_stated),
            ):
                if span is not None:
                    yield span, i
        elif kinds & x.THAT and (that := _named_on_that(words, i)) is not None:
            yield that


def _is_no_flower(words: list[Word], i: int) -> bool:
    """`head gardener`: a word for many things, right before another."""
    if not words[i].kinds & x.VAGUE or i + 1 >= len(words):
        return False
    return words[i + 1].kinds == x.UNKNOWN and words[i + 1].phrase == words[i].phrase


def _ground(words: list[Word], i: int) -> int | None:
    """The word that makes the flower at word `i` a ground: `on`, `from`, `by means of`."""
    unknown = 0
    for j in range(i - 1, -1, -1):
        kinds = words[j].kinds
        if kinds & x.FROM and words[j].text != "of":
            return j
        if kinds & x.LIMIT or kinds & x.PART or (kinds & x.PREPOSITION and not kinds & x.OF):
            return None
        if not kinds & _TO_FLOWER:
            unknown += 1
            if unknown > _MOST_UNKNOWN or kinds & (x.NOT | x.NEVER):
                return None
    return None


def _named_from(text: str, words: list[Word], i: int) -> Span | None:
    """`named (it) on the (colour of the) flowers`, `det. by J. T. from a photo of the lip`."""
    j = _ground(words, i)
    if j is None or (words[j].text == "by" and _is_a_person(text, words, i)):
        return None
    first = _name_before(words, j)
    return None if first is None else (first, i)


def _name_before(words: list[Word], j: int) -> int | None:
    """The word for naming that leans on the ground that starts at word `j`."""
    if words[j].kinds & x.NAME:
        return j
    unknown = 0
    first = max(j - 11, -1)
    by = words[j].text != "on" or any(w.text == "by" for w in words[first + 1 : j])
    for k in range(j - 1, first, -1):
        kinds = words[k].kinds
        if kinds & x.WEAK_NAME and all(
            w.kinds & (x.LIGHT | x.ONLY | x.OWN | x.WEAK_NAME | x.THE) for w in words[k + 1 : j]
        ):
            return k
        if kinds & x.NAME and not kinds & x.WEAK_NAME:
            return k
        near_mark = kinds & (x.OPEN | x.COLON) and k == j - 1
        if near_mark or (kinds & x.COMMA and not kinds & x.HARD):
            continue
        if kinds & (x.HARD | x.PART):
            return None
        if not kinds & _TO_FROM:
            unknown += 1
            if unknown > (_MOST_UNKNOWN if by else 1):
                return None
    return None


def _is_a_person(text: str, words: list[Word], i: int) -> bool:
    """`det. by A. Flower`, `called in by the flower recorder`."""
    word = text[words[i].start : words[i].end]
    after = words[i + 1] if i + 1 < len(words) else None
    noun = after is not None and after.kinds == x.UNKNOWN and after.phrase == words[i].phrase
    return (word[:1].isupper() and not word.isupper()) or (noun and word.lower() == "flower")


def _from_named(words: list[Word], i: int) -> Span | None:
    """`from the flowers I took it to be the hybrid`, `e floribus det.`, `by flowers alone`."""
    j = _ground(words, i)
    if j is None or not words[j].kinds & x.FROM_FIRST:
        return None
    if _but_on(words, j):
        return j, i
    before = words[j - 1] if j else None
    if before is not None and before.sentence == words[j].sentence:
        opens = before.kinds & (x.LIMIT | x.LIGHT | x.AND | x.ONLY | x.SO)
        if not opens:
            return None
    k, unknown = i + 1, 0
    only = any(w.kinds & x.ONLY for w in words[j:i])
    while k < len(words) and words[k].sentence == words[i].sentence and k < i + 8:
        kinds = words[k].kinds
        if kinds & (x.NAME | x.WEAK_NAME):
            return j, k
        only = only or bool(kinds & x.ONLY)
        passed = x.LIGHT | x.ONLY | x.PRONOUN | x.COMMA | x.THE | x.OWN | x.FLOWER | x.OF
        if kinds & (x.PART | x.STATE | x.HARD) or not kinds & (passed | x.AND | x.UNKNOWN):
            break
        unknown += bool(kinds & x.UNKNOWN)
        if unknown > 2:
            break
        k += 1
    stated = any(w.kinds & (x.STATE | x.PART) and w.phrase == words[i].phrase for w in words[:j])
    ends = i + 1 >= len(words) or bool(words[i + 1].kinds & x.LIMIT)
    if ends and before is not None and before.kinds & x.ONLY:  # purely on flower colour
        only, before = True, words[j - 2] if j > 1 else None
    opens_sentence = before is None or bool(before.kinds & (x.HARD | x.COMMA))
    return (j, i) if only and opens_sentence and not stated else None


def _but_on(words: list[Word], j: int) -> bool:
    """`not named on the leaves but on the flowers`."""
    if not j or words[j - 1].text != "but":
        return False
    before = [w for w in words[:j] if w.sentence == words[j].sentence]
    return any(w.kinds & x.NOT for w in before) and any(w.kinds & x.NAME for w in before)


def _labelled(words: list[Word], i: int) -> Span | None:
    """`ID: fls`, `Basis of ID: flowers only`, `flower only basis`."""
    k = i + 1
    while k < len(words) and words[k].kinds & (x.ONLY | x.FLOWER | x.AND | x.LIGHT):
        k += 1
    basis = k < len(words) and bool(words[k].kinds & x.LABELS)
    j = i - 1
    while j >= 0 and words[j].kinds & (x.ONLY | x.FLOWER | x.THE | x.AND):
        j -= 1
    opens = j < 0 or bool(words[j].kinds & (x.LIMIT | x.LIGHT))
    ends = k >= len(words) or bool(words[k].kinds & x.LIMIT)
    if basis and opens and (k + 1 >= len(words) or words[k + 1].kinds & (x.LIMIT | x.ONLY)):
        return i, k
    if words[i + 1 : i + 2] and words[i + 1].text == "based" and not _grounded(words, i + 2):
        return i, i + 1
    if ends and j >= 0 and words[j].text in ("is", "was", "were", "are", "being"):
        reasons = [m for m in range(max(j - 6, 0), j) if words[m].kinds & x.REASON]
        return (reasons[0], i) if reasons and words[reasons[0]].phrase == words[i].phrase else None
    starts = not j or (j > 0 and bool(words[j - 1].kinds & x.LIMIT))
    bare = j == i - 1 and words[j].text in ("det", "id", "ident", "by", "from", "e", "ex")
    if ends and starts and bare:
        return j, i  # det. fls
    if not ends or j < 1 or not words[j].kinds & (x.COLON | x.BREAK):
        return None
    if words[j - 1].kinds & x.LABELS:
        return j - 1, i
    for m in range(j - 1, -1, -1):
        if words[m].phrase != words[j].phrase:
            return None
        if words[m].kinds & x.REASON:
            return m, i
    return None


def _grounded(words: list[Word], k: int) -> bool:
    return k < len(words) and bool(words[k].kinds & x.FROM)


def _named_on_that(words: list[Word], i: int) -> tuple[Span, int] | None:
    """`picked it, just the flower head, and I named it from that`."""
    if ground := _that_is_why(words, i):
        flower = _flower_before(words, i, words[i].sentence)
        return None if flower is None else ((i, ground), flower)
    after = words[i + 1].kinds if i + 1 < len(words) else x.STOP
    cleft = any(w.kinds & x.NAME for w in words[i + 2 : i + 4]) and words[i + 1].text == "that"
    if cleft and i and words[i - 1].kinds & x.FROM:
        flower = _flower_before(words, i - 1, words[i].sentence)
        return None if flower is None else ((i - 1, i), flower)
    if not after & (x.LIMIT | x.ONLY) or not i or not words[i - 1].kinds & (x.FROM | x.ONLY):
        return None
    ground = i - 1 if words[i - 1].kinds & x.FROM else i - 2
    if ground < 0 or not words[ground].kinds & x.FROM:
        return None
    first = _name_before(words, ground)
    if first is None:
        return None
    flower = _flower_before(words, first, words[i].sentence)
    return None if flower is None else ((first, i), flower)


def _that_is_why(words: list[Word], i: int) -> int:
    """The last word of `that's the sole reason`, `that is all the name rests on`, or 0."""
    if not words[i].text.startswith(("that", "which")):
        return 0
    only = what = False
    for k in range(i + 1, min(i + 9, len(words))):
        kinds, text = words[k].kinds, words[k].text
        if kinds & x.LIMIT or kinds & x.NOT:
            return 0
        if kinds & x.GO_ON and only:
            return k
        if kinds & x.REASON and only:
            return k
        if what and kinds & x.NAME:
            ends = k + 2 >= len(words) or any(w.kinds & x.LIMIT for w in words[k + 1 : k + 4])
            return k if ends and any(w.kinds & x.FROM for w in words[k : k + 4]) else 0
        only = only or bool(kinds & (x.ONLY | x.ALL)) or text in ("all", "sole")
        what = what or text in ("what", "all") or bool(kinds & x.ALL)
    return 0


def _flower_before(words: list[Word], first: int, sentence: int) -> int | None:
    """The part named last before word `first`, in this sentence or the one before, if a flower."""
    for j in range(first - 1, -1, -1):
        if words[j].sentence < sentence - 1:
            return None
        if words[j].kinds & x.PART and not _unlooked(words, j):
            return None
        if words[j].kinds & x.FLOWER and not words[j].kinds & x.TRAP:
            return j
    return None


def _unlooked(words: list[Word], j: int) -> bool:
    near = words[j + 1 : j + 4]
    return any(w.kinds & x.UNLOOKED and w.phrase == words[j].phrase for w in near)


def parents(present: int) -> str:
    """`both`, `one`, `none`, or empty where the remark doesn't say.

    `present` is everything that the items of the remark may be.
    """
    if present & v.PARENTS_UNKNOWN:
        return ""
    if present & v.PARENTS_NONE:
        return "none"
    if present & v.PARENTS_ONE:
        return "one"
    return "both" if present & v.PARENTS_BOTH else ""
