"""The rules of the Darwin Core Data Package guide (TDWG, 2026-05-26): the descriptor.

Each rule is a small generator over what it looks at; `package_tables` holds those of one table.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from crossproof.darwincore.conform.eml import check_eml
from crossproof.darwincore.conform.lines import lines
from crossproof.darwincore.conform.problem import Problem

DESCRIPTOR = "datapackage.json"
_PROFILE = re.compile(r"https?://rs\.tdwg\.org/.*\d+\.\d+.*")
_TIMESTAMP = re.compile(
    r"\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])"
    r"[Tt]([01]\d|2[0-3]):[0-5]\d:([0-5]\d|60)(\.\d+)?([Zz]|[+-]([01]\d|2[0-3]):[0-5]\d)"
)  # RFC 3339, section 5.6
_NAME = re.compile(r"[-a-z0-9._/]+")


@cache
def published() -> Mapping[str, Any]:
    """The names, fields and keys of the published profile and table schemas (`package.json`)."""
    path = Path(__file__).with_name("package.json")
    value: Mapping[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return value


@dataclass(frozen=True, slots=True)
class Package:
    """A descriptor, where each piece of it stands, and the folder it describes."""

    folder: Path
    descriptor: Mapping[str, Any]
    lines: Mapping[tuple[str | int, ...], int]

    def problem(self, rule: str, message: str, *path: str | int) -> Problem:
        """A problem of the piece of the descriptor at `path`, or of what holds it."""
        while path and path not in self.lines:
            path = path[:-1]
        return Problem(rule=rule, file=DESCRIPTOR, line=self.lines[path], message=message)

    @property
    def resources(self) -> list[Any]:
        value = self.descriptor.get("resources")
        return value if isinstance(value, list) else []

    @property
    def tables(self) -> dict[str, tuple[int, Mapping[str, Any]]]:
        """The resources with a reserved name: name → (place in the list, resource)."""
        return {
            resource["name"]: (place, resource)
            for place, resource in enumerate(self.resources)
            if isinstance(resource, dict) and resource.get("name") in published()["reserved"]
        }


def check_package(folder: Path, *, packed: Path | None = None) -> Iterator[Problem]:
    """Problems of an unpacked data package; `packed` is the file it was unpacked from, if any."""
    from crossproof.darwincore.conform.package_tables import TABLE_RULES
    from crossproof.darwincore.conform.package_values import check_values

    if packed is not None and packed.suffix != ".gz":
        message = "the package is compressed, but not with gzip"
        yield Problem(rule="compression", file=packed.name, message=message)
    if (folder / "eml.xml").is_file():
        yield from check_eml(folder / "eml.xml")
    elif (folder / "eml.xml.gz").is_file():
        message = "eml.xml is compressed on its own; it must not be"
        yield Problem(rule="compression", file="eml.xml.gz", message=message)
    try:
        text = (folder / DESCRIPTOR).read_text(encoding="utf-8")
        descriptor = json.loads(text)
    except UnicodeDecodeError as error:
        yield Problem(rule="descriptor", file=DESCRIPTOR, message=f"it is not UTF-8: {error}")
        return
    except json.JSONDecodeError as error:
        message = f"it is not JSON: {error.msg}"
        yield Problem(rule="descriptor", file=DESCRIPTOR, line=error.lineno, message=message)
        return
    if not isinstance(descriptor, dict):
        yield Problem(rule="descriptor", file=DESCRIPTOR, line=1, message="it is no JSON object")
        return
    package = Package(folder, descriptor, lines(text))
    found: list[Problem] = []
    for rule in PACKAGE_RULES:
        found += rule(package)
    for table, (place, resource) in package.tables.items():
        for table_rule in TABLE_RULES:
            found += table_rule(package, table, place, resource)
    yield from found
    yield from check_values(package, {problem.rule for problem in found})


def _profile(package: Package) -> Iterator[Problem]:
    profile = package.descriptor.get("profile")
    if not isinstance(profile, str) or not _PROFILE.fullmatch(profile):
        message = (
            f"the profile is {profile!r}; it must be an address on http://rs.tdwg.org with a "
            "version, such as http://rs.tdwg.org/dwc-dp/1.0/dwc-dp-profile.json"
        )
        yield package.problem("profile", message, "profile")


def _texts(package: Package) -> Iterator[Problem]:
    for name in ("id", "created", "version"):
        value = package.descriptor.get(name)
        if value is None:
            yield package.problem(f"{name}-missing", f"the package has no {name}")
        elif not isinstance(value, str) or not value:
            yield package.problem(name, f"{name} is {value!r}, not a text", name)
        elif name == "created" and not _TIMESTAMP.fullmatch(value):
            message = f"created is {value!r}; write a timestamp such as 2026-11-25T00:00:00Z"
            yield package.problem(name, message, name)


# A property of the package → the keys of which each item of its list needs one; none: a text.
_LISTS = {
    "licenses": ("name", "path"),
    "contributors": ("title",),
    "sources": ("title",),
    "keywords": (),
}


def _properties(package: Package) -> Iterator[Problem]:
    for name, needs in _LISTS.items():
        value = package.descriptor.get(name, [])
        if not isinstance(value, list):
            yield package.problem("properties", f"{name} is not a list", name)
            continue
        for place, item in enumerate(value):
            if not needs and not isinstance(item, str):
                yield package.problem("properties", f"{name} are texts", name, place)
            elif needs and not (isinstance(item, dict) and any(item.get(key) for key in needs)):
                message = f"each of the {name} needs a {' or a '.join(needs)}"
                yield package.problem("properties", message, name, place)


def _resources(package: Package) -> Iterator[Problem]:
    if not package.resources:
        yield package.problem(
            "resources", "there is no list of resources, or an empty one", "resources"
        )
    elif not package.tables:
        message = "no resource has the name of a Darwin Core Data Package table"
        yield package.problem("no-table", message, "resources")


def _each_resource(package: Package) -> Iterator[Problem]:
    names: set[str] = set()
    for place, resource in enumerate(package.resources):
        if not isinstance(resource, dict):
            yield package.problem("resource", "a resource is an object", "resources", place)
            continue
        name = resource.get("name")
        if not isinstance(name, str) or not _NAME.fullmatch(name):
            message = f"the resource's name is {name!r}; use lower case, digits and . _ - /"
            yield package.problem("resource", message, "resources", place, "name")
        elif name in names:
            message = f"two resources are called {name!r}"
            yield package.problem("resource", message, "resources", place, "name")
        names.add(str(name))
        if ("path" in resource) == ("data" in resource):
            message = f"the resource {name!r} needs a path or data, and not both"
            yield package.problem("resource", message, "resources", place)


def _misnamed(package: Package) -> Iterator[Problem]:
    """A resource that speaks of Darwin Core's terms, but under a name that is not reserved."""
    for place, resource in enumerate(package.resources):
        if not isinstance(resource, dict) or resource.get("name") in published()["reserved"]:
            continue
        schema = resource.get("schema")
        fields = schema.get("fields") if isinstance(schema, dict) else None
        if isinstance(fields, list) and any(
            isinstance(field, dict)
            and str(field.get("dcterms:isVersionOf", "")).startswith("http://rs.tdwg.org/")
            for field in fields
        ):
            message = f"{resource.get('name')!r} is not one of the reserved table names"
            yield package.problem("reserved-name", message, "resources", place, "name")


PACKAGE_RULES: tuple[Callable[[Package], Iterator[Problem]], ...] = (
    _profile,
    _texts,
    _properties,
    _resources,
    _each_resource,
    _misnamed,
)
