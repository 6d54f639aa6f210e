"""Countries by code and by name, in any language pycountry knows.

Codes and names are ISO 3166-1 as pycountry carries it (Debian's iso-codes). The file countries.csv
adds names in common use, former names of unchanged countries, and which entries are no states.
"""

from __future__ import annotations

import csv
import gettext
import unicodedata
from collections.abc import Callable
from functools import cache

from .registry import DATA

# Darwin Core's two codes beside ISO 3166-1: the high seas, and a country not known.
USER_ASSIGNED = frozenset({"XZ", "ZZ"})


@cache
def codes() -> frozenset[str]:
    """Return the ISO 3166-1 alpha-2 codes, with Darwin Core's XZ and ZZ."""
    import pycountry

    return frozenset(country.alpha_2 for country in pycountry.countries) | USER_ASSIGNED


@cache
def _extra() -> dict[str, tuple[bool, tuple[str, ...]]]:
    with (DATA / "countries.csv").open(encoding="utf-8", newline="") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        return {
            row["code"]: (row["independent"] != "no", tuple(filter(None, row["names"].split("|"))))
            for row in rows
        }


def is_independent(code: str) -> bool:
    return code not in USER_ASSIGNED and _extra().get(code, (True, ()))[0]


@cache
def by_name() -> dict[str, frozenset[str]]:
    """Return the codes each name stands for, English and other languages alike, as written.

    A name that is one country's in English is that country's alone, whatever another language
    calls by it.
    """
    english: dict[str, set[str]] = {}
    for code, names in _english().items():
        for name in (*names, *_extra().get(code, (True, ()))[1]):
            english.setdefault(name, set()).add(code)
    foreign: dict[str, set[str]] = {}
    for translate in _languages():
        for code, names in _english().items():
            for name in names:
                foreign.setdefault(translate(name), set()).add(code)
    joined = {name: frozenset(found) for name, found in foreign.items()}
    return joined | {name: frozenset(found) for name, found in english.items()}


@cache
def _english() -> dict[str, tuple[str, ...]]:
    import pycountry

    fields = ("name", "common_name", "official_name")
    return {
        country.alpha_2: tuple(value for name in fields if (value := getattr(country, name, "")))
        for country in pycountry.countries
    }


def _languages() -> list[Callable[[str], str]]:
    """Return a translating function for each language pycountry has names of countries in."""
    from pathlib import Path

    import pycountry

    folder = Path(pycountry.LOCALES_DIR)
    languages = sorted(path.parts[-3] for path in folder.glob("*/LC_MESSAGES/iso3166-1.mo"))
    return [
        gettext.translation("iso3166-1", str(folder), languages=[language]).gettext
        for language in languages
    ]


@cache
def _by_folded() -> dict[str, frozenset[str]]:
    """Return what may stand in for an alpha-2 code: itself, the alpha-3 code, and names, folded."""
    import pycountry

    index: dict[str, frozenset[str]] = {}
    for name, found in by_name().items():
        index[fold(name)] = index.get(fold(name), frozenset()) | found
    for name, found in by_name().items():
        if len(found) == 1 and name in _english()[min(found)]:
            index[fold(name)] = found  # an English name of one country outranks the rest
    for country in pycountry.countries:
        index[fold(country.alpha_3)] = frozenset({country.alpha_2})
        index[fold(country.alpha_2)] = frozenset({country.alpha_2})
    return index | {fold(code): frozenset({code}) for code in USER_ASSIGNED}


def code_for(text: str) -> str | None:
    """Return the one alpha-2 code that a code or a name stands for, case and accents aside."""
    found = _by_folded().get(fold(text), frozenset())
    return min(found) if len(found) == 1 else None


def fold(name: str) -> str:
    """Take case, accents and the spaces around away."""
    split = unicodedata.normalize("NFKD", name.strip().casefold())
    return "".join(character for character in split if not unicodedata.combining(character))
