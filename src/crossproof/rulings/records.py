"""What an output folder says of each record, and a fingerprint of what was submitted of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import ExitStack
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from crossproof.darwincore.ruled import unruled_rows
from crossproof.long_cells import reader
from crossproof.spreadsheet import unguard

# Columns of occurrence.csv that this program makes, and may make otherwise another time. All others
# hold what was submitted.
_MADE = frozenset(
    [
        *("occurrenceID", "basisOfRecord", "occurrenceStatus", "scientificName", "taxonRank"),
        *("scientificNameAuthorship", "identificationQualifier", "identificationReferences"),
        *("identificationRemarks", "identificationType", "taxonFormula", "taxonRemarks"),
        *("previousIdentifications", "verbatimIdentification"),
        *("coordinateUncertaintyInMeters", "footprintSRS", "footprintWKT", "geodeticDatum"),
        *("georeferenceProtocol", "georeferenceRemarks", "georeferenceSources"),
        *("decimalLatitude", "decimalLongitude", "day", "month", "year", "eventDate"),
        *("dataGeneralizations", "informationWithheld"),
    ]
)
_LEAD = ("source_file", "source_sheet", "source_row", "returned_reasons", "returned_findings")
_SUBMITTED = ("claim", "photo_reference")  # of verdicts.csv


class OutputError(Exception):
    """A folder that is no output of `vet`, or not a whole one; the message is for the user."""


@dataclass(frozen=True, slots=True)
class OutputRecord:
    """One row of the submission: its row of verdicts.csv and of occurrence.csv.

    `occurrence` is empty where the row was returned; then `returned` holds its cells.
    """

    verdict: Mapping[str, str]
    occurrence: Mapping[str, str]
    returned: Mapping[str, str]

    @property
    def id(self) -> str:
        return self.verdict["occurrenceID"]

    @property
    def content(self) -> str:
        """A fingerprint of what was submitted: the same for as long as the record says the same."""
        said = {name: self.verdict.get(name, "") for name in _SUBMITTED}
        if self.occurrence:
            said |= {n: cell for n, cell in self.occurrence.items() if cell and n not in _MADE}
            if not said.get("verbatimEventDate"):
                said["eventDate"] = self.occurrence.get("eventDate", "")
            if not said.get("verbatimCoordinates"):
                for name in ("decimalLatitude", "decimalLongitude"):
                    said[name] = self.occurrence.get(name, "")
        else:
            said |= {f"cell {name}": cell for name, cell in self.returned.items() if cell}
        # Spaces more or less are no change.
        cells = ((name, " ".join(said[name].split())) for name in sorted(said))
        text = "\x1e".join(f"{name}\x1f{cell}" for name, cell in cells if cell)
        return sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:32]


def records(folder: Path) -> Iterator[OutputRecord]:
    """The records of an output folder, in the order of the submission.

    Rulings that were written into it are left out: what the verdict made of each record.

    Raises:
        OutputError: a table is missing, or the tables do not belong together.
    """
    needed = [folder / "verdicts.csv", folder / "dwca" / "occurrence.csv"]
    if missing := [path for path in needed if not path.is_file()]:
        raise OutputError(
            f"{missing[0]} is not there; give a folder that `crossproof vet --out` wrote"
        )
    sent_back = _returned(folder / "returned.csv")
    with ExitStack() as stack:
        verdicts = table(stack, needed[0])
        occurrences = unruled_rows(folder, "dwca/occurrence.csv")
        for row in verdicts:
            verdict = {name: unguard(cell) for name, cell in row.items()}
            if verdict["outcome"] == "returned":
                key = (verdict["source_file"], verdict["source_sheet"], verdict["source_row"])
                yield OutputRecord(verdict, {}, sent_back.get(key, {}))
                continue
            occurrence = next(occurrences, {})
            if occurrence.get("occurrenceID") != verdict["occurrenceID"]:
                raise OutputError(
                    f"the tables of {folder} do not belong together (verdicts.csv, source row "
                    f"{verdict['source_row']}); run `crossproof vet` again"
                )
            yield OutputRecord(verdict, occurrence, {})


def contents(folder: Path) -> dict[str, str]:
    """The fingerprint of each record that has an identifier."""
    return {record.id: record.content for record in records(folder) if record.id}


def table(stack: ExitStack, path: Path) -> Iterator[dict[str, str]]:
    """The rows of a table, as text. Cells may be long: a footprint, a whole notebook page."""
    file = stack.enter_context(path.open(encoding="utf-8", newline=""))
    rows = reader(file)
    heading = next(rows, [])
    for cells in rows:
        yield dict(zip(heading, cells, strict=False))


def _returned(path: Path) -> dict[tuple[str, str, str], dict[str, str]]:
    found: dict[tuple[str, str, str], dict[str, str]] = {}
    if not path.is_file():
        return found
    with ExitStack() as stack:
        for row in table(stack, path):
            cells = {name: unguard(cell) for name, cell in row.items()}
            key = (cells["source_file"], cells["source_sheet"], cells["source_row"])
            found[key] = {name: cell for name, cell in cells.items() if name not in _LEAD}
    return found
