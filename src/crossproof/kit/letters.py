"""A letter for each recorder, on the web and as plain text, and a table for mail merge."""

from __future__ import annotations

import json
import tomllib
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from textwrap import fill
from typing import Any

from crossproof import __version__
from crossproof.kit.correspondence import Correspondence, Recorder, Told
from crossproof.kit.field_sheet import environment
from crossproof.kit.recorders import file_stem
from crossproof.kit.season import season
from crossproof.report.wording import clip, latin, reason_words
from crossproof.report.wording import words as page_words
from crossproof.rulebooks.model import Character, Rulebook, Taxon
from crossproof.rulings.ruling import NAMING
from crossproof.spreadsheet import GuardedFile
from crossproof.tabular import Block

MERGE = (
    *("recorder", "records", "upheld", "lowered", "contested", "no_claim", "returned"),
    *("ruled", "asked", "lacking", "season", "letter_html", "letter_text"),
)
LISTED = 300  # records under one reasoning; the tables of the output have all
_WIDTH = 88


@dataclass(frozen=True, slots=True)
class Look:
    """One part of the plant to look at, and how."""

    title: str
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Matter:
    """Records that have the same name, lack the same, and would be settled by the same look."""

    claimed: str
    is_latin: bool
    determined: str
    lacks: tuple[str, ...]
    settle: tuple[str, ...]  # sentences
    looks: tuple[Look, ...]
    season: str
    records: tuple[Told, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """What one letter says."""

    name: str
    count: int
    joint: bool
    upheld: tuple[Matter, ...]
    lowered: tuple[Matter, ...]
    contested: tuple[Matter, ...]
    returned: tuple[Told, ...]
    ruled: tuple[Told, ...]
    asked: tuple[Told, ...]
    no_claim: int
    cautions: tuple[str, ...]
    coarse: bool

    @property
    def looks(self) -> tuple[Look, ...]:
        """How to look at all that is asked for, each part of a plant once."""
        matters = (*self.lowered, *self.contested)
        return tuple(dict.fromkeys(look for matter in matters for look in matter.looks))


@cache
def words() -> Mapping[str, Any]:
    """The words of `letters.toml` beside this module."""
    text = Path(__file__).with_name("letters.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def write_letters(
    folder: Path, post: Correspondence, rulebooks: Sequence[Rulebook], sender: str = ""
) -> None:
    """Write a letter to each recorder, `letters.csv` and `summary.json` into an empty folder.

    A letter holds the records of its own recorder, and nobody else's; `letters.csv` holds counts
    and no places. The same records give the same bytes.
    """
    books = {book.id: book for book in rulebooks}
    templates = {
        kind: environment().get_template(f"letter.{kind}.jinja") for kind in ("html", "txt")
    }
    with GuardedFile(folder / "letters.csv", MERGE) as merge:
        for recorder in post.recorders:
            letter, stem = compose(recorder, books), file_stem(recorder.name)
            for kind, template in templates.items():
                text = template.render(
                    letter=letter,
                    words=words(),
                    sender=sender,
                    latin=latin,
                    clip=clip,
                    fill=_filled,
                    listed=LISTED,
                    where=_where,
                )
                path = folder / f"{stem}.{kind}"
                # A cell may hold half a surrogate pair, which no encoding has a place for.
                path.write_bytes(text.encode("utf-8", errors="replace"))
            merge.write([Block(MERGE, [_merged(letter, recorder, stem)])])
    told = {"crossproof": __version__, "letters": len(post.recorders), "nameless": post.nameless}
    (folder / "summary.json").write_text(json.dumps(told, indent=2) + "\n", encoding="utf-8")


def compose(recorder: Recorder, books: Mapping[str, Rulebook]) -> Letter:
    """What the letter to a recorder says; `books` are the rulebooks by id."""
    ruled = tuple(t for t in recorder.records if t.ruling.get("ruling") in NAMING)
    asked = tuple(t for t in recorder.records if t.ruling.get("ruling") == "ask")
    by_outcome: dict[str, list[Told]] = {}
    for told in recorder.records:
        if told.ruling.get("ruling") not in NAMING:
            by_outcome.setdefault(told.outcome, []).append(told)
    used = dict.fromkeys(t.rulebook for t in recorder.records if t.rulebook in books)
    cautions = dict.fromkeys(c for name in used for c in books[name].cautions)
    return Letter(
        name=recorder.name,
        count=len(recorder.records),
        joint=recorder.joint,
        upheld=_matters("upheld", by_outcome, books),
        lowered=_matters("lowered", by_outcome, books),
        contested=_matters("contested", by_outcome, books),
        returned=tuple(by_outcome.get("returned", ())),
        ruled=ruled,
        asked=asked,
        no_claim=len(by_outcome.get("no_claim", ())),
        cautions=tuple(cautions or page_words()["cautions"]),
        coarse=any(told.coarse for told in recorder.records if told.outcome != "no_claim"),
    )


def _matters(
    outcome: str, records: Mapping[str, Sequence[Told]], books: Mapping[str, Rulebook]
) -> tuple[Matter, ...]:
    """The records of one outcome by what they have in common, the commonest first."""
    found: dict[tuple[object, ...], list[Told]] = {}
    for told in records.get(outcome, ()):
        name = told.claimed or told.claim
        as_kept = () if outcome == "upheld" else (told.determined, told.qualifier, told.remedy)
        key = (name, told.rulebook, told.reasons, *as_kept)
        found.setdefault(key, []).append(told)
    matters = [_matter(outcome, own, books.get(own[0].rulebook)) for own in found.values()]
    return tuple(sorted(matters, key=lambda m: (-len(m.records), m.claimed)))


def _matter(outcome: str, records: Sequence[Told], book: Rulebook | None) -> Matter:
    first = records[0]
    missing = _missing(first, book) if book else ()
    when = season(_taxon(first.claimed, book) if book else None, missing, words()["season"])
    doubt = f", {first.qualifier}" if first.qualifier else ""
    return Matter(
        claimed=first.claimed or clip(first.claim),
        is_latin=bool(first.claimed),
        determined=f"{first.determined}{doubt}",
        lacks=tuple(_lack(reason, outcome, book) for reason in first.reasons),
        settle=tuple(_settle(outcome, first, when)),
        looks=tuple(Look(c.title, c.look) for c in missing if c.look),
        season=when,
        records=tuple(records),
    )


def _settle(outcome: str, told: Told, when: str) -> list[str]:
    if outcome not in ("lowered", "contested"):
        return []
    said = words()[outcome]
    if _points_away(told):
        return [said["against"]]
    if not told.remedy:
        return [said["nothing"]]
    text = said["look_when" if when else "look"].format(remedy=told.remedy, season=when)
    return [text[:1].upper() + text[1:]]


def _points_away(told: Told) -> bool:
    """Whether something stated speaks against a cross, so that no look would restore it."""
    return told.outcome == "lowered" and any(r.endswith("_against") for r in told.reasons)


def _missing(told: Told, book: Rulebook) -> tuple[Character, ...]:
    """The characters to look at: those that are missing, or that spoke against a plain name."""
    if _points_away(told):
        return ()
    hows = ("missing", "against") if told.outcome == "contested" else ("missing",)
    named = {what for what, _, how in (r.rpartition("_") for r in told.reasons) if how in hows}
    return tuple(c for c in book.ordered_characters if c.id in named)


def _taxon(name: str, book: Rulebook) -> Taxon | None:
    return next((t for t in book.taxa.values() if name and book.written(t.id) == name), None)


def _lack(reason: str, outcome: str, book: Rulebook | None) -> str:
    said = words()["lacks"]
    what, _, how = reason.rpartition("_")
    if reason in said:
        return str(said[reason])
    if book and what in book.characters and how in ("missing", "against"):
        how = "against_plain" if how == "against" and outcome == "contested" else how
        return str(said[how].format(title=book.characters[what].title))
    return reason_words(reason, [book] if book else [])


def _where(told: Told) -> str:
    """Where a record stands in the submission."""
    file, sheet, row = told.place
    return f"{file}, {sheet}, row {row}" if sheet else f"{file}, row {row}"


def _filled(text: str, indent: int = 0, hang: int = 0) -> str:
    return fill(
        " ".join(text.split()),
        _WIDTH,
        initial_indent=" " * indent,
        subsequent_indent=" " * (indent + hang),
        break_long_words=False,
        break_on_hyphens=False,
    )


def _merged(letter: Letter, recorder: Recorder, stem: str) -> list[str]:
    # As the letter has them: a record whose name a person decided is ruled, whatever its verdict.
    counts = Counter(t.outcome for t in recorder.records if t.ruling.get("ruling") not in NAMING)
    outcomes = ("upheld", "lowered", "contested", "no_claim", "returned")
    lacking = Counter(lack for m in letter.lowered for _ in m.records for lack in m.lacks)
    seasons = dict.fromkeys(m.season for m in letter.lowered if m.season and m.looks)
    return [
        letter.name,
        str(letter.count),
        *(str(counts[outcome]) for outcome in outcomes),
        *(str(len(letter.ruled)), str(len(letter.asked))),
        "; ".join(f"{lack} ({count})" for lack, count in lacking.most_common()),
        "; ".join(seasons),
        *(f"{stem}.html", f"{stem}.txt"),
    ]
