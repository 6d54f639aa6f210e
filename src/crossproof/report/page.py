"""The page: one file that opens from disk, says what was judged, and shows why."""

from __future__ import annotations

import base64
import hashlib
import json
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from crossproof.findings import Entry, Finding, catalogue
from crossproof.model import Coded, Judged, Outcome, Point
from crossproof.report.decisions import Decision, decisions_content, settled
from crossproof.report.fitness import quality_content
from crossproof.report.grouping import LISTED, Group, Listing, Record, Step, Words, around, steps
from crossproof.report.kept import group_from_json, told
from crossproof.report.templates import environment
from crossproof.report.terminal import MEANING
from crossproof.report.wording import clip, reason_words, tells_too_much, words
from crossproof.rulebooks.model import Rulebook

if TYPE_CHECKING:
    from jinja2 import Environment

MOST_RECORDS = 5_000  # listed; more would not open in about a second
EXAMPLES = 3
_HOME = Path(__file__).parent
_SEVERITIES = ("error", "warning", "note")


@dataclass(frozen=True, slots=True)
class Example:
    """A finding as the page shows it; `value` is empty where it would tell too much."""

    place: str
    value: str
    message: str
    is_withheld: bool


@dataclass(frozen=True, slots=True)
class Shown:
    """One group, made ready for the template."""

    group: Group
    steps: tuple[Step, ...]
    around: tuple[Point, ...]
    shared: frozenset[Words]

    def own_words(self, record: Record) -> tuple[Words, ...]:
        """The words of one record that the steps do not show already."""
        return tuple(piece for piece in record.words if piece not in self.shared)


class Page:
    """Keeps what the page shows of each chunk, and writes it at the end of the run."""

    def __init__(self, rulebooks: Sequence[Rulebook]) -> None:
        self._books = {book.id: book for book in rulebooks}
        self._used: set[str] = set()
        self._listing = Listing(MOST_RECORDS)
        self._examples: dict[str, list[Example]] = {}
        self._rows: Counter[tuple[str, str]] = Counter()
        self._decisions: Sequence[Decision] = ()

    def add(self, judged: Judged, photo: Coded[str], findings: Sequence[Finding]) -> None:
        """Keep what the page shows of one chunk.

        Args:
            judged: the rows of the chunk, all of one table.
            photo: what is stated of a photo for each row.
            findings: what is to be known of the chunk's cells, of rows that broke as well.
        """
        self._used.update(v.rulebook for v in judged.verdicts.values if v.rulebook)
        broken = {f.row for f in findings if f.code == "row_broken"}
        self._rows[judged.table.file, judged.table.sheet] += len(judged.numbers) + len(broken)
        self._listing.add(judged, photo, findings)
        for found in findings:
            examples = self._examples.setdefault(found.code, [])
            if len(examples) < EXAMPLES:
                examples.append(_example(found, judged.table.fields))

    def keep(self, path: Path) -> None:
        """Write what the page lists, so that it can be written again (see `kept`)."""
        kept = {
            "used": sorted(self._used),
            "rows": [[*table, count] for table, count in self._rows.items()],
            "groups": [g for outcome in LISTED for g in self._listing.groups(outcome)],
            "examples": dict(sorted(self._examples.items())),
        }
        # In ASCII, since a cell may hold half a surrogate pair.
        path.write_text(json.dumps(kept, default=told) + "\n", encoding="ascii")

    @classmethod
    def kept(
        cls, path: Path, rulebooks: Sequence[Rulebook], decisions: Sequence[Decision] = ()
    ) -> Page:
        """The page that `keep` wrote, without the records that people decided on.

        Raises:
            OSError, KeyError, TypeError, ValueError: the file is not there, or not ours.
        """
        kept = json.loads(path.read_text(encoding="ascii"))
        page = cls(rulebooks)
        page._used = set(kept["used"])
        page._rows = Counter({(file, sheet): count for file, sheet, count in kept["rows"]})
        page._listing = Listing.of(map(group_from_json, kept["groups"]), settled(decisions))
        page._examples = {
            code: [Example(**example) for example in examples]
            for code, examples in kept["examples"].items()
        }
        page._decisions = decisions
        return page

    def write(self, path: Path, summary: Mapping[str, Any]) -> None:
        """Write the page; `summary` is what `summary.json` holds."""
        text = _environment().get_template("page.html.jinja").render(self._content(summary))
        # A cell may hold half a surrogate pair, which no encoding has a place for.
        path.write_bytes(text.encode("utf-8", errors="replace"))

    def _content(self, summary: Mapping[str, Any]) -> dict[str, Any]:
        unlisted = {
            outcome: summary["outcomes"][outcome] - self._listing.shown[outcome]
            for outcome in LISTED
        }
        return {
            "style": _asset("page.css"),
            "script": _asset("page.js"),
            "words": words(),
            "summary": summary,
            "outcomes": list(summary["outcomes"]),
            "meaning": MEANING,
            "hybrid_outcomes": {o for counts in summary["hybrids"].values() for o in counts},
            "submission": [
                (table, self._rows[table["file"], table["sheet"]])
                for table in summary["submission"]
            ],
            "many_tables": len(summary["submission"]) > 1,
            "books": self._books,
            "used": [book for book in self._books.values() if book.id in self._used],
            "reason_words": self._reason_words,
            "listed": {outcome: list(self._shown(outcome)) for outcome in LISTED},
            "shown": self._listing.shown,
            "unlisted": {outcome: more for outcome, more in unlisted.items() if more > 0},
            "listed_reasons": self._listed_reasons(),
            "rulings": decisions_content(self._decisions, MOST_RECORDS),
            "findings": list(self._findings(summary["findings"])),
            "quality": quality_content(summary["quality"]) if "quality" in summary else None,
        }

    def _shown(self, outcome: Outcome) -> Iterator[Shown]:
        for group in self._listing.groups(outcome):
            book = self._books.get(group.reasoning.rulebook)
            found = steps(group, book)
            shared = frozenset(piece for step in found for piece in step.words)
            yield Shown(group, found, around(group, book), shared)

    def _listed_reasons(self) -> list[str]:
        groups = [group for outcome in LISTED for group in self._listing.groups(outcome)]
        return sorted({reason for group in groups for reason in group.reasoning.reasons})

    def _reason_words(self, reason: str, rulebook: str = "") -> str:
        """A reason in words, by the rulebook that gave it, else by those in use."""
        book = self._books.get(rulebook)
        used = [b for b in self._books.values() if b.id in self._used]
        return reason_words(reason, [book] if book else used)

    def _findings(
        self, counts: Mapping[str, int]
    ) -> Iterator[tuple[Entry, int, Sequence[Example]]]:
        """The findings by code, the gravest first, then the commonest."""
        entries = [catalogue()[code] for code in counts]
        entries.sort(key=lambda e: (_SEVERITIES.index(e.severity), -counts[e.code], e.code))
        for entry in entries:
            yield entry, counts[entry.code], self._examples.get(entry.code, ())


def _example(found: Finding, fields: Mapping[str, str]) -> Example:
    if tells_too_much(found, fields):
        return Example(found.place, "", "", True)
    message = "" if found.message == catalogue()[found.code].title else found.message
    return Example(found.place, clip(found.value), clip(message), False)


@cache
def _environment() -> Environment:
    return environment(_HOME)


@cache
def _asset(name: str) -> dict[str, Any]:
    """A file of ours that stands in the page, and its hash for the content security policy.

    The hash is of exactly what stands between the tags (W3C Content Security Policy Level 3,
    section 2.3.1, `hash-source`).
    """
    from markupsafe import Markup

    text = (_HOME / name).read_text(encoding="utf-8")
    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return {"text": Markup(text), "hash": f"sha256-{base64.b64encode(digest).decode('ascii')}"}
