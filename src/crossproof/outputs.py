"""Write what `vet` makes of a submission, batch by batch, into one folder."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import replace
from functools import partial
from pathlib import Path
from types import TracebackType
from typing import Any

import numpy as np

from crossproof import __version__
from crossproof.closing import LISTED
from crossproof.darwincore.archive import Archive
from crossproof.darwincore.history import CITATION, Crosses, history
from crossproof.darwincore.metadata import DatasetMetadata, load_metadata
from crossproof.darwincore.package import DataPackage
from crossproof.delta import FOLDER as DELTA
from crossproof.earlier import Earlier
from crossproof.fitness import Fitness
from crossproof.model import OUTCOMES, Table
from crossproof.options import Options
from crossproof.report.counts import finding_counts, hybrid_counts, outcome_counts, reason_counts
from crossproof.report.page import Page
from crossproof.report.sheets import (
    FindingSheet,
    Returned,
    ReturnedSheet,
    VerdictSheet,
    under_headings,
)
from crossproof.rulebooks.model import Rulebook
from crossproof.since import Since
from crossproof.vetter import Batch, Vetter


class VetOutput:
    """The output folder of one run. Use as a context manager; leaving it writes what comes last."""

    def __init__(self, folder: Path, vetter: Vetter, earlier: Earlier | None = None) -> None:
        options = vetter.options
        metadata = load_metadata(options.metadata) if options.metadata else DatasetMetadata()
        methods, cited = methods_of(vetter.rulebooks, options), citations(vetter.rulebooks)
        crosses = parents_of(vetter.rulebooks)
        self.folder = folder
        self._stack = ExitStack()
        self._verdicts = self._stack.enter_context(VerdictSheet(folder / "verdicts.csv"))
        self._findings = self._stack.enter_context(FindingSheet(folder / "findings.csv"))
        self._returned = self._stack.enter_context(ReturnedSheet(folder / "returned.csv"))
        self._fitness = (
            self._stack.enter_context(Fitness(folder, options.today)) if options.quality else None
        )
        self._page = Page(vetter.rulebooks)
        present, detected = options.status_words
        self._archive = self._stack.enter_context(
            Archive(
                folder / "dwca",
                metadata,
                issued=options.issued,
                status_word=present,
                methods=methods,
            )
        )
        self._history = partial(history, issued=options.issued, rulebooks=cited, crosses=crosses)
        self._since: Since | None = None
        if earlier:
            self._stack.callback(earlier.close)
            self._since = Since(earlier, folder / DELTA)
            self._stack.callback(self._since.close)
        self._package = self._stack.enter_context(
            DataPackage(
                folder / "dwc-dp",
                metadata,
                issued=options.issued,
                status_word=detected,
                methods=methods,
            )
        )
        self._tables: dict[tuple[str, str], Table] = {}
        self._counts: dict[str, Counter[str]] = {
            key: Counter() for key in ("outcomes", "reasons", "findings")
        }
        self._hybrids: dict[str, Counter[str]] = {}
        self._options = options
        self._rulebooks = vetter.rulebooks

    def write(self, batch: Batch) -> None:
        """Write one batch to every table."""
        judged = batch.judged
        if self._since:
            judged = self._since.settle(judged, batch.chunk, batch.exported)
            batch = replace(batch, judged=judged)
        self._tables.setdefault((batch.table.file, batch.table.sheet), batch.table)
        self._verdicts.add(judged, batch.photo, batch.broken)
        self._findings.add(batch.findings)
        self._returned.add(_returned(batch))
        exported = judged.select(batch.exported)
        further = self._since.history(exported) if self._since else None
        told = self._history(exported, further=further)
        written = self._archive.write(exported, told)
        if self._since:
            self._since.tell(exported, written)
        if self._fitness:
            self._fitness.add(exported, written)
        self._package.write(exported, told)
        self._page.add(judged, batch.photo, batch.findings)
        self._count(batch)

    def _count(self, batch: Batch) -> None:
        self._counts["outcomes"].update(outcome_counts(batch.judged))
        self._counts["outcomes"]["returned"] += len(batch.broken)
        self._counts["reasons"].update(reason_counts(batch.judged))
        if batch.broken:
            self._counts["reasons"]["row_broken"] += len(batch.broken)
        self._counts["findings"].update(finding_counts(batch.findings))
        for name, counts in hybrid_counts(batch.judged).items():
            self._hybrids.setdefault(name, Counter()).update(counts)

    @property
    def rows(self) -> int:
        """How many input rows were written so far."""
        return self._counts["outcomes"].total()

    def summary(self) -> dict[str, Any]:
        """What `summary.json` says of the rows as judged; `close_folder` says the rest."""
        return {
            "crossproof": __version__,
            "needs": "strict" if self._options.strict_needs else "default",
            "issued": self._options.issued,
            "rulebooks": [
                {"id": book.id, "version": book.version, "issued": book.issued}
                for book in self._rulebooks
            ],
            "submission": [
                {"file": table.file, "sheet": table.sheet, "fields": dict(table.fields)}
                for table in self._tables.values()
            ],
            "rows": self.rows,
            "outcomes": {outcome: self._counts["outcomes"][outcome] for outcome in OUTCOMES},
            "reasons": _by_count(self._counts["reasons"]),
            "hybrids": {name: _by_count(self._hybrids[name]) for name in sorted(self._hybrids)},
            "findings": _by_count(self._counts["findings"]),
            **({"quality": self._fitness.summary()} if self._fitness else {}),
            **({"since": {"earlier": self._since.name}} if self._since else {}),
        }

    def __enter__(self) -> VetOutput:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if kind is None:
            self._page.keep(self.folder / LISTED)
            if self._since:
                self._since.finish()
        self._stack.__exit__(kind, error, trace)


def _by_count(counts: Counter[str]) -> dict[str, int]:
    ordered = sorted(counts.items(), key=lambda item: (-item[1], item[0]))
    return {name: count for name, count in ordered if count}


def _returned(batch: Batch) -> Iterator[Returned]:
    """The rows of a batch that go back: verbatim, with why and with what would mend them."""
    positions = np.flatnonzero(batch.is_returned).tolist()
    if not positions and not batch.broken:
        return
    told: dict[int, list[str]] = {}
    for found in batch.as_found:
        if found.row:
            told.setdefault(found.row, []).append(
                f"{found.column}: {found.message}. {found.remedy}"
            )
    headings = batch.table.headings
    verdicts = batch.judged.verdicts
    rows: dict[int, Returned] = {}
    for position in positions:
        number = batch.chunk.numbers[position]
        cells = {
            h: column[position] for h, column in zip(headings, batch.chunk.columns, strict=True)
        }
        reasons = ";".join(verdicts.values[verdicts.codes[position]].reasons)
        told_here = " | ".join(told.get(number, ()))
        rows[number] = Returned(batch.table, number, cells, reasons, told_here)
    for broken in batch.broken:
        cells = under_headings(headings, broken.cells)
        rows[broken.number] = Returned(
            batch.table, broken.number, cells, "row_broken", broken.problem
        )
    yield from (rows[number] for number in sorted(rows))


def citations(rulebooks: tuple[Rulebook, ...]) -> dict[str, str]:
    """How each rulebook is cited in dwc:identificationReferences."""
    return {
        book.id: f"{CITATION}{book.title}, version {book.version} ({book.issued})"
        for book in rulebooks
    }


def parents_of(rulebooks: tuple[Rulebook, ...]) -> Crosses:
    """The parents of each hybrid by its name, as (name, authorship, rank), alphabetical."""
    return {
        book.written(hybrid.id): tuple(
            (parent.name, parent.authorship, parent.rank)
            for parent in sorted((book.taxa[p] for p in hybrid.parents), key=lambda t: t.name)
        )
        for book in rulebooks
        for hybrid in book.hybrids
    }


def methods_of(rulebooks: tuple[Rulebook, ...], options: Options) -> tuple[str, ...]:
    """What was done, in words for the data set's metadata."""
    needs = "the tiers of practice" if options.strict_needs else "leaf, stem and photo"
    held = "; ".join(f"{book.title}, version {book.version} ({book.issued})" for book in rulebooks)
    return (
        f"Every hybrid claim was held to the evidence its rulebook asks for ({needs} for "
        "spotted × marsh crosses of orchids). Claims without it, or with stated evidence against "
        "them, were lowered to the lowest taxon that holds all that is still possible.",
        f"Rulebooks: {held}.",
        "Places given as grid references are the centre of the square; the uncertainty holds its "
        "corners and the accuracy of the transformation.",
        *_parents_sought(options),
    )


def _parents_sought(options: Options) -> Iterator[str]:
    if options.parents_near_km is not None:
        lists = " and in lists of other records" if options.parents_lists else ""
        yield (
            f"Both parents of each cross were looked for within {options.parents_near_km:g} km and "
            f"{options.parents_years} years, in the submission{lists}."
        )
