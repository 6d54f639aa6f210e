"""What remains possible of a record, by its rulebook, with the support that its verdict gave."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from crossproof.desk.record import DeskRecord, case_of
from crossproof.judge import judge
from crossproof.judge.aggregate import possible_taxa
from crossproof.judge.weigh import counting, weigh
from crossproof.model import Evidence, Point
from crossproof.rulebooks.model import Rulebook

_SUPPORT = re.compile(r"(.+) (\d\.\d+)")
ALWAYS = ("leaf", "stem", "flower")  # shown even where nothing is stated, if the rulebook has them


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the plant: what is stated of it, and what that does to the claim."""

    about: str
    effect: str
    text: str
    words: tuple[tuple[str, str], ...] = ()  # exact words, and where they were read


@dataclass(frozen=True, slots=True)
class Account:
    """The reasoning about one record: the plant from the ground up, then all taken together."""

    parts: tuple[Part, ...]
    around: tuple[Point, ...]
    species: tuple[str, ...]
    crosses: tuple[str, ...]


def support(record: DeskRecord) -> list[tuple[str, float]]:
    """The candidates and their probabilities, as the verdict gave them."""
    found = []
    for part in record.verdict.get("support", "").split("; "):
        if match := _SUPPORT.fullmatch(part):
            found.append((match.group(1), float(match.group(2))))
    return found


def account_of(record: DeskRecord, book: Rulebook | None, strict: bool) -> Account:
    """Account for a record from what its tables tell."""
    if book is None or record.is_returned:
        stated = tuple(
            Part(e.character, "note", f"{e.character}: {e.state}", ((e.words, e.source),))
            for e in record.evidence
        )
        return Account(stated, (), (), ())
    case = case_of(record, book)
    verdict = judge(case, book, strict=strict)
    # Mentions and settings are not in the tables: where they decided, only the reasons are told.
    same = verdict.outcome == record.verdict["outcome"] and verdict.reasons == record.reasons
    points = {point.about: point for point in reversed(verdict.points)} if same else {}
    parts = [
        part
        for character in book.ordered_characters
        if (part := _part(character.id, record, book, points))
    ]
    parts.append(_photo(record, points))
    known = {*book.characters, "photo"}
    around = tuple(p for p in verdict.points if p.about not in known) if same else ()
    states = counting(weigh(case, book))
    possible = sorted(possible_taxa(states, case.mentions, book))
    return Account(
        tuple(parts),
        around,
        tuple(book.written(t) for t in possible if not book.taxa[t].is_hybrid),
        tuple(book.written(t) for t in possible if book.taxa[t].is_hybrid),
    )


def _part(
    character: str, record: DeskRecord, book: Rulebook, points: dict[str, Point]
) -> Part | None:
    described = book.characters[character]
    own = [e for e in record.evidence if e.character == character]
    titles = {state.id: state.title for state in described.states}
    words = tuple(dict.fromkeys((e.words, e.source) for e in own if e.words))
    if character in points:
        return Part(character, points[character].effect, points[character].text, words)
    for reason, effect in (
        (f"{character}_missing", "missing"),
        (f"{character}_against", "against"),
    ):
        if reason in record.reasons and not own:
            return Part(character, effect, f"{described.title}: not recorded")
        if reason in record.reasons:
            return Part(
                character, effect, _said(described.title, own, titles, described.unit), words
            )
    if own:
        return Part(character, "note", _said(described.title, own, titles, described.unit), words)
    if character in ALWAYS:
        return Part(character, "silent", f"{described.title}: not stated")
    return None


def _said(title: str, own: Sequence[Evidence], titles: Mapping[str, str], unit: str) -> str:
    states = [
        titles.get(e.state, f"{e.state.replace('_', ' ')} {unit}".strip())
        + ("" if e.weight == "stated" else f" ({e.weight})")
        for e in own
    ]
    return f"{title}: {' and '.join(dict.fromkeys(states))}"


def _photo(record: DeskRecord, points: dict[str, Point]) -> Part:
    words = tuple(
        (photo.get("providerManagedID") or photo.get("accessURI", ""), "photo")
        for photo in record.photos
    )
    if "photo" in points:
        return Part("photo", points["photo"].effect, points["photo"].text, words)
    state = record.verdict["photo"]
    if "photo_missing" in record.reasons:
        return Part("photo", "missing", "photo: needed, but no reference is given", words)
    told = {"stated": "a photo reference is given", "denied": "the record says there is no photo"}
    return Part(
        "photo",
        "note" if state == "stated" else "silent",
        told.get(state, "photo: not recorded"),
        words,
    )
