"""What a punctuation mark does where it stands."""

from __future__ import annotations

from crossproof.parse.remarks.text.tokens import Span
from crossproof.parse.remarks.text.vocabulary import Vocabulary


def punctuation(
    text: str, tokens: list[Span], i: int, kinds: int, vocabulary: Vocabulary
) -> tuple[int, bool]:
    """What a mark does here: 0 where it does nothing (the dot of `lvs.`, a hyphen in a name)."""
    word, start, end = tokens[i]
    if word.isalpha():
        return kinds, False  # spoken: `comma`, `full stop`
    before = tokens[i - 1] if i else None
    after = tokens[i + 1] if i + 1 < len(tokens) else None
    if word == "!" and after is not None and after[0] == "?":
        return 0, False
    touches_after = after is not None and after[1] == end
    if word == ":" and after is not None and touches_after and after[0] == ")":
        return 0, False  # a face, and no label
    if word == "?":
        spaced_before = before is None or before[2] < start or before[0] in "(,;:"
        if not spaced_before or after is None or not after[0].isalpha():
            return kinds, False
        organ = before is not None and vocabulary.alone(before[0])
        doubts_next = bool(organ and organ.organs) and text[after[1]].islower()
        return kinds, touches_after or doubts_next
    if word in "-–—" and before is not None and before[2] == start and touches_after:
        return (0, False) if word == "-" else (kinds, False)
    if word in ("\n",) and i and tokens[i - 1][0] in (",", "\n"):
        return 0, False
    return kinds, False
