"""Read an English name: listed, turned round, or misspelt."""

from __future__ import annotations

from collections.abc import Sequence

from crossproof.parse.names.index import Index, Ref
from crossproof.parse.names.near import near_phrases
from crossproof.parse.names.reading import NOTHING, Reading
from crossproof.parse.names.tokens import Token

Tokens = Sequence[Token]


def phrase(index: Index, tokens: Tokens) -> Reading:
    """The longest run of words that is an English name or a listed abbreviation."""
    best: tuple[Ref, ...] = ()
    joined, length, outside = "", 0, ""
    for i, token in enumerate(tokens[:6]):
        if token.kind != "word":
            break
        joined += token.key
        if joined not in index.openings:
            break
        if joined in index.phrases:
            best, length, outside = index.phrases[joined], i + 1, ""
        elif joined in index.neighbours:
            best, length, outside = (), i + 1, index.neighbours[joined]
    if length < 2 or len(best) != 1:
        head = length or 1
        if len(tokens) > head and tokens[head - 1].key in index.heads:
            turned = _turned(index, tokens, head)
            if turned.good:
                return turned
    if not length:
        return NOTHING
    spelled = " ".join(t.raw.replace("-", " ") for t in tokens[:length]).lower().split()
    return Reading(refs=best, outside=outside, english=tuple(spelled), rest=tuple(tokens[length:]))


def _turned(index: Index, tokens: Tokens, head: int) -> Reading:
    """An English name with its last words first: `campion red`, `marsh orchid northern`."""
    last = tokens[:head]
    if tokens[head].key not in index.vocabulary:
        return NOTHING
    for length in range(min(len(tokens), head + 3), head, -1):
        turned = [*tokens[head:length], *last]
        refs = index.phrases.get("".join(t.key for t in turned), ())
        if len(refs) == 1 and all(t.kind == "word" for t in turned):
            spelled = " ".join(t.raw.replace("-", " ") for t in turned).lower().split()
            return Reading(refs=refs, english=tuple(spelled), rest=tuple(tokens[length:]))
    return NOTHING


def near_phrase(index: Index, tokens: Tokens, books: Sequence[int], noth: bool) -> Reading:
    """A misspelt English name: the longest run of words that is near one."""
    run = []
    for token in tokens[:6]:
        if token.kind != "word":
            break
        run.append(token)
    if not run or (
        len(run) > 1
        and not any(part in index.english_words for t in run for part in t.raw.lower().split("-"))
    ):
        return NOTHING
    for length in range(len(run), 0, -1):
        written = " ".join(t.raw.lower().replace("-", " ").replace("'", "") for t in run[:length])
        refs, outside = near_phrases(index, written.split())
        if refs or outside:
            open_ = bool(refs and outside) or len(outside) > 1
            return Reading(
                refs=refs,
                outside="" if open_ or refs else outside[0],
                english=tuple(written.split()),
                rest=tuple(tokens[length:]),
                notes=(f"'{written}' was taken as a typing error",),
                problem=f"'{written}' is as near to {outside[0]}, outside" if open_ else "",
            )
    return NOTHING
