"""Find the line on which a key of a TOML file stands; the standard reader does not say."""

from __future__ import annotations

import re
from collections.abc import Mapping

Path = tuple[str | int, ...]

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_BLANK = re.compile(r"[ \t\r\n]+|#[^\n]*")
_SPACE = re.compile(r"[ \t]+")
_STRING = re.compile(
    r'"""(?:\\.|(?!""").)*"{3,5}'
    r"|'''(?:(?!''').)*'{3,5}"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'",
    re.DOTALL,
)
_SCALAR = re.compile(r"[^,\]}#\n]+")


def lines_of(text: str) -> dict[Path, int]:
    """Map the path of every key and list item of valid TOML `text` to its line, from 1.

    A path holds keys, and indices for the items of lists and of arrays of tables:
    `("hybrid", 2, "parents", 0)`.
    """
    return _Scanner(text).scan()


def line_of(lines: Mapping[Path, int], path: Path) -> int:
    """The line of `path`, or of the nearest thing around it that stands in the file; 1 at last."""
    while path and path not in lines:
        path = path[:-1]
    return lines.get(path, 1)


class _Scanner:
    """A cursor over TOML that the standard reader has accepted, so it checks nothing itself."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.line = 1
        self.lines: dict[Path, int] = {}
        self.counts: dict[Path, int] = {}  # array of tables → items so far

    def scan(self) -> dict[Path, int]:
        table: Path = ()
        while self._skip(_BLANK) < len(self.text):
            if self.text.startswith("[[", self.at):
                table = self._header(2)
            elif self.text[self.at] == "[":
                table = self._header(1)
            else:
                self._pair(table)
        return self.lines

    def _skip(self, pattern: re.Pattern[str]) -> int:
        while found := pattern.match(self.text, self.at):
            self._move(found.end())
        return self.at

    def _move(self, end: int) -> None:
        self.line += self.text.count("\n", self.at, end)
        self.at = end

    def _header(self, brackets: int) -> Path:
        line = self.line
        self._move(self.at + brackets)
        keys = self._keys()
        self._move(self.at + brackets)
        path: Path = ()
        for key in keys[:-1]:
            path = self._newest((*path, key))
            self.lines.setdefault(path, line)
        path = (*path, keys[-1])
        if brackets == 2:
            self.counts[path] = self.counts.get(path, 0) + 1
            self.lines.setdefault(path, line)
            path = (*path, self.counts[path] - 1)
        self.lines[path] = line
        return path

    def _newest(self, path: Path) -> Path:
        """The newest item where `path` is an array of tables; else the table itself."""
        return (*path, self.counts[path] - 1) if path in self.counts else path

    def _keys(self) -> list[str]:
        keys: list[str] = []
        while True:
            self._skip(_SPACE)
            quoted = _STRING.match(self.text, self.at)
            found = quoted or _BARE.match(self.text, self.at)
            if found is None:
                return keys
            keys.append(found.group()[1:-1] if quoted else found.group())
            self._move(found.end())
            self._skip(_SPACE)
            if self.text[self.at : self.at + 1] != ".":
                return keys
            self._move(self.at + 1)

    def _pair(self, table: Path) -> None:
        line = self.line
        path = table
        for key in self._keys():
            path = (*path, key)
            self.lines.setdefault(path, line)
        self._move(self.at + 1)  # the equals sign
        self._value(path)

    def _value(self, path: Path) -> None:
        self._skip(_SPACE)
        opening = self.text[self.at]
        if opening in "[{":
            self._move(self.at + 1)
            self._items(path, "]" if opening == "[" else "}")
        else:
            found = _STRING.match(self.text, self.at) or _SCALAR.match(self.text, self.at)
            self._move(found.end() if found else len(self.text))

    def _items(self, path: Path, closing: str) -> None:
        index = 0
        while self._skip(_BLANK) < len(self.text) and self.text[self.at] != closing:
            if closing == "}":
                self._pair(path)
            else:
                self.lines[(*path, index)] = self.line
                self._value((*path, index))
                index += 1
            self._skip(_BLANK)
            if self.text[self.at] == ",":
                self._move(self.at + 1)
        self._move(self.at + 1)
