"""Load rulebooks: TOML in, checked values out."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from crossproof.rulebooks.model import (
    Character,
    Combination,
    Known,
    Mention,
    Requirement,
    Rulebook,
    Soil,
    State,
    Taxon,
)
from crossproof.rulebooks.templates import expanded

HOME = Path(__file__).parent


@cache
def shipped() -> tuple[Rulebook, ...]:
    """The rulebooks that ship with the package, those with most hybrids first."""
    books = [load(path) for path in sorted(HOME.glob("*.toml"))]
    return tuple(sorted(books, key=lambda book: -len(book.hybrids)))


@cache
def shipped_rulebook(name: str) -> Rulebook:
    """One shipped rulebook by its id, without loading the others.

    Raises:
        KeyError: no such rulebook ships.
    """
    path = HOME / f"{name}.toml"
    if not path.is_file():
        raise KeyError(name)
    return load(path)


def load(path: Path) -> Rulebook:
    """Load one rulebook from a TOML file that has been checked (see `check.problems`)."""
    return from_dict(tomllib.loads(path.read_text(encoding="utf-8")))


def from_dict(data: Mapping[str, Any]) -> Rulebook:
    """Build a rulebook from the parsed TOML of format 1.0."""
    head = data["rulebook"]
    return Rulebook(
        id=head["id"],
        title=head["title"],
        version=head["version"],
        issued=str(head["issued"]),
        family=head["family"],
        genera=tuple(head["genera"]),
        root=head["root"],
        flowers_carry=head.get("flowers_carry", True),
        flowers_carry_for=tuple(head.get("flowers_carry_for", ())),
        default_setting=head.get("default_setting", ""),
        taxa={t["id"]: _taxon(t) for t in [*data["taxon"], *data.get("hybrid", ())]},
        characters={c["id"]: _character(c) for c in data["character"]},
        known={
            character: {taxon: _known(entry) for taxon, entry in rows.items()}
            for character, rows in data.get("states", {}).items()
        },
        requirements=_requirements(data.get("requirement", ())),
        strict_requirements=_requirements(data.get("strict_requirement", ())),
        combinations=tuple(_combination(c) for c in data.get("combination", ())),
        old_genera=data.get("old_genera", {}),
        outside_crosses=data.get("outside_crosses", {}),
        ambiguous_names={k: tuple(v) for k, v in data.get("ambiguous_names", {}).items()},
        mentions=tuple(_mention(entry) for entry in data.get("mention", ())),
        soil=_soil(data["soil"]) if "soil" in data else None,
        specialist_words=tuple(data.get("specialist", {}).get("words", ())),
        frequencies={
            character: {taxon: dict(row) for taxon, row in rows.items()}
            for character, rows in data.get("frequencies", {}).items()
        },
        priors={setting: dict(row) for setting, row in data.get("priors", {}).items()},
        phrases=expanded(data.get("phrases", {})),
        cautions=tuple(caution["text"] for caution in data.get("caution", ())),
        sources={
            "practice": "common practice, no published source",
            "memory": "from memory",
            **data.get("sources", {}),
        },
    )


def _taxon(entry: Mapping[str, Any]) -> Taxon:
    values = dict(entry)
    for key in (
        "parents",
        "vernaculars",
        "synonyms",
        "abbreviations",
        "misspellings",
        "absent_from",
    ):
        values[key] = tuple(values.get(key, ()))
    values["months"] = frozenset(values.get("months", ()))
    values["sources"] = {k: tuple(v) for k, v in values.get("sources", {}).items()}
    return Taxon(**values)


def _character(entry: Mapping[str, Any]) -> Character:
    values = dict(entry)
    values["states"] = tuple(State(**state) for state in values.pop("state", ()))
    values["headings"] = tuple(values.get("headings", ()))
    values["media_parts"] = tuple(values.get("media_parts", ()))
    values.pop("source", None)
    return Character(**values)


def _known(entry: Mapping[str, Any]) -> Known:
    measure = entry.get("measure")
    return Known(
        states=frozenset(entry.get("states", ())),
        rare=frozenset(entry.get("rare", ())),
        measure=(float(measure[0]), float(measure[1])) if measure else None,
        source=tuple(entry.get("source", ())),
        note=entry.get("note", ""),
    )


def _requirements(entries: Iterable[Mapping[str, Any]]) -> tuple[Requirement, ...]:
    return tuple(
        Requirement(
            hybrids=tuple(e["hybrids"]),
            all_of=tuple(e["all_of"]),
            any_of=tuple(e.get("any_of", ())),
            any_name=e.get("any_name", "measurements"),
            at_least=e.get("at_least", 0),
            never=e.get("never", False),
            why=e.get("why", ""),
            source=tuple(e.get("source", ())),
        )
        for e in entries
    )


def _combination(entry: Mapping[str, Any]) -> Combination:
    return Combination(
        hybrids=tuple(entry["hybrids"]),
        when={
            character: (states,) if isinstance(states, str) else tuple(states)
            for character, states in entry["when"].items()
        },
        effect=entry["effect"],
        blames=tuple(entry.get("blames", ())),
        unless=tuple(entry.get("unless", ())),
        why=entry.get("why", ""),
        source=tuple(entry.get("source", ())),
    )


def _mention(entry: Mapping[str, Any]) -> Mention:
    return Mention(
        id=entry["id"],
        kind=entry["kind"],
        words=tuple(entry.get("words", ())),
        codes=tuple(entry.get("codes", ())),
        grids=tuple(entry.get("grids", ())),
        boxes=tuple((b[0], b[1], b[2], b[3]) for b in entry.get("boxes", ())),
    )


def _soil(entry: Mapping[str, Any]) -> Soil:
    return Soil(
        mention=entry["mention"],
        brings=entry["brings"],
        instead_of=entry["instead_of"],
        spoken_for_by={k: tuple(v) for k, v in entry.get("spoken_for_by", {}).items()},
        why=entry.get("why", ""),
    )
