"""Hold what was written against the schemas that ship: every table, every verdict, the summary."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from crossproof.resources import folder

TABLES = ("verdicts", "findings", "returned", "quality", "quality_responses", "rulings", "since")
PLACES = {"since": "delta/since.csv"}  # of tables that stand in a folder of their own

# All of it is said, since what a descriptor leaves out may be guessed from the text.
DIALECT = {
    "delimiter": ",",
    "lineTerminator": "\r\n",
    "quoteChar": '"',
    "doubleQuote": True,
    "skipInitialSpace": False,
}


def validator(name: str) -> Any:
    """A jsonschema validator for `schemas/<name>.schema.json`."""
    from jsonschema import Draft202012Validator

    path = folder("schemas") / f"{name}.schema.json"
    return Draft202012Validator(json.loads(path.read_text(encoding="utf-8")))


def check_output(out: Path) -> list[str]:
    """Every problem of an output folder's tables, in words; none where all is well."""
    from crossproof.darwincore.validate import validate_tables

    found = [
        str(problem)
        for part in (out, out / "dwca", out / "dwc-dp", out / "delta" / "dwca")
        if part.is_dir()
        for problem in validate_tables(part) or ()
    ]
    return [*found, *_verdict_problems(out / "verdicts.csv")]


def _verdict_problems(path: Path) -> Iterator[str]:
    """What must hold between the columns of a verdict and does not, once for each kind of row."""
    schema = validator("verdict")
    seen: set[tuple[str, ...]] = set()
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            kind = tuple(row[name] for name in schema.schema["properties"])
            if kind in seen:
                continue
            seen.add(kind)
            for error in schema.iter_errors(row):
                yield f"verdicts.csv, source row {row['source_row']}: {error.message}"


def check_summary(summary: Mapping[str, Any]) -> None:
    """Hold a summary against its schema before it is written.

    Raises:
        jsonschema.ValidationError: a defect of this program, never of a submission.
    """
    validator("summary").validate(summary)


def write_descriptor(out: Path) -> None:
    """Write `datapackage.json` for the tables that people open, so that any Frictionless tool can
    check them."""
    resources = []
    for name in TABLES:
        text = (folder("schemas") / "vetting" / f"{name}.json").read_text(encoding="utf-8")
        schema = json.loads(text)
        place = PLACES.get(name, f"{name}.csv")
        path = out / place
        if not path.exists():  # it was not asked for
            continue
        with path.open(encoding="utf-8", newline="") as file:
            heading = next(csv.reader(file))
        known = {field["name"]: field for field in schema["fields"]}
        fields = [known.get(column, {"name": column, "type": "string"}) for column in heading]
        resources.append(
            {
                "name": name,
                "title": schema["title"],
                "description": schema["description"],
                "type": "table",
                "path": place,
                "format": "csv",
                "mediatype": "text/csv",
                "encoding": "utf-8",
                "dialect": DIALECT,
                "schema": {"fields": fields},
            }
        )
    package = {"name": "crossproof-vetting", "resources": resources}
    text = json.dumps(package, ensure_ascii=False, indent=2) + "\n"
    (out / "datapackage.json").write_text(text, encoding="utf-8")
