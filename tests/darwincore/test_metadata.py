"""Data-set metadata from TOML: read, checked, and never made up."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from crossproof.darwincore.metadata import DatasetMetadata, MetadataError, load_metadata
from crossproof.resources import folder

WHOLE = """\
title = "Marsh-orchids of Osier Fen"
abstract = "Records of a fen."
language = "en"
version = "1.0"
methods = ["Every plant was looked at."]
keywords = ["orchids"]

[publisher]
organisation = "Osier Fen Recording Group"

[[creator]]
surname = "Marrable"
given_name = "Ottoline"
email = "ottoline@osier.example"

[[creator]]
surname = "Sedge"

[[contact]]
position = "Recorder"

[licence]
id = "CC0-1.0"
name = "Creative Commons Zero"
url = "https://creativecommons.org/publicdomain/zero/1.0/"
"""


def load(tmp_path: Path, text: str) -> DatasetMetadata:
    path = tmp_path / "dataset.toml"
    path.write_text(text, encoding="utf-8")
    return load_metadata(path)


def test_all_of_it_is_read(tmp_path: Path) -> None:
    metadata = load(tmp_path, WHOLE)
    assert metadata.title == "Marsh-orchids of Osier Fen"
    assert [party.title for party in metadata.creators] == ["Ottoline Marrable", "Sedge"]
    assert metadata.licence is not None
    assert metadata.licence.id == "CC0-1.0"
    assert metadata.missing == ()


def test_what_is_missing_is_named() -> None:
    metadata = DatasetMetadata()
    assert metadata.missing == ("title", "abstract", "publisher", "creator", "contact", "licence")
    assert (metadata.title, metadata.abstract) == ("not stated", "not stated")


def test_an_empty_file_is_no_error(tmp_path: Path) -> None:
    assert load(tmp_path, "") == DatasetMetadata()


@pytest.mark.parametrize(
    ("change", "line", "key", "says"),
    [
        (("title =", "titel ="), 1, "titel", "no key 'titel' here; the keys are abstract,"),
        (('"1.0"', "1.0"), 4, "version", 'put the version in quotes: version = "1.0"'),
        (('"en"', '"English language"'), 3, "language", "write a language code such as en"),
        (("@osier", " at osier"), 14, "creator.0.email", "write an address with an @"),
        (('surname = "Sedge"', 'given_name = "S"'), 16, "creator.1", "name a surname"),
        (('surname = "Sedge"', 'name = "Sedge"'), 17, "creator.1.name", "there is no key 'name'"),
        (('name = "Creative Commons Zero"', ""), 22, "licence", "[licence] with at least a name"),
        (('"CC0-1.0"', '"CC0 1.0"'), 23, "licence.id", "an identifier such as CC0-1.0"),
        (('["orchids"]', '"orchids"'), 6, "keywords", "write a list: keywords ="),
        (("https://cre", "cre"), 25, "licence.url", "starts with https://"),
        (("title = ", "title == "), 1, "", "this is not valid TOML"),
        (('"Marsh', '" ", "Marsh'), 1, "", "this is not valid TOML"),
        (('"Records of a fen."', '" "'), 2, "abstract", "write some text in quotes"),
    ],
)  # fmt: skip
def test_an_error_says_where_and_what_mends_it(
    change: tuple[str, str], line: int, key: str, says: str, tmp_path: Path
) -> None:
    with pytest.raises(MetadataError) as caught:
        load(tmp_path, WHOLE.replace(*change, 1))
    assert says in str(caught.value)
    assert (caught.value.line, caught.value.key, caught.value.file) == (line, key, "dataset.toml")


@pytest.mark.parametrize("content", [None, b"\xff\xfe"], ids=["missing", "not UTF-8"])
def test_a_file_that_cannot_be_read(content: bytes | None, tmp_path: Path) -> None:
    path = tmp_path / "dataset.toml"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(MetadataError, match=r"^dataset.toml: the file cannot be read"):
        load_metadata(path)


def test_the_schema_is_a_schema() -> None:
    """JSON Schema, draft 2020-12."""
    schema = json.loads((folder("schemas") / "dataset.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
