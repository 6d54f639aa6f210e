"""When one more look would settle a claim: the months a plant flowers in, as people say them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import groupby
from typing import Any

from crossproof.rulebooks.model import Character, Taxon


def season(taxon: Taxon | None, missing: Iterable[Character], words: Mapping[str, Any]) -> str:
    """In which months to look; '' where the rulebook doesn't say. `words` is `[season]`."""
    if taxon is None or not taxon.months:
        return ""
    in_fruit = any(set(character.media_parts) == {"fruit"} for character in missing)
    phrase: str = words["fruit" if in_fruit else "during"]
    return phrase.format(months=months_said(taxon.months, words["months"]))


def months_said(months: Iterable[int], names: list[str]) -> str:
    """`in June or July`, `from May to August`, `in March or from May to July`; 1 is January."""
    said = []
    ordered = enumerate(sorted(set(months)))
    for _, run in groupby(ordered, key=lambda pair: pair[1] - pair[0]):
        own = [names[month - 1] for _, month in run]
        said.append(f"in {' or '.join(own)}" if len(own) < 3 else f"from {own[0]} to {own[-1]}")
    return " or ".join(said)
