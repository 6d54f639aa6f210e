"""All that the pages share: the records, the rulebooks, the photos, and what was just done."""

from __future__ import annotations

import json
import uuid
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from crossproof.desk.pictures import Photos
from crossproof.desk.store import Store
from crossproof.rulebooks.check import load_checked
from crossproof.rulebooks.load import shipped
from crossproof.rulebooks.model import Rulebook

_MOST_NOTICES = 200


@dataclass(frozen=True, slots=True)
class Problem:
    """A record that was not ruled on, and why."""

    record: int
    claim: str
    message: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """What was just done, for the next page to say. `batch` can be undone."""

    text: str
    batch: str = ""
    problems: Sequence[Problem] = ()


@dataclass(slots=True)
class Desk:
    """One desk over one output folder."""

    store: Store
    photos: Photos
    books: Mapping[str, Rulebook]
    export_to: Path
    by: str = ""
    today: Callable[[], str] = lambda: date.today().isoformat()
    notices: dict[str, Notice] = field(default_factory=dict)

    @property
    def folder(self) -> Path:
        return self.store.folder

    @property
    def strict(self) -> bool:
        """Whether the run held claims to the tiers of practice."""
        path = self.folder / "summary.json"
        try:
            return bool(json.loads(path.read_text(encoding="utf-8"))["needs"] == "strict")
        except (OSError, ValueError, KeyError):
            return False

    def book(self, name: str | None) -> Rulebook | None:
        return self.books.get(name or "")

    def note(self, notice: Notice) -> str:
        """Keep a notice for the next page; returns its name."""
        name = uuid.uuid4().hex
        self.notices[name] = notice
        while len(self.notices) > _MOST_NOTICES:
            self.notices.pop(next(iter(self.notices)), None)
        return name


def open_desk(
    folder: Path,
    *,
    photos: Path | None = None,
    rulebooks: Sequence[Path] = (),
    export_to: Path | None = None,
    by: str = "",
) -> Desk:
    """Open the desk over an output folder.

    Raises:
        OutputError: the folder is no output of `vet`.
        LedgerError: its ledger of rulings cannot be used.
        RulebookError: a rulebook cannot be used.
    """
    whole = folder.resolve()
    books = {book.id: book for book in (*shipped(), *map(load_checked, rulebooks))}
    return Desk(
        store=Store(whole),
        photos=Photos(photos),
        books=books,
        export_to=(export_to or whole.with_name(f"{whole.name}-ruled")).resolve(),
        by=by,
    )
