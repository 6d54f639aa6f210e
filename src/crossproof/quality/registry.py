"""The tests by GUID and label: each declaration read from data, each function registered to it."""

from __future__ import annotations

import csv
import tomllib
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from importlib import import_module
from inspect import signature
from pathlib import Path
from typing import TYPE_CHECKING

from .response import Response

if TYPE_CHECKING:
    from .taxonlist import TaxonList

AUTHORITY = "bdqval:sourceAuthority"
DATA = Path(__file__).resolve().parent / "data"

# Where the functions are. Importing a module registers its tests.
_TOPICS = (
    "completeness",
    "coordinate_tests",
    "country_tests",
    "date_amendments",
    "date_validations",
    "datum_tests",
    "height_tests",
    "license_tests",
    "name_tests",
    "outside",
    "record_measures",
    "taxon_tests",
    "vocabulary_tests",
)


@dataclass(frozen=True, slots=True)
class Declaration:
    """One test as the draft standard declares it.

    `kind` is VALIDATION, ISSUE, AMENDMENT or MEASURE. `needs` is `rule` (nothing but the record),
    `vocabulary` (a small public list that ships with the package) or `authority` (something outside
    that the user must give). `acted_upon` and `consulted` are prefixed terms, in the order the
    test's function takes them. `parameters` holds the default of each parameter, and
    `authority_iris` where the draft standard finds its default source authority.
    """

    guid: str
    label: str
    kind: str
    needs: str
    dimension: str
    criterion: str
    question: str
    acted_upon: tuple[str, ...]
    consulted: tuple[str, ...]
    parameters: dict[str, str]
    authority_iris: tuple[str, ...]

    @property
    def authority(self) -> str:
        """The name of the default source authority."""
        return self.parameters.get(AUTHORITY, "")

    @property
    def inputs(self) -> tuple[str, ...]:
        """Every term the test reads, in the order its function takes them."""
        return self.acted_upon + self.consulted

    @property
    def offline(self) -> bool:
        """Whether the test runs without anything from outside the package."""
        return self.needs != "authority"


@dataclass(frozen=True, slots=True)
class Settings:
    """What a test may know beside the record: its parameters, the day, a list of taxa."""

    parameters: dict[str, str] = field(default_factory=dict)
    today: date = date.min
    taxa: TaxonList | None = None


Function = Callable[..., Response]


@dataclass(frozen=True, slots=True)
class Test:
    """A declaration with the pure function that answers it.

    The function takes one text per input term ("" where the record has none) and, where
    `configurable`, the keyword `settings`. `presence_only` promises that it looks at nothing but
    whether each value is Empty.
    """

    declaration: Declaration
    function: Function
    configurable: bool
    presence_only: bool


_FUNCTIONS: dict[str, tuple[Function, bool]] = {}


def implements(guid: str, *, presence_only: bool = False) -> Callable[[Function], Function]:
    """Register the decorated function as the answer to the test with this GUID."""

    def register(function: Function) -> Function:
        _FUNCTIONS[guid] = (function, presence_only)
        return function

    return register


@cache
def words(kind: str) -> frozenset[str]:
    """Return one of the lists of words.toml."""
    entries = tomllib.loads((DATA / "words.toml").read_text(encoding="utf-8"))
    return frozenset(entries[kind])


@cache
def declarations() -> dict[str, Declaration]:
    """Return every declaration by GUID, in the order of the draft standard's own list."""
    with (DATA / "declarations.csv").open(encoding="utf-8", newline="") as file:
        return {row["guid"]: _declaration(row) for row in csv.DictReader(file)}


def _declaration(row: dict[str, str]) -> Declaration:
    pairs = (item.split("=", 1) for item in row["parameters"].split("; ") if item)
    return Declaration(
        guid=row["guid"],
        label=row["label"],
        kind=row["kind"],
        needs=row["needs"],
        dimension=row["dimension"],
        criterion=row["criterion"],
        question=row["question"],
        acted_upon=tuple(row["acted_upon"].split()),
        consulted=tuple(row["consulted"].split()),
        parameters={pair[0]: pair[1] for pair in pairs},
        authority_iris=tuple(row["authority_iris"].split()),
    )


@cache
def registered() -> dict[str, Test]:
    """Return every test by GUID, with its function."""
    for topic in _TOPICS:
        import_module(f".{topic}", __package__)
    return {
        guid: Test(
            declaration,
            _FUNCTIONS[guid][0],
            "settings" in signature(_FUNCTIONS[guid][0]).parameters,
            _FUNCTIONS[guid][1],
        )
        for guid, declaration in declarations().items()
    }


@cache
def _labels() -> dict[str, str]:
    return {declaration.label: guid for guid, declaration in declarations().items()}


def find(name: str) -> Test:
    """Return the test with this GUID or current label.

    Raises:
        KeyError: the draft standard has no such test.
    """
    guid = name if name in declarations() else _labels().get(name, "")
    if not guid:
        raise KeyError(f"{name!r} is neither the GUID nor the current label of a test")
    return registered()[guid]
