"""Whether a photo is only asked for, wished for, or a field of a form that nobody filled in."""

from __future__ import annotations

from crossproof.parse.remarks.sources import lexicon as x
from crossproof.parse.remarks.sources.lexicon import Word, ends_at
from crossproof.parse.remarks.sources.photo_denial import Reading


def left_open(words: list[Word], i: int) -> Reading | None:
    """`photo needed`, `photo?`, `Photo: `, `Photo Y / N`; an answer behind settles it."""
    if printed := _printed(words, i):
        return printed
    after = words[i + 1] if i + 1 < len(words) else None
    behind = words[i + 2] if i + 2 < len(words) else None
    if after is not None and after.kinds & (x.COLON | x.ASK | x.OPEN):
        blank = behind is None or bool(behind.kinds & (x.BLANK | x.STOP | x.BREAK | x.ASK))
        definite = i and words[i - 1].kinds & x.DEFINITE
        if blank and not definite and not (behind is not None and behind.kinds & (x.YES | x.NONE)):
            return Reading("open", i, i)
    if _blank_field(words, i):
        return Reading("open", i, i)
    if i > 1 and words[i - 1].text == "]" and words[i - 2].text == "[":
        return Reading("open", i, i)
    if question := _asked(words, i):
        return question
    return Reading("open", i, i) if _wanted(words, i) else None


def _blank_field(words: list[Word], i: int) -> bool:
    """`photo ref. no. ......`, `Photo (please tick):`: a form's field that nobody filled in."""
    field = form = False
    for k in range(i + 1, len(words)):
        kinds = words[k].kinds
        if kinds & (x.FIELD | x.FORM):
            field, form = field or bool(kinds & x.FIELD), form or bool(kinds & x.FORM)
        elif not kinds & (x.STOP | x.COLON | x.OPEN | x.BREAK | x.ASK) or words[k].text == "/":
            return False
    dotted = len(words) - i > 4 and words[-1].text == "." and words[-2].text == "."
    colon = bool(words[-1].kinds & (x.COLON | x.ASK))
    return form or (field and (dotted or colon))


def _printed(words: list[Word], i: int) -> Reading | None:
    """`photo Y / N`: a form's printed choice is no answer, what stands behind it is."""
    k = i + 1
    while k < len(words) and k < i + 4 and words[k].kinds & (x.OPEN | x.KEPT | x.COLON | x.ASK):
        k += 1
    if k + 2 >= len(words) or words[k + 1].text not in ("/", "or"):
        return None
    first, second = words[k].kinds, words[k + 2].kinds
    choice = (first & x.YES and second & x.NONE) or (first & x.NONE and second & x.YES)
    if not choice:
        return None
    k += 3
    while k < len(words) and (words[k].text in (")", "]", ":", "=", "?")):
        k += 1
    if k < len(words) and words[k].kinds & (x.YES | x.NONE):
        return Reading("stated" if words[k].kinds & x.YES else "denied", i, k)
    return Reading("open", i, i)


def _asked(words: list[Word], i: int) -> Reading | None:
    """A question that ends behind the photo, and the answer to it."""
    k = i + 1
    while (
        k < len(words)
        and words[k].sentence == words[i].sentence
        and not (words[k].kinds & (x.ASK | x.STOP))
    ):
        k += 1
    if k >= len(words) or not words[k].kinds & x.ASK:
        return None
    a = k + 1
    while a < len(words) and words[a].kinds & (x.LIGHT | x.COMMA) and not words[a].kinds & x.HARD:
        a += 1
    if a < len(words):
        ends = ends_at(words, a + 1) or len(words[a].text) == 1
        if words[a].kinds & x.YES and (ends or words[a].text == "yes"):
            return Reading("stated", i, a)
        if words[a].kinds & x.NONE and ends:
            return Reading("denied", i, a)
        if a == k + 1 and words[a].kinds & x.KEPT and ends:
            return Reading("stated", i, a)  # photo? attached
        kept = words[a + 1].kinds & (x.KEPT | x.GET) if a + 1 < len(words) else 0
        if a == k + 1 and words[a].text == "not" and kept and ends_at(words, a + 2):
            return Reading("denied", i, a + 1)
    first = i
    while first and words[first - 1].sentence == words[i].sentence:
        first -= 1
    definite = i and words[i - 1].kinds & x.DEFINITE and words[i - 1].text != "a"
    asks = words[first].kinds & x.QUESTION or k <= i + 2
    return Reading("open", i, i) if asks and not definite else None


def _wanted(words: list[Word], i: int) -> bool:
    """`photo needed`, `please photograph`, `a photo would help`; not `pics available if wanted`."""
    clause = words[i].clause
    if any(w.kinds & x.GRANTED and w.sentence == words[i].sentence for w in words):
        return False
    definite = i and words[i - 1].kinds & x.DEFINITE
    first = i
    while first and words[first - 1].phrase == words[i].phrase:
        first -= 1
    if words[first].kinds & x.IMPERATIVE and first < i and not definite:
        return True
    for j in range(i - 1, max(i - 6, -1), -1):
        if words[j].clause != clause or words[j].kinds & x.LIMIT:
            break
        if words[j].kinds & x.SENT:
            break
        if words[j].kinds & x.WANT:
            return not definite
    for k in range(i + 1, min(i + 5, len(words))):
        kinds = words[k].kinds
        if words[k].clause != clause or kinds & x.LIMIT:
            break
        if kinds & x.WANT:
            given = any(w.kinds & x.AND and w.clause == clause for w in words[k:])
            return not (given and any(w.kinds & (x.KEPT | x.SENT) for w in words[k + 1 :]))
    return False
