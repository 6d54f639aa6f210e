"""What a user asks to keep back, from one TOML file."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from crossproof.resources import folder
from crossproof.rulebooks.lines import line_of, lines_of
from crossproof.sensitive.area import Area, ring_of
from crossproof.sensitive.level import DEFAULT, WITHHELD, read_level

if TYPE_CHECKING:
    from crossproof.parse.place import Place


class SensitiveError(ValueError):
    """The file cannot be used; the message names the line, the key and what would mend it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """What is sensitive: plants by name, sites by words of their locality, areas; level each.

    `default` is what a record asks for that only says that it is sensitive.
    """

    default: int = DEFAULT
    hide_localities: bool = False
    taxa: tuple[tuple[str, int], ...] = ()
    sites: tuple[tuple[re.Pattern[str], int], ...] = ()
    areas: tuple[Area, ...] = ()


def load_request(path: Path, read_place: Callable[[str], Place]) -> Request:
    """Read a file and check it against `schemas/sensitive.schema.json`.

    Args:
        read_place: reads a grid reference; raises ValueError where it is none.

    Raises:
        SensitiveError: the file cannot be read, is not TOML, breaks the schema, or names a square
            that is none.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
        data = tomllib.loads(text)
    except OSError as error:
        raise SensitiveError(
            f"{path.name} can't be opened: {error.strerror}; check the name given with --sensitive"
        ) from None
    except UnicodeDecodeError:
        raise SensitiveError(f"{path.name} is not UTF-8 text; save it as UTF-8") from None
    except tomllib.TOMLDecodeError as error:
        raise SensitiveError(
            f'{path.name} is not valid TOML: {error}; write lines such as level = "1 km" under '
            "[[site]], [[square]], [[area]] or [[taxon]]"
        ) from None
    _check(data, text, path.name)
    return _build(data, text, path.name, read_place)


def _check(data: dict[str, Any], text: str, file: str) -> None:
    from jsonschema import Draft202012Validator

    schema = json.loads((folder("schemas") / "sensitive.schema.json").read_text(encoding="utf-8"))
    for error in Draft202012Validator(schema).iter_errors(data):
        path = [*error.absolute_path]
        message, remedy = error.message, str(error.schema.get("remedy", ""))
        if error.validator == "additionalProperties":
            unknown = sorted({*error.instance} - {*error.schema["properties"]})[0]
            known = ", ".join(error.schema["properties"])
            message, remedy = f"there is no key {unknown!r} here", f"the keys are {known}"
            path.append(unknown)
        raise _refused(file, text, path, message, remedy)


def _refused(
    file: str, text: str, path: list[str | int], message: str, remedy: str
) -> SensitiveError:
    line = line_of(lines_of(text), tuple(path))
    key = ".".join(str(part + 1) if isinstance(part, int) else part for part in path)
    place = f"{file}, line {line}" + (f", {key}" if key else "")
    return SensitiveError(f"{place}: {message}" + (f"; {remedy}" if remedy else ""))


def _build(
    data: dict[str, Any], text: str, file: str, read_place: Callable[[str], Place]
) -> Request:
    areas = [
        Area(tuple((x, y) for x, y in area["polygon"]), _level(area["level"]))
        for area in data.get("area", ())
    ]
    for i, square in enumerate(data.get("square", ())):
        path: list[str | int] = ["square", i, "reference"]
        try:
            place = read_place(square["reference"])
        except ValueError as error:
            raise _refused(file, text, path, str(error), getattr(error, "remedy", "")) from None
        if not place.footprint_wkt:
            remedy = "write a grid reference such as SU12, or an [[area]] with a polygon"
            raise _refused(file, text, path, f"{square['reference']!r} is no grid square", remedy)
        areas.append(Area(ring_of(place.footprint_wkt), _level(square["level"])))
    return Request(
        default=_level(data["default"]) if "default" in data else DEFAULT,
        hide_localities=data.get("hide_localities", False),
        taxa=tuple((t["name"].casefold(), _level(t["level"])) for t in data.get("taxon", ())),
        sites=tuple((_words(site["name"]), _level(site["level"])) for site in data.get("site", ())),
        areas=tuple(areas),
    )


def _level(words: str) -> int:
    level = read_level(words)
    return WITHHELD if level is None else level


def _words(name: str) -> re.Pattern[str]:
    """A pattern of a site's name: whole words, whatever their case and spacing."""
    spaced = r"\s+".join(map(re.escape, name.split()))
    return re.compile(rf"(?<!\w){spaced}(?!\w)", re.IGNORECASE)
