"""The values that travel between the stages. They hold; they do nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Generic, Literal, TypeVar

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from crossproof.findings import Finding

T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)
U = TypeVar("U")

Outcome = Literal["upheld", "lowered", "contested", "no_claim", "returned"]
OUTCOMES: tuple[Outcome, ...] = ("upheld", "lowered", "contested", "no_claim", "returned")

NameKind = Literal["hybrid", "species", "aggregate", "genus", "unresolved", "out_of_scope"]
Source = Literal["column", "remark", "photo", "measurement"]
Weight = Literal["stated", "hedged", "faint", "questioned"]
PhotoState = Literal["stated", "denied", "not_recorded"]

NOT_RECORDED = "not_recorded"

# What this project says in a field that is a person's too (dwc:identificationRemarks) stands last
# there, after this lead: so that it can be told from the person's own words when it is read again.
LEAD = "crossproof: "


@dataclass(frozen=True, slots=True)
class Table:
    """One sheet or file of a submission, as its heading row describes it.

    `fields` maps our field names (Darwin Core terms, and `gridReference`, `leaf`, `stem` …) to the
    heading that was taken for them.
    """

    file: str
    sheet: str
    headings: tuple[str, ...]
    heading_row: int
    fields: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class BrokenRow:
    """A row that does not fit its table (too many or too few cells), kept as it was."""

    number: int
    cells: tuple[str, ...]
    problem: str


@dataclass(frozen=True, slots=True)
class Chunk:
    """Some rows of one table, as text, column by column.

    `numbers[i]` is the row number that a spreadsheet shows for the i-th row; `columns[j][i]` its
    cell under `table.headings[j]`. An absent cell is the empty string.
    """

    table: Table
    numbers: Sequence[int]
    columns: Sequence[Sequence[str]]
    broken: Sequence[BrokenRow] = ()
    findings: Sequence[Finding] = ()

    def __len__(self) -> int:
        return len(self.numbers)


@dataclass(frozen=True, slots=True)
class Coded(Generic[T_co]):
    """A column of n rows, held as its distinct values and, for each row, which one it is.

    What is costly is done once per distinct value (`map`), and reaches the rows by their codes.
    """

    values: Sequence[T_co]
    codes: NDArray[np.intp]  # shape (n,), indices into `values`

    def __len__(self) -> int:
        return len(self.codes)

    def __iter__(self) -> Iterator[T_co]:
        return map(self.values.__getitem__, self.codes.tolist())

    def map(self, function: Callable[[T_co], U]) -> Coded[U]:
        """Apply a pure function to each distinct value."""
        return Coded([*map(function, self.values)], self.codes)

    def select(self, rows: NDArray[np.intp]) -> Coded[T_co]:
        """Only the rows given, by position."""
        return Coded(self.values, self.codes[rows])


@dataclass(frozen=True, slots=True, kw_only=True)
class Name:
    """What a written plant name was read as.

    `scientific_name` is formatted as in the botanical Code (Art. H.3: `Genus × epithet`), without
    authorship or qualifier; empty where unresolved. `taxon` is the rulebook's id of it; `cross`
    says whether the words claim a cross, resolved or not. `reason` says why a name is unresolved
    or beyond the rulebook, `candidates` what it may have meant, `assumed` what was repaired or
    taken for granted on the way.
    """

    verbatim: str
    scientific_name: str = ""
    kind: NameKind = "unresolved"
    qualifier: str = ""
    authorship: str = ""
    rank: str = ""
    taxon: str = ""
    rulebook: str = ""
    parents: tuple[str, ...] = ()
    cross: bool = False
    reason: str = ""
    candidates: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()

    @property
    def is_hybrid_claim(self) -> bool:
        return self.kind == "hybrid"


@dataclass(frozen=True, slots=True)
class Evidence:
    """One stated character state and where it was read.

    `words` are the exact words; `start` and `end` place them in the text they stand in (-1 where
    the whole cell was read). A `measurement` carries its number, in the
    character's unit, in `state`.
    """

    character: str
    state: str
    source: Source
    words: str
    start: int = -1
    end: int = -1
    weight: Weight = "stated"

    @property
    def counts(self) -> bool:
        """Whether the judge may weigh it: hedged words count, faint and questioned ones don't."""
        return self.weight in ("stated", "hedged")


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """What a free remark says of the plant it is about."""

    evidence: tuple[Evidence, ...] = ()
    flower_only: bool = False
    flower_only_words: str = ""
    photo: PhotoState = "not_recorded"
    photo_words: str = ""
    parents: str = ""  # 'both', 'one', 'none' or '' where the remark does not say
    not_examined: tuple[str, ...] = ()  # characters the remark says nobody looked at

    def state(self, character: str) -> str:
        """The one state stated for `character`, `mixed` for several, else `not_recorded`.

        Faint marks are read as what they are; questioned ones are not read at all.
        """
        states = {
            e.state for e in self.evidence if e.character == character and e.weight != "questioned"
        }
        if not states:
            return NOT_RECORDED
        return states.pop() if len(states) == 1 else "mixed"

    @property
    def leaf(self) -> str:
        return self.state("leaf")

    @property
    def stem(self) -> str:
        return self.state("stem")


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """Everything the judge weighs for one record, and nothing else.

    Records with equal cases get equal verdicts, so each distinct case is judged once.
    """

    name: Name
    evidence: tuple[tuple[str, str, Weight, Source], ...] = ()  # character, state, weight, source
    photo: PhotoState = "not_recorded"
    flower_only: bool = False
    specialist: bool = False
    months: frozenset[int] = frozenset()  # all months the date may lie in; empty where unknown
    mentions: frozenset[str] = frozenset()  # ids of the rulebook's mentions made in the record
    parents: str = ""  # 'both', 'one', 'none' near by; '' where nothing is said
    unreadable: tuple[str, ...] = ()  # reasons why the row can't be an occurrence
    sex: str = ""
    setting: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Determination:
    """The name a record leaves with."""

    scientific_name: str
    authorship: str = ""
    rank: str = ""
    qualifier: str = ""
    taxon: str = ""
    formula: str = "A"  # dwc:taxonFormula over `components`
    components: tuple[tuple[str, str, str], ...] = ()  # (name, authorship, rank) of A, B …


@dataclass(frozen=True, slots=True)
class Point:
    """One step of the reasoning: a character (or `photo`, `season` …), what it does, and why."""

    about: str
    effect: Literal["fits", "against", "undecided", "missing", "note"]
    text: str


@dataclass(frozen=True, slots=True)
class Support:
    """A candidate and its posterior probability."""

    taxon: str
    name: str
    probability: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What the evidence makes of one claim."""

    outcome: Outcome
    reasons: tuple[str, ...]
    determination: Determination
    points: tuple[Point, ...] = ()  # bottom up: leaf, stem, flower, photo, then context
    remedy: str = ""  # what would restore the claim, empty where nothing is lacking
    possible: tuple[str, ...] = ()  # taxa the stated evidence still allows
    support: tuple[Support, ...] = ()
    rulebook: str = ""
    findings: tuple[tuple[str, str], ...] = ()  # (code, message) that the record's finding needs


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """A photo reference, as given, and what is known of the picture."""

    reference: str  # as written: a URL, a path, a file name, a slide number
    parts: tuple[str, ...] = ()  # Audiovisual Core subject parts: leaf, stem, inflorescence …
    creator: str = ""
    created: str = ""
    licence: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """What the file of a photo reference tells: whether it opens, when and where it was taken.

    `position` is (latitude, longitude) in decimal degrees; `digest` the SHA-256 of its bytes.
    `elsewhere` is a reference that is no file in the folder given: a URL, a slide number.
    """

    status: Literal["found", "missing", "unreadable", "elsewhere"]
    taken: str = ""  # ISO 8601 date
    position: tuple[float, float] | None = None
    digest: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """A claim as it was submitted: the words, their reading, and who stood by them."""

    words: str  # dwc:verbatimIdentification
    name: Name
    identified_by: str = ""
    date_identified: str = ""
    qualifier: str = ""  # dwc:identificationQualifier as given
    remarks: str = ""  # dwc:identificationRemarks as given
    previous: str = ""  # dwc:previousIdentifications as given
    verification: str = ""  # dwc:identificationVerificationStatus as given


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """The rows of one chunk that can be occurrences, judged: what the outputs are made from.

    All columns have the same n rows, in file order. `where` and `when` hold Darwin Core terms of
    location and event; `given` the other Darwin Core terms of the submission, as given; `extra`
    the JSON object of what has no Darwin Core home ('' where there is none).
    """

    table: Table
    numbers: Sequence[int]
    ids: Sequence[str]  # dwc:occurrenceID, one of its own for every row
    claims: Coded[Claim]
    verdicts: Coded[Verdict]
    evidence: Coded[tuple[Evidence, ...]]
    photos: Coded[tuple[Photo, ...]]
    where: Coded[Mapping[str, str]]
    when: Coded[Mapping[str, str]]
    given: Mapping[str, Coded[str]]
    extra: Coded[str]

    def select(self, rows: NDArray[np.intp]) -> Judged:
        """Only the rows given, by position."""
        places = rows.tolist()
        return Judged(
            table=self.table,
            numbers=[self.numbers[place] for place in places],
            ids=[self.ids[place] for place in places],
            claims=self.claims.select(rows),
            verdicts=self.verdicts.select(rows),
            evidence=self.evidence.select(rows),
            photos=self.photos.select(rows),
            where=self.where.select(rows),
            when=self.when.select(rows),
            given={term: coded.select(rows) for term, coded in self.given.items()},
            extra=self.extra.select(rows),
        )
