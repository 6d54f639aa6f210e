"""Draw the sample, and write it for a person to judge without knowing what the audit said."""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from crossproof.audit.duplicates import Duplicates
from crossproof.audit.parts import Part
from crossproof.audit.sampling import allocate, size_for
from crossproof.sensitive.people import Rename, renamed
from crossproof.spreadsheet import GuardedFile
from crossproof.tabular import Block

LEAD = ("sample_id", "judged_outcome", "judged_by", "judged_note")
KEY_COLUMNS = ("sample_id", "stratum", "outcome", "source_file", "source_sheet", "source_row")
_PEOPLE = ("recordedBy", "identifiedBy")
Entry = Mapping[str, Any]


def draw(
    parts: Sequence[Part],
    duplicates: Duplicates,
    population: Mapping[str, int],
    precision: float,
) -> list[Entry]:
    """The sample, in the order of the lots: `size_for` the population, shared out by stratum."""
    wanted = allocate(size_for(precision, sum(population.values())), population)
    chosen: dict[str, list[tuple[int, int, Entry]]] = {name: [] for name in wanted}
    for number, entry in enumerate(_entries(parts, duplicates)):
        best = chosen[entry["stratum"]]
        item = (-entry["lot"], number, entry)
        if len(best) < wanted[entry["stratum"]]:
            heapq.heappush(best, item)
        else:
            heapq.heappushpop(best, item)
    drawn = (
        {**entry, "cells": dict(zip(entry["headings"], entry["cells"], strict=True))}
        for best in chosen.values()
        for _, _, entry in best
    )
    return sorted(drawn, key=lambda entry: int(entry["lot"]))


def _entries(parts: Sequence[Part], duplicates: Duplicates) -> Iterator[Entry]:
    for number, part in enumerate(parts):
        again = frozenset(duplicates.of_part(number).tolist())
        yield from (entry for entry in part.sample() if entry["position"] not in again)


def write(
    sample: Sequence[Entry],
    tables: Sequence[Mapping[str, Any]],
    folder: Path,
    rename: Rename | None,
) -> None:
    """Write `sample.csv`, the records as submitted, and `sample_key.csv`, what the audit said."""
    people = {
        (table["file"], table["sheet"]): {table["fields"].get(field) for field in _PEOPLE}
        for table in tables
    }
    headings = tuple(dict.fromkeys(h for entry in sample for h in entry["cells"]))
    columns = (*LEAD, *(f"{h} (submitted)" if h in LEAD else h for h in headings))
    with GuardedFile(folder / "sample.csv", columns) as file:
        rows = [
            (str(i), "", "", "", *_cells(entry, headings, people, rename))
            for i, entry in enumerate(sample, start=1)
        ]
        file.write([Block(columns, rows)])
    with GuardedFile(folder / "sample_key.csv", KEY_COLUMNS) as file:
        keys = [
            (str(i), e["stratum"], outcome_of(e["stratum"]), e["file"], e["sheet"], str(e["row"]))
            for i, e in enumerate(sample, start=1)
        ]
        file.write([Block(KEY_COLUMNS, keys)])


def _cells(
    entry: Entry,
    headings: Sequence[str],
    people: Mapping[tuple[str, str], set[Any]],
    rename: Rename | None,
) -> Iterator[str]:
    named = people.get((entry["file"], entry["sheet"]), set())
    change: Callable[[str], str] = (lambda c: renamed(c, rename)) if rename else (lambda c: c)
    for heading in headings:
        cell = entry["cells"].get(heading, "")
        yield change(cell) if heading in named and cell.strip() else cell


def outcome_of(stratum: str) -> str:
    return "lowered" if stratum in ("missing", "undecided", "against") else stratum
