"""The one way in which reading fails."""

from __future__ import annotations


class Unreadable(Exception):
    """A file or mapping that cannot be used; its text says what happened, where, what to do."""

    def __init__(self, sentence: str) -> None:
        # What a library says of a damaged file may run over several lines.
        super().__init__(" ".join(sentence.split()))
