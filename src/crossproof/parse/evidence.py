"""The evidence of each row: its character columns, its photo column and its remarks."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from crossproof.coding import Memo, cross, distinct
from crossproof.model import Claim, Coded, Evidence, Photo, PhotoState, Remark
from crossproof.parse.cells import Cells
from crossproof.parse.claims import without_ours
from crossproof.parse.columns import ColumnReader
from crossproof.parse.mentions import mentions_in
from crossproof.parse.photo import PhotoCell, read_photo_cell
from crossproof.parse.problem import Problem
from crossproof.parse.remark import RemarkReader
from crossproof.rulebooks.model import Character, Rulebook

REMARKS = (
    "occurrenceRemarks",
    "identificationRemarks",
    "eventRemarks",
    "fieldNotes",
    "organismRemarks",
)
PHOTOS = ("photo", "associatedMedia")
SOIL = ("soil", "habitat", "setting")
_PARENTS = {"both": "both", "one": "one", "none": "none", "neither": "none"}
_ANSWERS = {"yes": "both", "y": "both", "no": "none", "n": "none"}
_REGIONS_AND_TAXA = frozenset({"region", "taxon"})
_WORDS = re.compile(r"[^\W_]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoken:
    """What a row says in its remarks and in the small columns beside them."""

    evidence: tuple[Evidence, ...] = ()
    photo: PhotoState = "not_recorded"
    flower_only: bool = False
    parents: str = ""
    sex: str = ""
    mentions: frozenset[str] = frozenset()
    setting: str = ""  # of the rulebook's priors, where the row names one


@dataclass(frozen=True, slots=True, kw_only=True)
class Stated:
    """What the rows of a chunk state of their plants, column by column."""

    evidence: Coded[tuple[Evidence, ...]]
    spoken: Coded[Spoken]
    photo: Coded[PhotoState]
    photos: Coded[tuple[Photo, ...]]
    problems: tuple[Coded[tuple[Problem, ...]], ...]


class Statements:
    """Reads evidence. What is read from one column does not depend on another, so each is read
    by its own distinct texts, and only the few distinct meanings are combined.

    Remarks are read only where a rulebook covers the claim.
    """

    def __init__(self, rulebooks: Mapping[str, Rulebook]) -> None:
        self._rulebooks = rulebooks
        # A reader takes some time to make, and most submissions are of one group of plants.
        reader: Memo[str, RemarkReader] = Memo(lambda name: RemarkReader(rulebooks[name]))
        self._remark: Memo[tuple[str, str], Remark] = Memo(lambda key: reader(key[0]).read(key[1]))
        self._columns = ColumnReader(rulebooks, self._remark)
        self._photo = Memo(_read_photos)
        # Most remarks say what others said: of the same meanings one object is kept.
        alike: Memo[Spoken, Spoken] = Memo(lambda spoken: spoken, limit=20_000)
        self._said: Memo[tuple[str, tuple[str, ...], tuple[str, ...]], Spoken] = Memo(
            lambda key: alike(self._spoken(key[0], dict(zip(*key[1:], strict=True)))), limit=20_000
        )
        self._characters = {c for book in rulebooks.values() for c in book.characters}

    def read(self, cells: Cells, claims: Coded[Claim]) -> Stated:
        """What each row of a chunk states. `claims` tells which rulebook covers it."""
        covered = distinct(claims.map(lambda claim: claim.name.rulebook))
        columns = self._read_columns(cells, covered)
        spoken = distinct(self._read_remarks(cells, covered))
        pictures = cross(cells["photoParts"], *(cells[field] for field in PHOTOS))
        photos = pictures.map(self._photo)
        seen = distinct(columns.map(lambda column: column[0]))
        both = cross(covered, seen, spoken.map(lambda said: said.evidence))
        return Stated(
            evidence=both.map(lambda parts: (*parts[1], *parts[2])),
            spoken=spoken,
            photo=cross(
                distinct(photos.map(lambda photo: photo.state)),
                distinct(spoken.map(lambda said: said.photo)),
            ).map(_photo_state),
            photos=photos.map(lambda photo: photo.photos),
            problems=(
                columns.map(lambda column: column[1]),
                both.map(lambda parts: self._doubts(*parts)),
            ),
        )

    def _read_columns(
        self, cells: Cells, covered: Coded[str]
    ) -> Coded[tuple[tuple[Evidence, ...], tuple[Problem, ...]]]:
        columns = {f: heading for f, heading in cells.headings.items() if f in self._characters}
        combined = cross(covered, *(cells[field] for field in columns))
        return combined.map(
            lambda values: self._columns.read(
                values[0], columns, dict(zip(columns, values[1:], strict=True))
            )
        )

    def _read_remarks(self, cells: Cells, covered: Coded[str]) -> Coded[Spoken]:
        fields = [f for f in (*REMARKS, *SOIL, "parents", "flowerOnly", "sex") if f in cells]
        combined = cross(covered, *(cells[field] for field in fields))
        said, names = self._said, tuple(fields)
        return combined.map(lambda values: said((values[0], names, values[1:])))

    def _spoken(self, rulebook: str, given: Mapping[str, str]) -> Spoken:
        if rulebook not in self._rulebooks:
            return Spoken()
        book = self._rulebooks[rulebook]
        given = {field: without_ours(text) for field, text in given.items()}
        remarks = [self._remark((rulebook, given[f])) for f in REMARKS if given.get(f, "").strip()]
        return Spoken(
            evidence=tuple(e for remark in remarks for e in remark.evidence),
            photo=_strongest([remark.photo for remark in remarks]),
            flower_only=any(r.flower_only for r in remarks) or _is_yes(given.get("flowerOnly", "")),
            parents=self._parents(rulebook, given.get("parents", ""), remarks),
            sex=_sex(given.get("sex", "")) or _sex_in([given.get(name, "") for name in REMARKS]),
            mentions=_mentions(given, book),
            setting=_setting(given.get("setting", ""), book),
        )

    def _parents(self, rulebook: str, cell: str, remarks: Sequence[Remark]) -> str:
        words = re.split(r"[,;.:(]", cell.casefold())[0].split()
        if words and (known := _PARENTS.get(words[0]) or _ANSWERS.get(" ".join(words))):
            return known
        if words and (said := self._remark((rulebook, f"parents: {cell}")).parents):
            return said
        return next((remark.parents for remark in remarks if remark.parents), "")

    def _doubts(
        self, rulebook: str, columns: tuple[Evidence, ...], remarks: tuple[Evidence, ...]
    ) -> tuple[Problem, ...]:
        """Characters on which column and remark disagree, and marks that don't count."""
        if rulebook not in self._rulebooks:
            return ()
        faint = [
            Problem("evidence_faint", e.character, e.words)
            for e in (*columns, *remarks)
            if not e.counts
        ]
        disagreeing = (
            problem
            for character in self._rulebooks[rulebook].ordered_characters
            if (problem := _disagreement(character, columns, remarks))
        )
        return (*disagreeing, *faint)


_SEXES = {
    "f": "female",
    "female": "female",
    "♀": "female",
    "m": "male",
    "male": "male",
    "♂": "male",
}
_SEX_WORD = re.compile(r"\b(female|male)s?\b(?!\W*(?:parent|and|&|or|/))", re.IGNORECASE)


def _sex(cell: str) -> str:
    """`female` or `male`, '' for anything else: a plant with both is neither."""
    return _SEXES.get(cell.strip().casefold(), "")


def _sex_in(remarks: Sequence[str]) -> str:
    """The one sex that remarks speak of (`male plants only`); '' where they name both or none."""
    named = {word.casefold() for remark in remarks for word in _SEX_WORD.findall(remark)}
    return named.pop() if len(named) == 1 else ""


def _is_yes(cell: str) -> bool:
    return cell.strip().casefold() in ("y", "yes", "true", "1", "x")


def _read_photos(cells: tuple[str, str, str]) -> PhotoCell:
    """Read one row's photo columns together; the first cell says which parts they show."""
    parts, *columns = cells
    read = [read_photo_cell(column, parts) for column in columns if column]
    photos = dict.fromkeys(photo for cell in read for photo in cell.photos)
    return PhotoCell(_strongest([cell.state for cell in read]), tuple(photos))


def _photo_state(states: tuple[PhotoState, PhotoState]) -> PhotoState:
    return _strongest(states)


def _strongest(states: Sequence[PhotoState]) -> PhotoState:
    """An explicit denial beats a reference; either beats silence."""
    if "denied" in states:
        return "denied"
    return "stated" if "stated" in states else "not_recorded"


def _setting(cell: str, book: Rulebook) -> str:
    """The one setting of the rulebook whose words all stand in a cell: `acid upland, grazed`."""
    words = set(_WORDS.findall(cell.casefold()))
    named = [name for name in book.priors if set(name.casefold().split("_")) <= words]
    return named[0] if len(named) == 1 else ""


def _mentions(given: Mapping[str, str], book: Rulebook) -> frozenset[str]:
    soils = ", ".join(given.get(name, "") for name in SOIL)
    remarks = ". ".join(given.get(name, "") for name in REMARKS)
    return mentions_in(soils, book.mentions, frozenset({"soil"})) | mentions_in(
        remarks, book.mentions, _REGIONS_AND_TAXA
    )


def _disagreement(
    character: Character, columns: Sequence[Evidence], remarks: Sequence[Evidence]
) -> Problem | None:
    """A problem where no state of the columns may be a state of the remarks."""
    ours = [e for e in columns if e.character == character.id and e.counts]
    theirs = [e for e in remarks if e.character == character.id and e.counts]
    if not ours or not theirs or character.is_measured:
        return None
    first, second = (
        frozenset[str]().union(*(character.kinds(e.state) | {e.state} for e in side))
        for side in (ours, theirs)
    )
    if first & second or "mixed" in first | second:
        return None
    message = f"the column says {ours[0].words!r}, the remark {theirs[0].words!r}"
    return Problem("evidence_disagrees", character.id, ours[0].words, message)
