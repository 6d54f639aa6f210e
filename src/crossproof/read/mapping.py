"""Load a column mapping: a TOML file that says which heading stands for which field."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Mapping
from os import PathLike
from pathlib import Path

from crossproof import resources
from crossproof.read.errors import Unreadable


def load_mapping(path: str | PathLike[str]) -> Mapping[str, str]:
    """Read a mapping file: lines such as `scientificName = "Plant found"`.

    Returns field → heading as written.

    Raises:
        Unreadable: no such file, not TOML, or not a mapping; the line or key is named.
    """
    from jsonschema import Draft202012Validator

    path = Path(path)
    try:
        text = path.read_text(encoding="utf-8-sig")
        data = tomllib.loads(text)
    except FileNotFoundError:
        raise Unreadable(f"There is no mapping file {path}; check its name and folder.") from None
    except OSError as error:
        raise Unreadable(f"The mapping file {path} can't be opened: {error.strerror}.") from None
    except UnicodeDecodeError as error:
        raise Unreadable(
            f"{path.name}: byte {error.start + 1} is not UTF-8; save the mapping file as UTF-8."
        ) from None
    except tomllib.TOMLDecodeError as error:
        raise Unreadable(
            f"{path.name} is not a mapping file: {error}. "
            'Write each line as field = "Heading", for example scientificName = "Plant found".'
        ) from None
    schema = json.loads((resources.folder("schemas") / "mapping.schema.json").read_bytes())
    for wrong in Draft202012Validator(schema).iter_errors(data):
        key = str(wrong.absolute_path[0]) if wrong.absolute_path else ""
        if not key and isinstance(wrong.instance, dict):
            key = next((k for k in wrong.instance if f"'{k}'" in wrong.message), "")
        place = f"line {_line(text, key)}, {key}" if key else "the file"
        remedy = (
            f'write it as {key or "field"} = "Heading as it stands in the table", a heading '
            "in quotes for each field, outside any [table]."
        )
        raise Unreadable(f"{path.name}, {place}: {wrong.message}; {remedy}")
    if repeated := [h for h in data.values() if list(data.values()).count(h) > 1]:
        keys = " and ".join(k for k, h in data.items() if h == repeated[0])
        raise Unreadable(
            f"{path.name}: {keys} are both given the heading {repeated[0]!r}; keep one of them."
        )
    return dict(data)


def _line(text: str, key: str) -> int:
    for number, line in enumerate(text.splitlines(), start=1):
        if line.lstrip(" ['\"").startswith(key):
            return number
    return 0
