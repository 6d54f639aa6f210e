"""What is known of the data set as a whole, from one TOML file."""

from __future__ import annotations

import json
import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from crossproof.darwincore.ids import uuid5
from crossproof.resources import folder

NOT_STATED = "not stated"


class MetadataError(ValueError):
    """The data-set file cannot be used; the message says where, what, and what would mend it."""

    def __init__(self, message: str, *, file: str = "", line: int = 0, key: str = "") -> None:
        place = ", ".join(
            part
            for part in (file, f"line {line}" if line else "", f"key {key}" if key else "")
            if part
        )
        super().__init__(f"{place}: {message}" if place else message)
        self.file = file
        self.line = line
        self.key = key


@dataclass(frozen=True, slots=True, kw_only=True)
class Party:
    """A person or an organisation that answers for the data set."""

    surname: str = ""
    given_name: str = ""
    organisation: str = ""
    position: str = ""
    email: str = ""
    url: str = ""
    orcid: str = ""

    @property
    def title(self) -> str:
        person = f"{self.given_name} {self.surname}".strip()
        return person or self.organisation or self.position or NOT_STATED


@dataclass(frozen=True, slots=True, kw_only=True)
class Licence:
    """A licence by its SPDX identifier, name and address."""

    name: str
    id: str = ""
    url: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DatasetMetadata:
    """The data set as its makers describe it; what they leave out is `not stated`, not made up."""

    title: str = NOT_STATED
    abstract: str = NOT_STATED
    identifier: str = ""
    version: str = ""
    language: str = "en"
    publisher: Party | None = None
    creators: tuple[Party, ...] = ()
    contacts: tuple[Party, ...] = ()
    licence: Licence | None = None
    homepage: str = ""
    citation: str = ""
    purpose: str = ""
    methods: tuple[str, ...] = ()
    place: str = ""
    keywords: tuple[str, ...] = ()

    @property
    def missing(self) -> tuple[str, ...]:
        """The names of the pieces that a published data set should state and this one doesn't."""
        stated = {
            "title": self.title != NOT_STATED,
            "abstract": self.abstract != NOT_STATED,
            "publisher": self.publisher is not None,
            "creator": bool(self.creators),
            "contact": bool(self.contacts),
            "licence": self.licence is not None,
        }
        return tuple(name for name, there in stated.items() if not there)


def dataset_id(metadata: DatasetMetadata, issued: str) -> str:
    """The identifier stated, else a version 5 UUID over the title and the day of issue."""
    return metadata.identifier or uuid5(f"dataset\x1f{metadata.title}\x1f{issued}")


def load_metadata(path: Path) -> DatasetMetadata:
    """Read a data-set file and check it against `schemas/dataset.schema.json`.

    Raises:
        MetadataError: the file cannot be read, is not TOML, or breaks the schema.
    """
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        reason = error.strerror if isinstance(error, OSError) else "it is not UTF-8 text"
        raise MetadataError(f"the file cannot be read: {reason}", file=path.name) from error
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        line = re.search(r"line (\d+)", str(error))
        raise MetadataError(
            f"this is not valid TOML: {error}",
            file=path.name,
            line=int(line[1]) if line else text.count("\n") + 1,
        ) from error
    _check(data, text, path.name)
    return _build(data)


def _check(data: dict[str, Any], text: str, file: str) -> None:
    import jsonschema

    schema = json.loads((folder("schemas") / "dataset.schema.json").read_text(encoding="utf-8"))
    validator = jsonschema.Draft202012Validator(
        schema, format_checker=jsonschema.Draft202012Validator.FORMAT_CHECKER
    )
    for error in sorted(validator.iter_errors(data), key=lambda e: list(map(str, e.absolute_path))):
        path = list(error.absolute_path)
        message = error.message
        if error.validator == "additionalProperties":
            known = ", ".join(sorted(error.schema["properties"]))
            extra = sorted(set(error.instance) - set(error.schema["properties"]))
            path.append(extra[0])
            message = f"there is no key {extra[0]!r} here; the keys are {known}"
        elif remedy := _remedy(schema, path):
            message = f"{message}; {remedy}"
        key = ".".join(str(part) for part in path)
        raise MetadataError(message, file=file, line=_line(text, path), key=key)


def _remedy(schema: dict[str, Any], path: list[str | int]) -> str:
    """What the schema says would mend the value at `path`; the nearest advice on the way to it."""
    node, remedy = schema, ""
    for part in path:
        node = node["items"] if isinstance(part, int) else node["properties"][part]
        shared = schema["$defs"][node["$ref"].rsplit("/", 1)[1]] if "$ref" in node else {}
        node = {**shared, **node}
        remedy = node.get("remedy", remedy)
    return remedy


def _line(text: str, path: list[str | int]) -> int:
    """The line of the key at `path`, or of the nearest table or key above it; 0 for none."""
    table: tuple[str | int, ...] = ()
    times: dict[str, int] = {}
    best, depth = 0, 0
    for number, line in enumerate(text.splitlines(), 1):
        if heading := re.match(r"\s*(\[\[?)\s*([\w.-]+)\s*\]", line):
            name = heading[2]
            table = (*name.split("."),)
            if heading[1] == "[[":
                table = (*table, times.setdefault(name, 0))
                times[name] += 1
            here = table
        elif key := re.match(r"\s*([\w.-]+|\"[^\"]+\")\s*=", line):
            here = (*table, *key[1].strip('"').split("."))
        else:
            continue
        if len(here) > depth and tuple(path[: len(here)]) == here:
            best, depth = number, len(here)
    return best


def _build(data: dict[str, Any]) -> DatasetMetadata:
    simple = {
        key: data[key]
        for key in [
            "title",
            "abstract",
            "identifier",
            "version",
            "language",
            "homepage",
            "citation",
            "purpose",
            "place",
        ]
        if key in data
    }
    return DatasetMetadata(
        **simple,
        publisher=Party(**data["publisher"]) if "publisher" in data else None,
        creators=tuple(Party(**party) for party in data.get("creator", ())),
        contacts=tuple(Party(**party) for party in data.get("contact", ())),
        licence=Licence(**data["licence"]) if "licence" in data else None,
        methods=tuple(data.get("methods", ())),
        keywords=tuple(data.get("keywords", ())),
    )
