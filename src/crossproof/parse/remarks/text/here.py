"""What a word may be where it stands: `photo no. 12`, `n=12`, `spots +`, `plants bore spots`."""

from __future__ import annotations

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item
from crossproof.parse.remarks.text.tokens import Span
from crossproof.parse.remarks.text.unknown import UNKNOWN
from crossproof.parse.remarks.text.vocabulary import Entry, Vocabulary

_SIGNS = frozenset("+-–—")
_AFTER_SIGN = ("", " ", ",", ";", ".", ")", "/")
_WORDS_OF_A_LETTER = frozenset({"a", "i", "v"})  # v: very
_ASKS = frozenset(":=-–—?([/|\n")  # behind these stands an answer
_SHORTEST_SLIP = 4  # letters of a word that was struck for another


def kinds_here(
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
        and not any(token[0] == "y" for token in tokens[:i])
        and "".join(token[0] for token in tokens[i + 1 : i + 3])[:2].lstrip("=:").isdigit()
    ):
        return 0  # n=12
    if word == "0" and text[tokens[i][2] :][:2].lstrip(".,").isdigit():
        return v.NUMBER  # 0.35
    labels = i + 1 < len(tokens) and tokens[i + 1][0] in ":="
    if kinds & v.LABEL and not labels and not _is_a_slip(tokens, i, entry, vocabulary):
        kinds &= ~(v.ORGAN | v.PHOTO | v.LABEL)
        if len(word) >= _SHORTEST_SLIP and not kinds:
            kinds = v.WORD
    if kinds & v.BEARS and _bears(tokens, i, vocabulary):
        return v.WITH
    if word in _TEXTED and (meant := _texted(text, tokens, i, found, vocabulary)):
        return meant
    if word == "sum":
        return 0
    answers = i > 0 and tokens[i - 1][0] in ":=-–—?"
    if word == "false":
        kinds = v.NONE if answers else v.WRONG
    elif entry.text in _SIGNS and (
        _tallies(text, tokens, i, found)
        or (word in "+-" and (answers or _closes(tokens, i, found)))
    ):
        kinds = _plus_or_minus(text, word, kinds)
    if kinds & v.BUT and kinds & v.MUCH and found and found[-1].kinds & v.NOT:
        kinds &= ~v.BUT  # not so solid
    return kinds


def _is_a_slip(tokens: list[Span], i: int, entry: Entry, vocabulary: Vocabulary) -> bool:
    """`steam (half) hollow`, `spotted loves`: a real word for an organ, right by a state of it."""
    if not entry.organs or len(tokens[i][0]) < _SHORTEST_SLIP:
        return False
    for word, _, _ in tokens[i + 1 : i + 4]:
        behind = vocabulary.alone(word)
        if behind is None:
            break
        if behind.kinds & v.STATE and not entry.organs.isdisjoint(behind.senses):
            return not behind.kinds & v.LOOSE
        if not behind.kinds & (v.DEGREE | v.BE | v.NOT):
            break
    before = vocabulary.alone(tokens[i - 1][0]) if i else None
    if before is None or not before.kinds & v.STATE or before.kinds & v.LOOSE:
        return False
    return not entry.organs.isdisjoint(before.senses)


_TEXTED = frozenset({"r", "n", "sum", "but"})


def _texted(
    text: str, tokens: list[Span], i: int, found: list[Item], vocabulary: Vocabulary
) -> int:
    """`leaves r spotty n stem solid`, `sum didnt`: as thumbs write `are`, `and`, `some`; else 0."""
    word = tokens[i][0]
    if word == "but":
        little = i + 1 < len(tokens) and tokens[i + 1][0] in ("small", "narrow")
        return v.BUT if little and _begins_anew(tokens, i + 2, found, vocabulary) else 0
    behind = vocabulary.alone(tokens[i + 1][0]) if i + 1 < len(tokens) else None
    if word == "sum":
        some = behind is not None and behind.kinds & (v.PLANTS | v.ORGAN | v.NOT | v.WITH)
        return v.COUNT | v.THE if some else 0
    if i + 1 >= len(tokens) or not found:
        return 0
    if word == "n":
        return v.AND if _joins(text, tokens, i, found[-1].kinds) else 0
    joins = (behind or UNKNOWN).kinds & (v.LIMIT | v.ORGAN | v.AND)
    return v.BE if found[-1].kinds & v.ORGAN and not joins else 0


def _joins(text: str, tokens: list[Span], i: int, before: int) -> bool:
    """`stem bendy n hollow`; not `leaf spots n stem hollow y`, where letters answer."""
    behind, start, end = tokens[i + 1]
    if before & v.THE and not before & v.COUNT:
        return False  # on the n bank
    letter = len(behind) == 1 and behind not in _WORDS_OF_A_LETTER
    cut = behind == "ot"  # stem n ot solid
    if letter or cut or not behind[0].isalpha() or tokens[i - 1][0] in _ASKS:
        return False
    rest = zip(tokens, [*tokens[1:], (".", 0, 0)], strict=True)
    if any(a[0] == "y" or (a[0] == "n" and not b[0][0].isalnum()) for a, b in rest):
        return False
    return text[tokens[i][1]] == "n" or text[start:end].isupper()


def _begins_anew(tokens: list[Span], k: int, found: list[Item], vocabulary: Vocabulary) -> bool:
    """`stem hollow but small | spots on every leaf`, not `hollow, but narrow bore`."""
    if k >= len(tokens) or not tokens[k][0].isalnum():
        return False
    behind = vocabulary.alone(tokens[k][0]) or UNKNOWN
    said = next((m.entry.senses for m in reversed(found) if m.kinds & v.STATE), {})
    return not any(c in behind.senses and s.role != "beside" for c, s in said.items())


def _bears(tokens: list[Span], i: int, vocabulary: Vocabulary) -> bool:
    """`five plants bore (dark) spots`, not `a bore 2 mm wide`."""
    for word, _, _ in tokens[i + 1 : i + 4]:
        borne = vocabulary.alone(word)
        if borne is None or borne.kinds & (v.LIMIT | v.BE):
            return False
        if borne.kinds & (v.STATE | v.ORGAN | v.NONE | v.COUNT):
            return True
    return False


def _closes(tokens: list[Span], i: int, found: list[Item]) -> bool:
    """`spots +, cavity -`: a sign that ends what it stands in, behind a state or an organ."""
    behind = tokens[i + 1][0] if i + 1 < len(tokens) else "."
    before = found[-2] if len(found) > 1 and found[-1].entry.text == "(" else found[-1:]
    last = before if isinstance(before, Item) else before[0] if before else None
    return behind in ",;.)" and last is not None and bool(last.kinds & (v.STATE | v.ORGAN))


def _tallies(text: str, tokens: list[Span], i: int, found: list[Item]) -> bool:
    """`spots + 13, - 7`, `+6 -3`, `A+ B- C+`: how many plants have them, or which."""
    if not found:
        return False
    _, start, end = tokens[i]
    by_letter = tokens[i - 1][2] == start and len(tokens[i - 1][0]) == 1
    if by_letter and text[end : end + 1] in _AFTER_SIGN:
        return True
    if i + 1 >= len(tokens) or not tokens[i + 1][0].isdecimal():
        return False
    if tokens[i][0] == "+":
        return bool(found[-1].kinds & (v.STATE | v.ORGAN))
    counted = [m for m in found[-2:] if not m.kinds & v.COMMA]
    return len(found) > 2 and bool(counted) and counted[-1].value > 0 and "+" in text[:start]


def _plus_or_minus(text: str, word: str, kinds: int) -> int:
    """`spots: +, hollow: -` answer each other; a lone `-` is a blank."""
    if word == "+":
        return v.YES
    return v.NONE if "+" in text else kinds


def _asked(found: list[Item]) -> bool:
    """`Leaf spots? No 2. Hollow stem? …`, `Stem hollow: no. 12 plants`: an answer, not a number."""
    if len(found) > 1 and found[-1].kinds & v.COLON:
        return bool(found[-2].kinds & v.STATE)
    return bool(found) and bool(found[-1].kinds & v.ASK) and not found[-1].prefix


def _numbers(text: str, tokens: list[Span], i: int, found: list[Item]) -> bool:
    """Whether `no` is short for number: `photo no. 12`, `photo no 12`."""
    rest = [token[0] for token in tokens[i + 1 : i + 4]]
    dotted = text[tokens[i][2] : tokens[i][2] + 1] == "."
    rest = [word for word in rest if word not in (".", ":")]
    if not rest or not rest[0][0].isdigit():
        return False
    return dotted or bool(found and found[-1].kinds & v.PHOTO)
