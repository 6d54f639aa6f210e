"""What people ruled, as the page shows it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

RULED = "ruled"  # the outcome that the counts give a record whose name a person decided
APPLIED, KEPT, STALE = "applied", "kept", "stale"
Place = tuple[str, str, int]  # file, sheet, row


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """One ruling that stands, beside the verdict it is about.

    `standing` says whether it is `applied`, keeps the verdict (`kept`: the recorder is asked, or
    the record set aside), or is `stale`: the record has changed since, or is gone (then `outcome`
    and `determined` are empty).
    """

    place: Place
    claim: str
    outcome: str
    determined: str
    standing: str
    action: str
    name: str
    reason: str
    by: str
    on: str


def decisions_content(decisions: Sequence[Decision], most: int) -> dict[str, Any] | None:
    """What the template shows of rulings, at most `most` of each standing; None without any."""
    if not decisions:
        return None
    parts = {
        standing: [d for d in decisions if d.standing == standing]
        for standing in (APPLIED, KEPT, STALE)
    }
    return {
        "parts": {standing: found[:most] for standing, found in parts.items()},
        "more": sum(max(len(found) - most, 0) for found in parts.values()),
    }


def settled(decisions: Sequence[Decision]) -> frozenset[Place]:
    """Where the records stand whose name a person decided."""
    return frozenset(d.place for d in decisions if d.standing == APPLIED)
