"""One state that a remark mentions."""

from __future__ import annotations

from dataclasses import dataclass

from crossproof.model import Weight


@dataclass(slots=True)
class Mention:
    """One state said of one character, and of which plant."""

    character: str
    state: str
    weight: Weight
    start: int
    end: int
    item: int
    plant: int = 0
    said: bool = False  # somebody's word, or a first impression
    role: str = ""
