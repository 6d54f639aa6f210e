"""Check a rulebook, and say where each problem stands and what mends it."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from crossproof.resources import folder
from crossproof.rulebooks import check_characters, check_claims, check_names
from crossproof.rulebooks.complaint import Complaint, Severity
from crossproof.rulebooks.lines import line_of, lines_of
from crossproof.rulebooks.load import from_dict
from crossproof.rulebooks.model import Rulebook

if TYPE_CHECKING:
    from jsonschema import Draft202012Validator
    from jsonschema.exceptions import ValidationError

SHOWN = 5  # problems that the error of `load_checked` spells out


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with a rulebook.

    `line` counts from 1, and is 0 where the file itself cannot be read; `key` is the path of the
    key, as in `hybrid[2].parents`. An error must be mended; a warning is worth a look.
    """

    file: str
    line: int
    key: str
    message: str
    remedy: str
    severity: Severity = "error"

    def __str__(self) -> str:
        key = f" {self.key}:" if self.key else ""
        lead = "warning: " if self.severity == "warning" else ""
        return f"{lead}{self.file}, line {self.line}:{key} {self.message} ({self.remedy})"


class RulebookError(ValueError):
    """A rulebook cannot be used; `problems` holds what is wrong with it."""

    def __init__(self, problems: list[Problem]) -> None:
        self.problems = problems
        more = len(problems) - SHOWN
        lines = [str(problem) for problem in problems[:SHOWN]]
        lines += [f"and {more} more"] if more > 0 else []
        super().__init__("\n".join(lines))


def load_checked(path: Path) -> Rulebook:
    """Load a rulebook of the user's own.

    Raises:
        RulebookError: it has errors; warnings alone do not stop it.
    """
    errors = [problem for problem in problems(path) if problem.severity == "error"]
    if errors:
        raise RulebookError(errors)
    return from_dict(tomllib.loads(path.read_text(encoding="utf-8-sig")))


def problems(path: Path) -> list[Problem]:
    """List what is wrong with the rulebook at `path`, in the order of the file.

    The form comes first: what the text, the schema and the references get wrong hides what the
    botany gets wrong, until it is mended.
    """
    file = path.name
    try:
        text = path.read_text(encoding="utf-8-sig").replace("\r\n", "\n")
    except OSError as error:
        return [Problem(file, 0, "", f"cannot be read: {error.strerror}", "check the path")]
    except UnicodeDecodeError:
        return [Problem(file, 0, "", "is not UTF-8 text", "save it as UTF-8")]
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        return [_syntax_problem(file, str(error), text)]
    lines = lines_of(text)
    placed = [
        Problem(file, line_of(lines, c.path), _dotted(c.path), c.message, c.remedy, c.severity)
        for c in _complaints(data)
    ]
    return sorted(placed, key=lambda problem: problem.line)


def _syntax_problem(file: str, said: str, text: str) -> Problem:
    place = re.search(r" \(at (?:line (\d+), column \d+|end of document)\)", said)
    line = int(place[1]) if place and place[1] else len(text.splitlines())
    told = said[: place.start()] if place else said
    remedy = "look for a missing quote, bracket, comma or equals sign here or just above"
    return Problem(file, line, "", f"is not TOML: {told[:1].lower()}{told[1:]}", remedy)


def _complaints(data: dict[str, Any]) -> list[Complaint]:
    found = list(_by_schema(data))
    if found:
        return found
    for rule in (*check_names.RULES.values(), *check_characters.RULES.values()):
        found += rule(data)
    if any(complaint.severity == "error" for complaint in found):
        return found
    rulebook = from_dict(data)
    for claim_rule in check_claims.RULES.values():
        found += claim_rule(rulebook)
    return found


def _by_schema(data: dict[str, Any]) -> Iterator[Complaint]:
    for error in _validator().iter_errors(data):
        yield from _in_plain_words(error)


@cache
def _validator() -> Draft202012Validator:
    import json

    from jsonschema import Draft202012Validator

    path = folder("schemas") / "rulebook.schema.json"
    return Draft202012Validator(json.loads(path.read_text(encoding="utf-8")))


def _in_plain_words(error: ValidationError) -> Iterator[Complaint]:
    path = tuple(error.absolute_path)
    schema: Any = error.schema
    wanted: Any = error.validator_value
    got: Any = error.instance
    meant = _told(schema)
    if error.validator == "required":
        for key in (key for key in wanted if key not in got):
            remedy = _told(schema["properties"][key])
            yield Complaint(path, f"{key!r} is missing", f"add it: {remedy}")
    elif error.validator == "additionalProperties":
        known = schema["properties"]
        for key in (key for key in got if key not in known):
            remedy = f"take it out, or use one of: {', '.join(known)}"
            yield Complaint((*path, key), f"{key!r} is no key of this format", remedy)
    elif error.validator == "enum":
        choices = ", ".join(str(choice) for choice in wanted)
        yield Complaint(path, f"{got!r} is none of the words allowed", f"choose from: {choices}")
    elif error.validator in ("minimum", "maximum"):
        side = "small" if error.validator == "minimum" else "large"
        yield Complaint(path, f"{got!r} is too {side}", f"write {wanted} at the {_end(side)}")
    elif str(error.validator) in _MESSAGES:
        told = _MESSAGES[str(error.validator)]
        message = told.format(got=got, wanted=_TYPES.get(str(wanted), wanted))
        yield Complaint(path, message, meant or _DOCUMENTED)
    else:
        yield Complaint(path, error.message, meant or _DOCUMENTED)


def _end(side: str) -> str:
    return "least" if side == "small" else "most"


def _told(schema: Any) -> str:
    """The description that the schema gives a key, the first sentence of it."""
    if not isinstance(schema, dict):
        return ""
    if "$ref" in schema:
        whole: Any = _validator().schema
        schema = whole["$defs"][schema["$ref"].rpartition("/")[2]]
    told = str(schema.get("description", ""))
    return re.split(r"(?<=\.) ", told)[0].rstrip(".")


_DOCUMENTED = "see docs/reference/rulebook-format.md"
_MESSAGES = {
    "type": "{got!r} is not {wanted}",
    "const": "{got!r} is not {wanted!r}",
    "pattern": "{got!r} is not written as it should be",
    "minLength": "the text is empty",
    "minItems": "the list is too short: it needs {wanted}",
    "maxItems": "the list is too long: it holds {wanted} at most",
    "minProperties": "nothing is named here",
    "uniqueItems": "the same entry stands twice in {got!r}",
    "oneOf": "{got!r} is neither a word nor a list of words",
}
_TYPES = {
    "string": "text in quotes",
    "integer": "a whole number",
    "number": "a number",
    "boolean": "true or false",
    "array": "a list in square brackets",
    "object": "a table of keys and values",
}


def _dotted(path: tuple[str | int, ...]) -> str:
    """`hybrid[2].parents[0]` of a path; items are counted from 1, as people do."""
    parts = [f"[{part + 1}]" if isinstance(part, int) else f".{part}" for part in path]
    return "".join(parts).removeprefix(".")
