"""Put every data-quality test to every record of any input that is read, into one folder."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from crossproof import __version__, quality, read
from crossproof.fitness import STANDARD
from crossproof.folder import MARK, whole_folder
from crossproof.model import Chunk, Table
from crossproof.quality.writing import Form, default_form
from crossproof.quality.writing import Table as GrowingTable

if TYPE_CHECKING:
    import pandas as pd

    from crossproof.quality import Outcome
    from crossproof.quality.tally import Tally

Progress = Callable[[int], None]
PLACE = ("source_file", "source_sheet", "source_row")
MOST_BROKEN = 20  # rows that do not fit their table, named in the summary; all are counted


@dataclass(frozen=True, slots=True, kw_only=True)
class QualityOptions:
    """How the tests are run.

    `apply` makes the amendments in a copy of the table. `taxa` is a list of taxa (CSV) that the
    tests of names are held against, `parameters` the draft standard's own by label of the test,
    `today` the day of the run (the clock's if not given). `inputs` are the files these came from:
    the output must not replace them.
    """

    mapping: Mapping[str, str] | None = None
    apply: bool = False
    form: Form | None = None
    taxa: Path | None = None
    parameters: Mapping[str, Mapping[str, str]] | None = None
    today: date | None = None
    inputs: tuple[Path, ...] = ()


def check_to(
    paths: Sequence[Path],
    out: Path,
    options: QualityOptions,
    progress: Progress = lambda rows: None,
) -> dict[str, Any]:
    """Test every record of `paths` into the folder `out`, and return the summary.

    Written are the tables of `quality.check_table`, with the place of each record in its file;
    `records`, which gives the place for each number in `responses`; and `summary.json`.
    `progress` is told the number of rows of each chunk that is read.

    Raises:
        read.Unreadable: a file cannot be read; nothing is written.
        FolderRefused: `out` cannot be used; nothing is written.
        quality.TaxonListError, FormError: the list of taxa can't be read, or Parquet not written.
        KeyError: `parameters` names a test there is not.
    """
    today = options.today or date.today()
    taxa = [options.taxa] if options.taxa else []
    with whole_folder(out, inputs=[*paths, *taxa, *options.inputs]) as draft:
        form = options.form or default_form()
        source = Source(paths, options.mapping, whole=options.apply)
        with GrowingTable(draft, "records", form, ("record", *PLACE), ("record",)) as records:
            outcome = quality.check_table(
                _noted(source.frames(progress), records),
                draft,
                taxa=options.taxa,
                parameters=options.parameters,
                today=today,
                apply=options.apply,
                form=form,
                source=", ".join(path.name or str(path) for path in paths),
                beside=PLACE,
            )
        summary = _summary(outcome, source, options, form, today)
        text = json.dumps(summary, ensure_ascii=False, indent=2) + "\n"
        # A cell may hold half a surrogate pair, which no encoding has a place for.
        (draft / MARK).write_bytes(text.encode("utf-8", errors="replace"))
    return summary


class Source:
    """The records of one or more inputs, under the names of Darwin Core.

    `whole` keeps the columns that no test reads as well, under their own headings, and reads every
    file twice: a table of one set of columns has to be known before its first row is written.
    """

    def __init__(
        self, paths: Sequence[Path], mapping: Mapping[str, str] | None, *, whole: bool
    ) -> None:
        self.tables: dict[tuple[str, str], Table] = {}
        self.broken: list[str] = []
        self.broken_rows = 0
        self._paths = paths
        self._mapping = mapping
        self._whole = whole

    def _chunks(self) -> Iterator[tuple[Chunk, bool]]:
        for path in self._paths:
            verbatim = not self._mapping and is_archive(path)
            for chunk in read.chunks(path, mapping=self._mapping, alone=True):
                yield chunk, verbatim

    def frames(self, progress: Progress) -> Iterator[pd.DataFrame]:
        """One frame of text per chunk: Darwin Core terms, and where each row comes from.

        Raises:
            read.Unreadable: while iterating, since files are read as they are asked for.
        """
        every: dict[str, None] = {}
        if self._whole:
            for chunk, verbatim in self._chunks():
                every |= dict.fromkeys(named(chunk.table, verbatim=verbatim, whole=True))
        for chunk, verbatim in self._chunks():
            self._note(chunk)
            progress(len(chunk) + len(chunk.broken))
            yield frame_of(chunk, verbatim=verbatim, whole=self._whole, columns=every)

    def _note(self, chunk: Chunk) -> None:
        self.tables.setdefault((chunk.table.file, chunk.table.sheet), chunk.table)
        self.broken_rows += len(chunk.broken)
        for row in chunk.broken[: MOST_BROKEN - len(self.broken)]:
            sheet = f", sheet {chunk.table.sheet}" if chunk.table.sheet else ""
            self.broken.append(f"{chunk.table.file}{sheet}, row {row.number}: {row.problem}")


def is_archive(path: Path) -> bool:
    """Whether a path is a Darwin Core archive, whose headings are terms already."""
    from crossproof.read.kinds import kind

    if path.is_dir():
        return (path / "meta.xml").is_file()
    return path.is_file() and kind(path) == "archive"


@cache
def _tested() -> frozenset[str]:
    """The terms that some test reads, bare and with their prefix."""
    terms = {term for test in quality.tests() for term in test.inputs}
    return frozenset(terms | {term.partition(":")[2] for term in terms})


def named(table: Table, *, verbatim: bool, whole: bool) -> dict[str, int]:
    """The columns of a table as the tests know them: name → position.

    A column is named by the field that its heading was taken for; with `verbatim` the headings are
    terms already and stand for themselves. `whole` keeps all other columns too, under their
    headings, with ` (submitted)` behind one that would be taken for another column.
    """
    places = {heading: position for position, heading in enumerate(table.headings)}
    headings = {heading: heading for heading in places} if verbatim else table.fields
    found = {name: places[h] for name, h in headings.items() if name in _tested()}
    if whole:
        kept = set(found.values())
        taken = {*PLACE, *_tested(), *found}
        for heading, place in places.items():
            if place in kept:
                continue
            name = heading
            while name in taken:
                name += " (submitted)"
            taken.add(name)
            found[name] = place
    return found


def frame_of(
    chunk: Chunk, *, verbatim: bool, whole: bool = False, columns: Iterable[str] = ()
) -> pd.DataFrame:
    """The rows of a chunk as a frame of text: Darwin Core terms, then `PLACE`.

    `columns` are names that get a column, a blank one where the chunk has none.
    """
    import pandas as pd

    places = named(chunk.table, verbatim=verbatim, whole=whole)
    blank = [""] * len(chunk)
    names = dict.fromkeys([*columns, *places])
    cells: dict[str, Any] = {
        name: chunk.columns[places[name]] if name in places else blank for name in names
    }
    cells["source_file"] = chunk.table.file
    cells["source_sheet"] = chunk.table.sheet
    cells["source_row"] = list(map(str, chunk.numbers))
    return pd.DataFrame(cells, index=range(len(chunk)), dtype=object)


def _noted(frames: Iterable[pd.DataFrame], records: GrowingTable) -> Iterator[pd.DataFrame]:
    """Write down which record, by its number, comes from where, and pass the frames on."""
    import numpy as np

    from crossproof.quality.distinct import encode

    for frame in frames:
        columns = {name: encode(frame[name]) for name in PLACE}
        numbers = np.arange(records.rows + 1, records.rows + 1 + len(frame))
        cells = {name: (column.values, column.codes) for name, column in columns.items()}
        records.write({"record": numbers, **cells})
        yield frame


def _summary(
    outcome: Outcome, source: Source, options: QualityOptions, form: Form, today: date
) -> dict[str, Any]:
    after = {tally.declaration.label: tally for tally in outcome.after}
    given = options.parameters or {}
    return {
        "crossproof": __version__,
        "standard": STANDARD,
        "today": today.isoformat(),
        "applied": options.apply,
        "form": form,
        "submission": [
            {"file": table.file, "sheet": table.sheet, "fields": dict(table.fields)}
            for table in source.tables.values()
        ],
        "records": outcome.records,
        "broken_rows": source.broken_rows,
        "broken": source.broken,
        "tests": [
            _told(tally, given.get(tally.declaration.label, {}), after)
            for tally in outcome.tallies
            if tally.declaration.kind != "MEASURE"
        ],
        "measures": [_measured(t) for t in outcome.tallies if t.declaration.kind == "MEASURE"],
    }


def _told(
    tally: Tally, parameters: Mapping[str, str], after: Mapping[str, Tally]
) -> dict[str, Any]:
    declared = tally.declaration
    told = {
        "test": declared.label,
        "guid": declared.guid,
        "type": declared.kind,
        "question": declared.question.replace("`", ""),
        "criterion": declared.criterion,
        "terms": list(declared.acted_upon),
        "parameters": dict(parameters),
        "counts": {answer: count for answer, count in tally.answers.items() if count},
    }
    if declared.label in after:
        answers = after[declared.label].answers
        told["counts_after"] = {answer: count for answer, count in answers.items() if count}
    return told


def _measured(tally: Tally) -> dict[str, Any]:
    return {
        "test": tally.declaration.label,
        "guid": tally.declaration.guid,
        "question": tally.declaration.question.replace("`", ""),
        "records": tally.measured,
        "mean": None if tally.mean is None else round(tally.mean, 3),
        "least": tally.least,
        "most": tally.most,
    }


def load_parameters(path: Path) -> dict[str, dict[str, str]]:
    """Read parameters of the tests from a TOML file: a table for each, named by label or GUID.

    Returns them by label.

    Raises:
        ValueError: not TOML, or not parameters of the tests; the sentence says which.
        OSError: the file cannot be read.
    """
    import tomllib

    declared = {test.label: test for test in quality.tests()}
    labels = {test.guid: test.label for test in quality.tests()}
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except OSError as error:
        raise ValueError(f"{path} can't be opened: {error.strerror}") from None
    except ValueError as error:  # not UTF-8, or not TOML
        raise ValueError(
            f"{path} is not a file of parameters ({error}); write a table [LABEL_OF_A_TEST], and "
            'in it "bdqval:nameOfTheParameter" = "value"'
        ) from None
    found: dict[str, dict[str, str]] = {}
    for name, values in data.items():
        label = labels.get(name, name)
        if label not in declared:
            raise ValueError(
                f"{path}: there is no test {name!r}; see docs/reference/quality-tests.md"
            )
        known = declared[label].parameters
        if not isinstance(values, dict) or not known.keys() >= values.keys():
            unknown = (
                next((v for v in values if v not in known), "") if isinstance(values, dict) else ""
            )
            what = f"has no parameter {unknown!r}" if unknown else "needs a table of parameters"
            takes = ", ".join(known) or "none"
            raise ValueError(f"{path}: {label} {what}; it takes {takes}")
        found[label] = {key: str(value) for key, value in values.items()}
    return found
