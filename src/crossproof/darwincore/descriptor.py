"""The data package's descriptor, `datapackage.json`.

After sections 3.1 to 3.4 of the Darwin Core Data Package guide (TDWG, 2026-05-26), and the Data
Package specification, version 1.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from crossproof.darwincore.metadata import DatasetMetadata, Party, dataset_id
from crossproof.darwincore.terms import schema

VERSION = "0.1"  # of the profile and table schemas, 2026-06-26: a draft. Pinned here alone.
PROFILE = f"http://rs.tdwg.org/dwc-dp/{VERSION}/dwc-dp-profile.json"


def write_descriptor(
    folder: Path,
    metadata: DatasetMetadata,
    columns: Mapping[str, Sequence[str]],
    *,
    issued: str,
    methods: Sequence[str] = (),
    suffix: str = ".csv",
) -> None:
    """Write `datapackage.json` for tables that lie in `folder` with these columns.

    `columns` is table → columns, as written; a table's file is its name and `suffix`.
    """
    descriptor: dict[str, Any] = {
        "profile": PROFILE,
        "id": dataset_id(metadata, issued),
        **_about(metadata, methods),
        **({"created": f"{issued[:10]}T00:00:00Z"} if issued else {}),
        "resources": [
            _resource(folder / f"{table}{suffix}", table_schema(table, columns))
            for table in columns
        ],
    }
    text = json.dumps(descriptor, ensure_ascii=False, indent=2)
    (folder / "datapackage.json").write_text(text + "\n", encoding="utf-8", newline="\n")


def table_schema(table: str, columns: Mapping[str, Sequence[str]]) -> dict[str, Any]:
    """The Table Schema of a table as written: its columns, and its keys to tables that exist."""
    whole = schema("dwc-dp", table)
    known = {field["name"]: field for field in whole["fields"]}
    keys = [
        key
        for key in whole["foreignKeys"]
        if key["fields"] in columns[table]
        and (key["reference"]["resource"] or table) in columns
        and key["reference"]["fields"] in columns[key["reference"]["resource"] or table]
    ]
    return {
        **{name: whole[name] for name in ("identifier", "name", "title", "description")},
        "fields": [known[name] for name in columns[table]],
        **{name: whole[name] for name in ("primaryKey", "weakPrimaryKey") if name in whole},
        **({"foreignKeys": keys} if keys else {}),
    }


def _resource(path: Path, schema: dict[str, Any]) -> dict[str, Any]:
    with path.open("rb") as file:
        digest = hashlib.file_digest(file, "sha256").hexdigest()
    return {
        "name": schema["name"],
        "path": path.name,
        "profile": "tabular-data-resource",
        "format": "csv",
        "mediatype": "text/csv",
        "bytes": path.stat().st_size,
        "hash": f"sha256:{digest}",
        "schema": schema,
    }


def _about(metadata: DatasetMetadata, methods: Sequence[str]) -> dict[str, Any]:
    paragraphs = [metadata.abstract, *metadata.methods, *methods]
    about: dict[str, Any] = {
        "title": metadata.title,
        "description": "\n\n".join(paragraphs),
        "version": metadata.version,
        "homepage": metadata.homepage,
        "keywords": list(metadata.keywords),
        "contributors": _contributors(metadata),
        "licenses": _licences(metadata),
    }
    return {key: value for key, value in about.items() if value}


def _contributors(metadata: DatasetMetadata) -> list[dict[str, str]]:
    roles: list[tuple[Party, str]] = [(party, "author") for party in metadata.creators]
    roles += [(party, "contact") for party in metadata.contacts]
    roles += [(metadata.publisher, "publisher")] if metadata.publisher else []
    return [
        {
            key: text
            for key, text in {
                "title": party.title,
                "email": party.email,
                "path": party.orcid or party.url,
                "organization": party.organisation if party.title != party.organisation else "",
                "role": role,
            }.items()
            if text
        }
        for party, role in roles
    ]


def _licences(metadata: DatasetMetadata) -> list[dict[str, str]]:
    licence = metadata.licence
    if not licence or not (licence.id or licence.url):
        return []
    named = {"name": licence.id, "path": licence.url, "title": licence.name}
    return [{key: text for key, text in named.items() if text}]
