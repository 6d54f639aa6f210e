"""Bring an output folder to its end: put in what people ruled, and say the same everywhere.

Everything flows one way. `vet` writes the tables as judged; rulings that hold go into them; what is
told of the whole folder (counts, quality, delta, page, descriptors) is made from the tables as they
stand then. The desk's export takes a folder that is whole already, and does the last two again.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from itertools import islice
from pathlib import Path
from typing import Any

from crossproof.checks import check_output, check_summary, write_descriptor
from crossproof.darwincore.covered import cover, coverage_of
from crossproof.darwincore.zipped import zip_folder
from crossproof.delta import FOLDER as DELTA
from crossproof.delta import write_delta
from crossproof.fitness import test_again
from crossproof.long_cells import dict_reader, reader
from crossproof.model import OUTCOMES
from crossproof.report.decisions import APPLIED, KEPT, RULED, STALE, Decision
from crossproof.report.page import Page
from crossproof.report.wording import clip
from crossproof.rulebooks.model import Rulebook
from crossproof.rulings.applying import apply_rulings, is_applied, tally
from crossproof.rulings.ruling import NAMING, Ruling, Standing
from crossproof.spreadsheet import guard, unguard
from crossproof.tabular import Block, TableFile

LISTED = "report.json"  # what the page lists, as judged
RULING_COLUMNS = ("ruling", "ruling_state", "ruled_name", "ruled_by", "ruled_on")
_AT_ONCE = 10_000


def close_folder(
    folder: Path,
    summary: Mapping[str, Any],
    rulebooks: Sequence[Rulebook],
    rulings: Sequence[Ruling] | None,
    *,
    validated: bool,
    today: date | None = None,
) -> dict[str, Any]:
    """Finish a folder whose tables are written; return its summary.

    Args:
        folder: nobody else reads it yet.
        summary: of the run that judged it.
        rulebooks: those it was judged by, for the words of the page.
        rulings: what a ledger holds, undone rulings too; None leaves the tables as they are.
        validated: whether the tables are held against their schemas.
        today: for the data-quality tests; this day, if it is not given.
    """
    told = dict(summary)
    found: Sequence[Standing] = ()
    decisions: Sequence[Decision] = ()
    if rulings is not None:
        found = apply_rulings(folder, rulings)
        counts, decisions = _rule_verdicts(folder, found)
        overturned = _by_count(Counter(d.outcome for d in decisions if d.standing == APPLIED))
        told |= counts | {"rulings": {**tally(found), "verdicts": overturned}}
        _cover_again(folder)
        if "quality" in told:
            told["quality"] = test_again(folder, today)
    if "since" in told:
        told["since"] = write_delta(folder, found, told["since"]["earlier"], told["issued"])
    write_descriptor(folder)
    with ThreadPoolExecutor(1) as beside:  # zlib lets others work while it packs
        zipped = beside.submit(_zip, folder)
        told["checks"] = {"tables_validated": validated}
        if validated:
            told["checks"]["table_problems"] = check_output(folder)
        check_summary(told)
        text = json.dumps(told, ensure_ascii=False, indent=2) + "\n"
        (folder / "summary.json").write_text(text, encoding="utf-8")
        Page.kept(folder / LISTED, rulebooks, decisions).write(folder / "report.html", told)
        zipped.result()
    return told


def _zip(folder: Path) -> None:
    zip_folder(folder / "dwca", folder / "dwca.zip")
    if (folder / DELTA).is_dir():
        zip_folder(folder / DELTA / "dwca", folder / DELTA / "dwca.zip")


def _cover_again(folder: Path) -> None:
    """Say in the metadata which taxa go out now."""
    with (folder / "dwca" / "occurrence.csv").open(encoding="utf-8", newline="") as file:
        covered = coverage_of(dict_reader(file))
    for part in ("dwca", "dwc-dp"):
        eml = folder / part / "eml.xml"
        cover(eml, eml, covered)


def _rule_verdicts(
    folder: Path, found: Sequence[Standing]
) -> tuple[dict[str, Any], Sequence[Decision]]:
    """Put each ruling beside its verdict in `verdicts.csv`; count the rows as they stand now.

    The columns of the verdict stay as they were. Where nothing was ruled, there are no columns for
    it.
    """
    path = folder / "verdicts.csv"
    standing = {entry.ruling.record: entry for entry in found}
    decisions: list[Decision] = []
    counts = _Counts()
    fresh = path.with_name(f".{path.name}.ruled")
    rows = _verdicts(path)
    heading = [name for name in next(rows) if name not in RULING_COLUMNS]
    columns = (*heading, *(RULING_COLUMNS if found else ()))
    with TableFile(fresh, columns) as table:
        while part := list(islice(rows, _AT_ONCE)):
            written = []
            for cells in part:
                verdict = {n: unguard(c) for n, c in zip(heading, cells, strict=False)}
                entry = standing.pop(verdict["occurrenceID"], None)
                counts.add(verdict, bool(entry and is_applied(entry)))
                if entry:
                    decisions.append(_decision(entry, verdict))
                more = map(guard, _ruling_cells(entry)) if found else ()
                written.append([*cells[: len(heading)], *more])
            table.write([Block(columns, written)])
    fresh.replace(path)
    decisions += [_decision(entry, {}) for entry in standing.values()]
    return counts.told(any(map(is_applied, found))), decisions


def _verdicts(path: Path) -> Iterator[list[str]]:
    with path.open(encoding="utf-8", newline="") as file:
        yield from reader(file)


def _ruling_cells(entry: Standing | None) -> tuple[str, ...]:
    if entry is None:
        return ("",) * len(RULING_COLUMNS)
    ruling = entry.ruling
    name = ruling.determination.scientific_name
    return (ruling.action, entry.state, name, ruling.by, ruling.on)


def _decision(entry: Standing, verdict: Mapping[str, str]) -> Decision:
    ruling = entry.ruling
    standing = STALE if entry.state != "holds" else APPLIED if is_applied(entry) else KEPT
    place = (ruling.file, ruling.sheet, ruling.row)
    if verdict:
        row = int(verdict["source_row"] or 0)
        place = (verdict["source_file"], verdict["source_sheet"], row)
    return Decision(
        place=place,
        claim=clip(verdict.get("claim", ruling.claim)),
        outcome=verdict.get("outcome", ""),
        determined=verdict.get("determined_name", ""),
        standing=standing,
        action=ruling.action,
        name=ruling.determination.scientific_name if ruling.action in NAMING else "",
        reason=clip(ruling.reason),
        by=ruling.by,
        on=ruling.on,
    )


class _Counts:
    """The rows by outcome, reason and hybrid claimed: those ruled on are counted as such."""

    def __init__(self) -> None:
        self._outcomes: Counter[str] = Counter()
        self._reasons: Counter[str] = Counter()
        self._hybrids: dict[str, Counter[str]] = {}

    def add(self, verdict: Mapping[str, str], is_ruled: bool) -> None:
        outcome = RULED if is_ruled else verdict["outcome"]
        self._outcomes[outcome] += 1
        if not is_ruled:
            self._reasons.update(filter(None, verdict["reasons"].split(";")))
        if verdict["claim_kind"] == "hybrid":
            self._hybrids.setdefault(verdict["claimed_name"], Counter())[outcome] += 1

    def told(self, with_ruled: bool) -> dict[str, Any]:
        """The sections of the summary."""
        outcomes = (*OUTCOMES, RULED) if with_ruled else OUTCOMES
        return {
            "outcomes": {outcome: self._outcomes[outcome] for outcome in outcomes},
            "reasons": _by_count(self._reasons),
            "hybrids": {name: _by_count(self._hybrids[name]) for name in sorted(self._hybrids)},
        }


def _by_count(counts: Counter[str]) -> dict[str, int]:
    return dict(sorted(counts.items(), key=lambda item: (-item[1], item[0])))
