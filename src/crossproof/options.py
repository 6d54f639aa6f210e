"""How a run is to be done: everything that is not the submission itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Literal

Validate = Literal["auto", "always", "never"]
Recorders = Literal["as-given", "initials", "pseudonyms"]


class OptionError(ValueError):
    """An option that cannot be followed; the message is one sentence for the user."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Options:
    """The options of a run.

    `issued` (ISO 8601) goes into determinations and metadata; nothing is taken from the clock but
    `today`, beyond which dates are refused. `rulebooks` are paths of rulebooks besides those that
    ship, `photos` the folder that photo references are looked up in. `setting` names the rulebooks'
    priors to take where a record names none. `parents_near_km` has the parents of each cross looked
    for that near, within `parents_years` years, in the submission and in `parents_lists`. `quality`
    puts the data-quality tests of `fitness.toml` to what is exported. `validate` says whether what
    was written is held against its schemas: `auto` does it up to `VALIDATED_ROWS` rows.

    `sensitive` is a file of sensitive places, `hide_localities` takes the words of a locality out
    where its place is made coarser, `recorders` says how people's names are published, and `key`
    is the secret behind pseudonyms. `rulings` are ledgers or tables of rulings that outrank the
    verdicts; where none are given, the ledger of the folder written to.
    `since` is an earlier output to compare with; its rulings are taken along, besides these.
    """

    mapping: Mapping[str, str] | None = None
    rulebooks: tuple[Path, ...] = ()
    strict_needs: bool = False
    lenient: bool = False
    specialists: tuple[str, ...] = ()
    metadata: Path | None = None
    photos: Path | None = None
    setting: str = ""
    parents_near_km: float | None = None
    parents_years: int = 10
    parents_lists: tuple[Path, ...] = ()
    issued: str = ""
    today: date | None = None
    status_words: tuple[str, str] = ("present", "detected")  # archive, data package
    quality: bool = True
    validate: Validate = "auto"
    chunk_rows: int = 50000
    sensitive: Path | None = None
    hide_localities: bool = False
    recorders: Recorders = "as-given"
    key: bytes = field(default=b"", repr=False)
    rulings: tuple[Path, ...] = ()
    since: Path | None = None


VALIDATED_ROWS = 50_000
