"""The evidence of each row: its character columns, its photo column and its remarks."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from crossproof.coding import Memo, cross
from crossproof.model import Claim, Coded, Evidence, Photo, PhotoState, Remark
from crossproof.parse.cells import Cells
from crossproof.parse.mentions import mentions_in
from crossproof.parse.photo import PhotoCell, read_photo_cell
from crossproof.parse.problem import Problem
from crossproof.parse.remark import RemarkReader
from crossproof.rulebooks.model import Character, Rulebook

REMARKS = ("occurrenceRemarks", "identificationRemarks", "eventRemarks", "fieldNotes")
SOIL = ("soil", "habitat", "setting")
OTHERS = ("photo", "photoParts", "associatedMedia", "parents", "flowerOnly", "sex")
_BLANK = frozenset({"", "-", "--", "?", "n/a", "na", "n/r", "nr", "not recorded", "not known"})
_UNSEEN = re.compile(r"\b(?:not|n't|never|un(?:known|checked|tested|recorded)|n/[acrt])\b", re.I)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stated:
    """All that a row states about its plant."""

    evidence: tuple[Evidence, ...] = ()
    photo: PhotoState = "not_recorded"
    photos: tuple[Photo, ...] = ()
    flower_only: bool = False
    parents: str = ""
    sex: str = ""
    mentions: frozenset[str] = frozenset()
    problems: tuple[Problem, ...] = ()


class Statements:
    """Reads evidence, each distinct combination of cells once.

    Remarks are read only where a rulebook covers the claim.
    """

    def __init__(self, rulebooks: Mapping[str, Rulebook]) -> None:
        self._rulebooks = rulebooks
        self._readers = {name: RemarkReader(book) for name, book in rulebooks.items()}
        self._remark: Memo[tuple[str, str], Remark] = Memo(
            lambda key: self._readers[key[0]].read(key[1])
        )
        self._cell = Memo(self._read_cell)
        self._photo: Memo[tuple[str, str], PhotoCell] = Memo(lambda key: read_photo_cell(*key))

    def read(self, cells: Cells, claims: Coded[Claim]) -> Coded[Stated]:
        """What each row of a chunk states. `claims` tells which rulebook covers it."""
        characters = {c for book in self._rulebooks.values() for c in book.characters}
        fields = [f for f in cells.headings if f in characters or f in (*REMARKS, *SOIL, *OTHERS)]
        covered = claims.map(lambda claim: claim.name.rulebook)
        combined = cross(covered, *(cells[name] for name in fields))
        return combined.map(
            lambda values: self._state(values[0], dict(zip(fields, values[1:], strict=True)), cells)
        )

    def _state(self, rulebook: str, given: Mapping[str, str], cells: Cells) -> Stated:
        pictures = given.get("photo") or given.get("associatedMedia", "")
        photo = self._photo((pictures, given.get("photoParts", "")))
        if rulebook not in self._rulebooks:
            return Stated(photo=photo.state, photos=photo.photos)
        book = self._rulebooks[rulebook]
        evidence: list[Evidence] = []
        problems: list[Problem] = []
        for character in book.ordered_characters:
            if cell := given.get(character.id, "").strip():
                key = (rulebook, character.id, cells.headings[character.id], cell)
                found = self._cell(key)
                evidence += found
                if not found and not _says_nothing(cell):
                    problems.append(Problem("evidence_unread", character.id, cell))
        remarks = [self._remark((rulebook, given[f])) for f in REMARKS if given.get(f, "").strip()]
        for remark in remarks:
            evidence += remark.evidence
        problems += _disagreements(evidence, book)
        problems += [
            Problem("evidence_faint", e.character, e.words) for e in evidence if not e.counts
        ]
        return Stated(
            evidence=tuple(evidence),
            photo=_photo_state(photo, remarks),
            photos=photo.photos,
            flower_only=any(r.flower_only for r in remarks) or _is_yes(given.get("flowerOnly", "")),
            parents=self._parents(rulebook, given.get("parents", ""), remarks),
            sex=given.get("sex", "").strip().casefold(),
            mentions=_mentions(given, book),
            problems=tuple(problems),
        )

    def _read_cell(self, key: tuple[str, str, str, str]) -> tuple[Evidence, ...]:
        """Read the cell of a character column: a state, a number, or words as in a remark."""
        rulebook, character_id, heading, cell = key
        character = self._rulebooks[rulebook].characters[character_id]
        if state := _state_named(cell, character):
            return (Evidence(character_id, state, "column", cell),)
        if character.is_measured:
            number = measurement(cell, character.unit)
            return (Evidence(character_id, number, "measurement", cell),) if number else ()
        reader = self._readers[rulebook]
        for label in (heading, character.title):
            lead = f"{label}: "
            found = [
                replace(e, source="column", start=e.start - len(lead), end=e.end - len(lead))
                if e.start >= len(lead)
                else replace(e, source="column", words=cell, start=-1, end=-1)
                for e in reader.read(lead + cell).evidence
                if e.character == character_id
            ]
            if found:
                return tuple(found)
        return ()

    def _parents(self, rulebook: str, cell: str, remarks: list[Remark]) -> str:
        folded = cell.strip().casefold()
        for word in ("both", "one", "none", "neither"):
            if folded.startswith(word):
                return "none" if word == "neither" else word
        if folded in ("y", "yes"):
            return "both"
        if folded in ("n", "no"):
            return "none"
        if folded and (said := self._remark((rulebook, f"parents: {cell}")).parents):
            return said
        return next((remark.parents for remark in remarks if remark.parents), "")


def _state_named(cell: str, character: Character) -> str:
    """The state whose id or title the cell is, whatever the case and the spaces."""
    folded = _fold(cell)
    return next((s.id for s in character.states if folded in (_fold(s.id), _fold(s.title))), "")


def _fold(text: str) -> str:
    return re.sub(r"[\s_-]+", " ", text.casefold()).strip(" .")


_NUMBER = r"(\d+(?:[.,]\d+)?)"
_MEASURE = re.compile(
    rf"^\W*(?:c|ca|about|approx)?\.?\s*{_NUMBER}(?:\s*(?:-|–|to)\s*{_NUMBER})?\s*(mm|cm|m)?\b", re.I
)
_IN_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0}


def measurement(cell: str, unit: str) -> str:
    """A number or range in the character's unit (`17`, `17-21`), '' where none can be read.

    Lengths in cm or m are turned into mm where the character is measured in mm.
    """
    match = _MEASURE.match(cell.strip())
    if not match:
        return ""
    factor = _IN_MM[(match[3] or unit).casefold()] / _IN_MM[unit] if unit in _IN_MM else 1.0
    found = [float(text.replace(",", ".")) * factor for text in match.group(1, 2) if text]
    return "-".join(f"{number:g}" for number in sorted(found))


def _says_nothing(cell: str) -> bool:
    return _fold(cell) in _BLANK or bool(_UNSEEN.search(cell))


def _is_yes(cell: str) -> bool:
    return cell.strip().casefold() in ("y", "yes", "true", "1", "x")


def _photo_state(photo: PhotoCell, remarks: list[Remark]) -> PhotoState:
    """An explicit denial beats a reference; either beats silence."""
    states = {photo.state, *(remark.photo for remark in remarks)}
    if "denied" in states:
        return "denied"
    return "stated" if "stated" in states else "not_recorded"


def _mentions(given: Mapping[str, str], book: Rulebook) -> frozenset[str]:
    soils = ", ".join(given.get(name, "") for name in SOIL)
    remarks = ". ".join(given.get(name, "") for name in REMARKS)
    return mentions_in(soils, book.mentions, frozenset({"soil"})) | mentions_in(
        remarks, book.mentions, frozenset({"region", "taxon"})
    )


def _disagreements(evidence: list[Evidence], book: Rulebook) -> list[Problem]:
    """One problem for each character where no column state may be a state of the remarks."""
    problems = []
    for character in book.ordered_characters:
        own = [e for e in evidence if e.character == character.id and e.counts]
        columns = [e for e in own if e.source != "remark"]
        remarks = [e for e in own if e.source == "remark"]
        if not columns or not remarks or character.is_measured:
            continue
        first, second = (
            frozenset().union(*(character.kinds(e.state) | {e.state} for e in side))
            for side in (columns, remarks)
        )
        if not (first & second or "mixed" in first | second):
            message = f"the column says {columns[0].words!r}, the remark {remarks[0].words!r}"
            problems.append(Problem("evidence_disagrees", character.id, columns[0].words, message))
    return problems
