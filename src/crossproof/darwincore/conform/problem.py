"""One breach of a standard's rule, with its place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal

Level = Literal["MUST", "SHOULD"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """A rule of a standard that a file breaks.

    `rule` is a key of `rules()`; `line` counts from 1 as an editor does, 0 where a whole file is
    meant.
    """

    rule: str
    message: str
    file: str = ""
    line: int = 0

    @property
    def level(self) -> Level:
        """Whether the standard demands it (MUST) or advises it (SHOULD)."""
        level: Level = rules()[self.rule]["level"]
        return level

    @property
    def source(self) -> str:
        """The standard and the section that state the rule."""
        return str(rules()[self.rule]["source"])

    def __str__(self) -> str:
        place = f"{self.file}, line {self.line}" if self.line else self.file
        return f"{place}: {self.message} [{self.rule}; {self.source}, {self.level}]"


@cache
def rules() -> Mapping[str, Mapping[str, Any]]:
    """Every rule that is checked: its level, its source, and what it asks for in our words."""
    import tomllib

    path = Path(__file__).with_name("rules.toml")
    return tomllib.loads(path.read_text(encoding="utf-8"))
