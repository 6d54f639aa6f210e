"""Evidence columns: the cells of leaf, stem and the other characters."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace

from crossproof.coding import Memo
from crossproof.model import Evidence, Remark
from crossproof.parse.problem import Problem
from crossproof.rulebooks.model import Character, Rulebook

_BLANK = frozenset({"", "?", "n/a", "na", "n/r", "nr", "n.r"})
_UNSEEN = re.compile(
    r"\b(?:not|never|un(?:known|checked|tested|recorded)|n/[acrt])\b|n['’]t\b", re.I
)


class ColumnReader:
    """Reads the cells of evidence columns, each distinct cell once.

    A cell that names no state is read as a remark is, with its heading as a label, so that all
    words for a state stand in one place, the rulebook's phrases.
    """

    def __init__(
        self, rulebooks: Mapping[str, Rulebook], remark: Memo[tuple[str, str], Remark]
    ) -> None:
        self._rulebooks = rulebooks
        self._remark = remark
        self._cell = Memo(self._read)

    def read(
        self, rulebook: str, headings: Mapping[str, str], cells: Mapping[str, str]
    ) -> tuple[tuple[Evidence, ...], tuple[Problem, ...]]:
        """Read one row's evidence cells: the evidence, and a problem for each cell not understood.

        `headings` and `cells` are keyed by field. A group without a rulebook has no evidence.
        """
        if rulebook not in self._rulebooks:
            return (), ()
        book = self._rulebooks[rulebook]
        evidence: list[Evidence] = []
        problems: list[Problem] = []
        for column, heading in headings.items():
            cell = cells[column].strip()
            if _fold(cell) in _BLANK:
                continue
            character = _character_under(heading, column, book)
            found = self._cell((rulebook, character, heading, cell))
            evidence += found
            if character and not found and not _says_nothing(cell):
                problems.append(Problem("evidence_unread", column, cell))
        return tuple(evidence), tuple(problems)

    def _read(self, key: tuple[str, str, str, str]) -> tuple[Evidence, ...]:
        """Read one cell; a column of another group's character is read as a remark is."""
        rulebook, character_id, heading, cell = key
        if not character_id:
            return self._in_words(rulebook, heading, cell)
        character = self._rulebooks[rulebook].characters[character_id]
        if state := _state_named(cell, character):
            return (Evidence(character_id, state, "column", cell),)
        if character.is_measured:
            number = measurement(cell, character.unit)
            return (Evidence(character_id, number, "measurement", cell),) if number else ()
        for label in (heading, *self._plain_labels(rulebook, character)):
            said = self._in_words(rulebook, label, cell)
            if found := tuple(e for e in said if e.character == character_id):
                return found
        return ()

    def _plain_labels(self, rulebook: str, character: Character) -> Iterator[str]:
        """Our own names of a character, if they say nothing of it by themselves.

        Only a recorder's heading may: `Leaf spots: yes` states spots, `Leaves: yes` nothing.
        """
        for label in (character.title, _fold(character.id)):
            said = self._remark((rulebook, f"{label}: yes")).evidence
            if not any(e.character == character.id for e in said):
                yield label

    def _in_words(self, rulebook: str, label: str, cell: str) -> tuple[Evidence, ...]:
        """Read a cell as the remark `label: cell`, with the words' places in the cell itself.

        What the label says alone, whatever stands in the cell, is no evidence.
        """
        lead = f"{label}: "
        said = self._remark((rulebook, lead + cell)).evidence
        return tuple(_in_cell(e, len(lead), cell) for e in said if e.end > len(lead))


def _character_under(heading: str, field: str, book: Rulebook) -> str:
    """The character of a rulebook that a column is about; '' where it has none of that name."""
    if field in book.characters:
        return field
    words = _fold(heading)
    return next(
        (c.id for c in book.ordered_characters if words in map(_fold, (c.id, *c.headings))), ""
    )


def _in_cell(evidence: Evidence, lead: int, cell: str) -> Evidence:
    """Evidence read from a labelled cell, as evidence of a column, without its label."""
    start, end = max(evidence.start - lead, 0), evidence.end - lead
    return replace(evidence, source="column", words=cell[start:end], start=start, end=end)


def _state_named(cell: str, character: Character) -> str:
    """The state whose id or title the cell is, whatever the case and the spaces."""
    folded = _fold(cell)
    return next((s.id for s in character.states if folded in (_fold(s.id), _fold(s.title))), "")


def _fold(text: str) -> str:
    return re.sub(r"[\s_-]+", " ", text.casefold()).strip(" .")


_NUMBER = r"(\d+(?:[.,]\d+)?)\s*(mm|cm|m)?(?![a-z])"
_MEASURE = re.compile(
    rf"[^\w-]*(?:ca?|about|approx)?\b\.?\s*{_NUMBER}(?:\s*(?:-|–|/|to)\s*{_NUMBER})?", re.I
)
_ASIDE = re.compile(r"\(.*?\)")
# A further number, or a unit of another kind: then it is not known what was measured.
_UNSURE = re.compile(r"\d|^\s*(?:in|ins|inch|inches|ft|feet)\b|^\s*[\"'″′]", re.I)
_IN_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0}


def measurement(cell: str, unit: str) -> str:
    """A number or range in the character's unit (`17`, `17-21`), '' where none can be read.

    Lengths in cm or m are turned into mm where the character is measured in mm.
    """
    text = _ASIDE.sub(" ", cell).strip()
    match = _MEASURE.match(text)
    if not match or _UNSURE.search(text[match.end() :]):
        return ""
    low, low_unit, high, high_unit = match.groups()
    pairs = [(low, low_unit or high_unit), (high, high_unit or low_unit)]
    found = [_in_unit(number, given, unit) for number, given in pairs if number]
    return "-".join(f"{number:g}" for number in sorted(found))


def _in_unit(number: str, given: str | None, unit: str) -> float:
    value = float(number.replace(",", "."))
    return value * _IN_MM[(given or unit).casefold()] / _IN_MM[unit] if unit in _IN_MM else value


def _says_nothing(cell: str) -> bool:
    return bool(_UNSEEN.search(cell))
