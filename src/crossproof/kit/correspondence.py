"""What a `vet` output folder has to say to each recorder."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path

from crossproof.kit.recorders import key, recorders
from crossproof.rulings.records import OutputError, OutputRecord, records, table
from crossproof.rulings.ruling import NAMING
from crossproof.spreadsheet import unguard

Place = tuple[str, str, str]  # file, sheet, row
_COORDINATES = ("gridReference", "verbatimCoordinates")


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One record as its own recorder is told of it.

    `grid` is as exact as the folder has it, or as submitted; `coarse` says that it is not.
    """

    place: Place
    claim: str
    claimed: str  # the name that was understood
    outcome: str
    reasons: tuple[str, ...]
    determined: str
    qualifier: str
    remedy: str
    rulebook: str
    date: str
    locality: str
    grid: str
    coarse: bool = False
    findings: tuple[str, ...] = ()
    ruling: Mapping[str, str] = field(default_factory=dict)


@dataclass(slots=True)
class Recorder:
    """A person who gets a letter, by the first spelling of the name, and their records."""

    name: str
    records: list[Told] = field(default_factory=list)
    joint: bool = False


@dataclass(slots=True)
class Correspondence:
    """Everybody who gets a letter, and how many records name nobody who could."""

    recorders: list[Recorder]
    nameless: int


def correspondence(
    folder: Path, originals: Mapping[Place, Mapping[str, str]] | None = None
) -> Correspondence:
    """Gather the records of an output folder by the people who made them.

    `originals` holds cells as submitted, by field, where these are at hand: the recorders and
    exact places that the folder itself may keep back.

    Raises:
        OutputError: the folder is no output of `vet`, or not a whole one.
    """
    headings = _headings(folder)
    rulings = _rulings(folder)
    findings = _findings(folder)
    people: dict[str, Recorder] = {}
    nameless = 0
    for record in records(folder):
        place = (
            record.verdict["source_file"],
            record.verdict["source_sheet"],
            record.verdict["source_row"],
        )
        cells = _cells(record, headings.get(place[:2], {}))
        if originals is not None:
            if place not in originals:
                raise OutputError(
                    f"{place[0]}, row {place[2]}, of {folder} is not in the files given with "
                    "--submission; give those that were vetted"
                )
            cells = {**cells, **originals[place], "dataGeneralizations": ""}
        told = _told(record, place, cells, findings.get(place, ()), rulings.get(record.id, {}))
        names = recorders(cells.get("recordedBy", ""))
        nameless += not names
        for name in names:
            person = people.setdefault(key(name), Recorder(name))
            person.records.append(told)
            person.joint = person.joint or len(names) > 1
    return Correspondence([people[k] for k in sorted(people)], nameless)


def _told(
    record: OutputRecord,
    place: Place,
    cells: Mapping[str, str],
    findings: Sequence[str],
    ruling: Mapping[str, str],
) -> Told:
    verdict = record.verdict
    pair = (cells.get("decimalLatitude", ""), cells.get("decimalLongitude", ""))
    grid = next(filter(None, (cells.get(name, "") for name in _COORDINATES)), "")
    return Told(
        place=place,
        claim=verdict["claim"],
        claimed=verdict["claimed_name"],
        outcome=verdict["outcome"],
        reasons=tuple(filter(None, verdict["reasons"].split(";"))),
        determined=verdict["determined_name"],
        qualifier=verdict["qualifier"],
        remedy=verdict["remedy"],
        rulebook=verdict["rulebook"],
        date=cells.get("eventDate") or cells.get("verbatimEventDate", ""),
        locality=cells.get("locality") or cells.get("verbatimLocality", ""),
        grid=grid or (", ".join(pair) if all(pair) else ""),
        coarse=bool(cells.get("dataGeneralizations")),
        findings=tuple(findings) if verdict["outcome"] == "returned" else (),
        ruling=ruling,
    )


def _cells(record: OutputRecord, fields: Mapping[str, str]) -> Mapping[str, str]:
    """A record's cells by field: of occurrence.csv, or of the returned row under its headings."""
    if record.occurrence:
        return record.occurrence
    return {name: record.returned.get(heading, "") for name, heading in fields.items()}


def _headings(folder: Path) -> dict[tuple[str, ...], Mapping[str, str]]:
    """For each table of the submission, the heading of each field."""
    try:
        summary = json.loads((folder / "summary.json").read_text(encoding="utf-8"))
        return {(t["file"], t["sheet"]): t["fields"] for t in summary["submission"]}
    except (OSError, ValueError, KeyError, TypeError):
        raise OutputError(
            f"{folder / 'summary.json'} is not there, or is not ours; give a folder that "
            "`crossproof vet --out` wrote"
        ) from None


def _rulings(folder: Path) -> dict[str, Mapping[str, str]]:
    """The rulings that hold, by record; of several on one record the last."""
    return {
        row["record"]: row
        for row in _rows(folder / "rulings.csv")
        if row["state"] == "holds" and row["ruling"] in (*NAMING, "ask")
    }


def _findings(folder: Path) -> dict[Place, list[str]]:
    """What is wrong with each row, and what would mend it."""
    found: dict[Place, list[str]] = {}
    for row in _rows(folder / "findings.csv"):
        if row["row"] and row["severity"] in ("error", "warning"):
            about = f"{row['column']}: " if row["column"] else ""
            text = f"{about}{row['message']}. {row['remedy']}"
            found.setdefault((row["file"], row["sheet"], row["row"]), []).append(text)
    return found


def _rows(path: Path) -> Iterator[Mapping[str, str]]:
    if not path.is_file():
        return
    with ExitStack() as stack:
        for row in table(stack, path):
            yield {name: unguard(cell) for name, cell in row.items()}
