"""Names said to be given on, from or by flowers: which word names, and on what it leans."""

from __future__ import annotations

from typing import Final

from crossproof.parse.remarks.sources import lexicon as x
from crossproof.parse.remarks.sources.lexicon import Word, ends_at

Span = tuple[int, int]

_ONE = frozenset({"one", "a single", "single", "in"})
_COPULAS = frozenset(
    {"is", "was", "were", "are", "being", "consists of", "consist of", "consisted of"}
)
_BARE = ("det", "id", "ident", "by", "from", "e", "ex")
_TRAITS = ("character", "feature")
_WHY = frozenset({"why", "how", "diagnosis"})
_TO_FLOWER: Final = (
    x.THE | x.OF | x.LIGHT | x.ONLY | x.COUNT | x.NUMBER | x.OWN | x.PRONOUN | x.FLOWER | x.STATE
    | x.SAW | x.AND | x.THAT
)  # fmt: skip
_TO_FROM: Final = (
    x.LIGHT | x.ONLY | x.THE | x.OWN | x.OTHER | x.PRONOUN | x.COUNT | x.NAME | x.FROM
    | x.PREPOSITION | x.USED | x.OF | x.WEAK_NAME | x.NUMBER | x.SAW
)  # fmt: skip
_MOST_UNKNOWN = 5


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


def named_from(text: str, words: list[Word], i: int) -> Span | None:
    """`named (it) on the (colour of the) flowers`, `det. by J. T. from a photo of the lip`."""
    j = _ground(words, i)
    if j is None or (words[j].text == "by" and _is_a_person(text, words, i)):
        return None
    first = name_before(words, j)
    return None if first is None else (first, i)


def name_before(words: list[Word], j: int) -> int | None:
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
            honoured = words[k].text == "named" and words[j].text.startswith("for ")
            return None if honoured and k == j - 1 else k
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


def from_named(words: list[Word], i: int) -> Span | None:
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
    ends = ends_at(words, i + 1)
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


def labelled(words: list[Word], i: int) -> Span | None:
    """`ID: fls`, `Basis of ID: flowers only`, `flower only basis`."""
    k = i + 1
    while k < len(words) and words[k].kinds & (x.ONLY | x.FLOWER | x.AND | x.LIGHT):
        k += 1
    basis = k < len(words) and bool(words[k].kinds & x.LABELS)
    j = i - 1
    while j >= 0 and (
        words[j].kinds & (x.ONLY | x.FLOWER | x.THE | x.AND) or words[j].text in _ONE
    ):
        j -= 1
    opens = j < 0 or bool(words[j].kinds & (x.LIMIT | x.LIGHT))
    ends = ends_at(words, k)
    if basis and opens and (k + 1 >= len(words) or words[k + 1].kinds & (x.LIMIT | x.ONLY)):
        return i, k
    if words[i + 1 : i + 2] and words[i + 1].text == "based" and not _grounded(words, i + 2):
        return i, i + 1
    if (label := _label_before(words, j)) is not None and _list_ends(words, i):
        return label, i
    return _reason_before(words, i, j) if ends and j >= 0 else None


def _reason_before(words: list[Word], i: int, j: int) -> Span | None:
    """`my only reason: the lip`, `my evidence is one lip`, `det. fls`: word `j` joins the two."""
    if words[j].text in _COPULAS:
        reasons = [m for m in range(max(j - 6, 0), j) if words[m].kinds & x.REASON]
        return (reasons[0], i) if reasons and words[reasons[0]].phrase == words[i].phrase else None
    if j == i - 1 and words[j].text in _BARE and (not j or words[j - 1].kinds & x.LIMIT):
        return j, i
    if j < 1 or not words[j].kinds & (x.COLON | x.BREAK):
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


def _label_before(words: list[Word], j: int) -> int | None:
    """The first word of a label that ends at word `j`: `ID method =`, `reason for the name?`."""
    if j < 1 or not words[j].kinds & (x.COLON | x.ASK):
        return None
    k = j
    while k and not words[k - 1].kinds & x.LIMIT and j - k < 6:
        k -= 1
    label = words[k:j]
    if not label or (k and not words[k - 1].kinds & x.LIMIT):
        return None
    if any(w.kinds & (x.NOT | x.PART | x.FLOWER | x.STATE | x.OTHER) for w in label):
        return None
    if words[j].kinds & x.ASK and not any(w.kinds & x.REASON or w.text in _WHY for w in label):
        return None
    tells = x.LABELS | x.USED | x.NAMING
    reasons = any(w.kinds & x.REASON and not w.text.startswith(_TRAITS) for w in label)
    return k if reasons or any(w.kinds & tells for w in label) else None


def _list_ends(words: list[Word], i: int) -> bool:
    """Whether flowers and their measures stand from word `i` to the end: `lip width, spur`."""
    k = i + 1
    while k < len(words) and not words[k].kinds & x.STOP:
        measure = words[k].kinds == x.UNKNOWN and words[k - 1].kinds & x.FLOWER
        joined = words[k].kinds & (x.COMMA | x.AND) and k + 1 < len(words)
        listed = joined and words[k + 1].kinds & x.FLOWER
        if words[k].kinds & x.OF:  # floral characters of a single spike
            return not any(w.kinds & (x.PART | x.STATE | x.AND) for w in words[k : k + 6])
        if not (measure or listed or words[k].kinds & (x.FLOWER | x.ONLY)):
            return bool(words[k].kinds & x.LIMIT and not words[k].kinds & x.COMMA)
        k += 1
    return True
