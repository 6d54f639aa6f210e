"""The tables that the descriptor of a data package lists (Frictionless Data Package, version 1)."""

from __future__ import annotations

import csv
import gzip
import io
import json
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack
from dataclasses import dataclass
from itertools import islice
from typing import Any, BinaryIO

from crossproof.read.errors import Unreadable
from crossproof.read.safezip import climbs

Opener = Callable[[str], BinaryIO]

DESCRIPTOR = "datapackage.json"
MOST_BYTES = 16 * 2**20  # of a descriptor; those of the standard's own schemas take a tenth


@dataclass(frozen=True, slots=True)
class Resource:
    """A table of the package: where it is, and how it is written."""

    name: str
    paths: tuple[str, ...]
    encoding: str
    delimiter: str
    quote: str

    def rows(self, opener: Opener, place: str) -> Iterator[list[str]]:
        """All rows with the heading, which only the first file may have above its rows.

        Raises:
            Unreadable: missing, damaged, or in an encoding that is not there.
        """
        for number, path in enumerate(self.paths):
            try:
                with ExitStack() as stack:
                    file: Any = stack.enter_context(opener(path))
                    if path.endswith(".gz"):
                        file = stack.enter_context(gzip.open(file))
                    text = io.TextIOWrapper(file, self.encoding, newline="")
                    rows = csv.reader(text, delimiter=self.delimiter, quotechar=self.quote)
                    yield from islice(rows, 1 if number else 0, None)
            except (KeyError, FileNotFoundError):
                raise Unreadable(
                    f"{place}: the descriptor names a file {path!r} that is not there; add it."
                ) from None
            except LookupError:
                raise Unreadable(f"{place}: unknown encoding {self.encoding!r}.") from None
            except (csv.Error, UnicodeError) as error:
                raise Unreadable(
                    f"{place}/{path} is not as {DESCRIPTOR} describes it ({error}); write the "
                    "package again."
                ) from None

    def dicts(self, opener: Opener, place: str) -> Iterator[dict[str, str]]:
        """The rows as mappings of field to text."""
        rows = self.rows(opener, place)
        fields = [name.lstrip("\ufeff") for name in next(rows, [])]
        for row in rows:
            yield dict(zip(fields, row, strict=False))


def resources(opener: Opener, name: str) -> dict[str, Resource]:
    """The tables that a descriptor lists, by name.

    Raises:
        Unreadable: no JSON object with resources; a path that leads out of the package.
    """
    with opener(DESCRIPTOR) as file:
        document = file.read(MOST_BYTES + 1)
    try:
        if len(document) > MOST_BYTES:
            raise ValueError("it is larger than 16 MiB")
        listed = json.loads(document)["resources"]
        found = [_resource(entry) for entry in listed]
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise Unreadable(
            f"{name}: {DESCRIPTOR} describes no tables ({error}); write the package again."
        ) from None
    for resource in found:
        for path in resource.paths:
            if climbs(path) or "://" in path:
                raise Unreadable(
                    f"{name}: {DESCRIPTOR} points to {path!r}, outside the package; it was not "
                    "opened."
                )
    return {resource.name: resource for resource in found}


def _resource(entry: Mapping[str, Any]) -> Resource:
    paths = entry["path"] if isinstance(entry["path"], list) else [entry["path"]]
    dialect = entry.get("dialect") or {}
    delimiter, quote = str(dialect.get("delimiter", ",")), str(dialect.get("quoteChar", '"'))
    if len(delimiter) != 1 or len(quote) != 1:
        raise ValueError(f"cells are separated by {delimiter!r} and enclosed in {quote!r}")
    encoding = str(entry.get("encoding", "utf-8"))
    utf8 = encoding.replace("-", "").casefold() == "utf8"
    return Resource(
        str(entry["name"]),
        tuple(map(str, paths)),
        "utf-8-sig" if utf8 else encoding,
        delimiter,
        quote,
    )
