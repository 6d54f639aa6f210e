"""What a record says beyond its fields, as assertions of the data package."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from operator import itemgetter
from typing import Any, NamedTuple

from crossproof.coding import cross
from crossproof.darwincore.history import Histories, Identification, where_read, words_read
from crossproof.darwincore.homes import repeats
from crossproof.darwincore.package_fields import event_columns
from crossproof.darwincore.typed import fits
from crossproof.model import Coded, Evidence, Judged


class Assertion(NamedTuple):
    """A row of occurrence-assertion, without its keys."""

    type: str
    value: str
    protocols: str = ""
    remarks: str = ""


Assertions = Coded[tuple[Assertion, ...]]


def set_apart(judged: Judged) -> tuple[Judged, list[Assertions]]:
    """Take out the texts that their field's type or bounds don't admit; they become assertions."""
    given = {
        term: coded if all(map(partial(fits, term), coded.values)) else coded.map(_fitting(term))
        for term, coded in judged.given.items()
    }
    unfit = [
        coded.map(partial(_rejected, term))
        for term, coded in judged.given.items()
        if given[term] is not coded
    ]
    when, where = judged.when.map(_sorted), judged.where.map(_sorted)
    unfit += [coded.map(itemgetter(1)) for coded in (when, where)]
    fitting = replace(
        judged, given=given, when=when.map(itemgetter(0)), where=where.map(itemgetter(0))
    )
    return fitting, [coded for coded in unfit if any(coded.values)]


def _fitting(term: str) -> Callable[[str], str]:
    return lambda text: text if fits(term, text) else ""


def _rejected(term: str, text: str) -> tuple[Assertion, ...]:
    return () if fits(term, text) else (Assertion(term, text),)


def _sorted(value: Mapping[str, str]) -> tuple[Mapping[str, str], tuple[Assertion, ...]]:
    """What an event has fields for, and the rest."""
    has_field = event_columns()
    homeless = [
        term
        for term, text in value.items()
        if text and not (term in has_field and fits(term, text))
    ]
    if not homeless:
        return value, ()
    admitted = {term: text for term, text in value.items() if term not in homeless}
    return admitted, tuple(Assertion(term, value[term]) for term in homeless)


def labelled(
    judged: Judged,
    told: Histories,
    homeless: Mapping[str, Coded[str]],
) -> list[Assertions]:
    """Assertions of the terms that have no field in this package."""

    def assertion(term: str, value: tuple[Any, ...]) -> tuple[Assertion, ...]:
        text, history, claim = value
        return (Assertion(term, text),) if text and not repeats(term, text, history, claim) else ()

    return [
        cross(coded, told, judged.claims).map(partial(assertion, term))
        for term, coded in homeless.items()
    ]


def claimed(judged: Judged, told: Histories) -> list[Assertions]:
    """Assertions of what a claim has that an identification of this package has no field for."""
    texts = {
        "identificationQualifier": told.map(_qualifier_claimed),
        "previousIdentifications": judged.claims.map(lambda claim: claim.previous),
    }
    return [coded.map(partial(_only, term)) for term, coded in texts.items()]


def _qualifier_claimed(told: tuple[Identification, ...]) -> str:
    return next((item.qualifier for item in told if item.role == "claim"), "")


def _only(term: str, text: str) -> tuple[Assertion, ...]:
    return (Assertion(term, text),) if text else ()


def unhomed(extra: str) -> tuple[Assertion, ...]:
    """Assertions of what has no Darwin Core term at all."""
    if not extra:
        return ()
    return tuple(Assertion(heading, plain(value)) for heading, value in json.loads(extra).items())


def stated(evidence: Evidence) -> Assertion:
    read = where_read(evidence), words_read(evidence)
    return Assertion(evidence.character, evidence.state, *read)


def plain(value: object) -> str:
    return (
        value if isinstance(value, str) else json.dumps(value, ensure_ascii=False, sort_keys=True)
    )
