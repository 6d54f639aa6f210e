"""Whether a remark says that the name rests on the flowers alone, and whether parents were near."""

from __future__ import annotations

from collections.abc import Iterator

from crossproof.parse.remarks.sources import lexicon as x
from crossproof.parse.remarks.sources.basis_alone import said_alone
from crossproof.parse.remarks.sources.basis_denied import said_by_denial
from crossproof.parse.remarks.sources.basis_implied import all_or_what, implied
from crossproof.parse.remarks.sources.basis_named import from_named, labelled, named_from
from crossproof.parse.remarks.sources.basis_pointed import named_on_that
from crossproof.parse.remarks.sources.basis_refused import contradicted, refused
from crossproof.parse.remarks.sources.basis_together import said_together
from crossproof.parse.remarks.sources.lexicon import Word
from crossproof.parse.remarks.text import vocabulary as v

Span = tuple[int, int]

_BARE = 3  # words of a remark like `by fls.`


def flower_only(text: str, words: list[Word], others_stated: bool) -> tuple[bool, str]:
    """Return whether the name is said to rest on flowers alone, and the words that say it.

    `others_stated`: the remark states leaf or stem characters; then flowers that merely suggest a
    hybrid are one piece of evidence among several.
    """
    said = 0
    for word in words:
        said |= word.kinds
    not_on_others = said & x.FROM_FIRST and said & x.NOT  # not by leaf: by flower
    if not (said & x.TELLS_BASIS or not_on_others or len(words) <= _BARE):
        return False, ""
    for span, flower in _found(text, words, others_stated):
        if not refused(words, span, flower):
            return True, text[words[span[0]].start : words[span[1]].end]
    for i, word in enumerate(words):
        if word.kinds & x.FLOWER and not word.kinds & x.TRAP and not _is_no_flower(words, i):
            for firm in (*said_by_denial(words, i), *all_or_what(words, i)):
                if firm is not None and not contradicted(words, firm, i):
                    return True, text[words[firm[0]].start : words[firm[1]].end]
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
                named_from(text, words, i),
                from_named(words, i),
                labelled(words, i),
                *said_alone(words, i, others_stated),
                *(() if _is_a_name(text, words, i) else _loosely(words, i, others_stated)),
            ):
                if span is not None:
                    yield span, i
        elif kinds & x.THAT and (that := named_on_that(words, i, others_stated)) is not None:
            yield that


def _loosely(words: list[Word], i: int, others_stated: bool) -> Iterator[Span | None]:
    """Ways to say it that need no word of leaning on the flower at word `i`."""
    yield from implied(words, i, others_stated)
    yield from said_together(words, i, others_stated)


def _is_a_name(text: str, words: list[Word], i: int) -> bool:
    """`Mr Flower`, `Lip Lane`: a capital inside a sentence."""
    word = text[words[i].start : words[i].end]
    inside = i > 0 and not words[i - 1].kinds & x.LIMIT
    behind = text[words[i + 1].start : words[i + 1].end] if i + 1 < len(words) else ""
    return (
        word[:1].isupper()
        and not word.isupper()
        and (inside or (behind[:1].isupper() and not behind.isupper()))
    )


def _is_no_flower(words: list[Word], i: int) -> bool:
    """`head gardener`: a word for many things, right before another."""
    if not words[i].kinds & x.VAGUE or i + 1 >= len(words):
        return False
    return words[i + 1].kinds == x.UNKNOWN and words[i + 1].phrase == words[i].phrase


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
