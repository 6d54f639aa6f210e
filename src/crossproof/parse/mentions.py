"""Find the mentions that a rulebook's rules speak of: regions, soils, varieties."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

from crossproof.rulebooks.model import Mention


def mentions_in(text: str, mentions: tuple[Mention, ...], kinds: frozenset[str]) -> frozenset[str]:
    """The ids of the mentions of the given kinds whose words stand in a text."""
    if not text:
        return frozenset()
    return frozenset(
        mention.id
        for mention in mentions
        if mention.kind in kinds and (p := _pattern(mention.words)) and p.search(text)
    )


def mentions_of_place(
    mentions: tuple[Mention, ...], system: str, country_code: str, point: tuple[float, float] | None
) -> frozenset[str]:
    """The regions that a grid, a country code or a point (longitude, latitude) tells of."""
    country = country_code.strip().upper()
    return frozenset(
        [
            mention.id
            for mention in mentions
            if mention.kind == "region"
            and (
                system in mention.grids
                or country in mention.codes
                or (point is not None and _in_a_box(point, mention.boxes))
            )
        ]
    )


def _in_a_box(
    point: tuple[float, float], boxes: Iterable[tuple[float, float, float, float]]
) -> bool:
    longitude, latitude = point
    for west, south, east, north in boxes:  # a loop: this is asked of every place
        if west <= longitude <= east and south <= latitude <= north:
            return True
    return False


@cache
def _pattern(words: tuple[str, ...]) -> re.Pattern[str] | None:
    if not words:
        return None
    longest_first = sorted(words, key=len, reverse=True)
    return re.compile(rf"\b(?:{'|'.join(map(re.escape, longest_first))})(?!\w)", re.IGNORECASE)
