"""Records that share claim, reasons and evidence, gathered under one reasoning."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from crossproof.findings import Finding, catalogue
from crossproof.model import Claim, Coded, Evidence, Judged, Outcome, Photo, Point, Verdict
from crossproof.report.wording import clip, tells_too_much, words
from crossproof.rulebooks.model import Character, Rulebook

LISTED: tuple[Outcome, ...] = ("lowered", "contested", "returned")
ALWAYS = ("leaf", "stem", "flower")  # shown even where nothing is stated, if the rulebook has them


@dataclass(frozen=True, slots=True)
class Words:
    """Exact words, what they are about (a character, or `photo`) and where they were read."""

    about: str
    text: str
    where: str


@dataclass(frozen=True, slots=True)
class Record:
    """What the page shows of one row, and nothing more of it."""

    file: str
    sheet: str
    row: int
    id: str
    date: str
    locality: str
    coordinates: str
    recorder: str
    claim: str
    words: tuple[Words, ...] = ()
    told: tuple[str, ...] = ()  # what the findings say of a row that goes back


@dataclass(frozen=True, slots=True)
class Step:
    """One part of the plant in the reasoning, with the words that all records of a group share."""

    about: str
    effect: str
    text: str
    words: tuple[Words, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Reasoning:
    """What the records of one group have in common. Equal reasonings are one group."""

    outcome: Outcome
    claimed: str  # the name that was understood; the words where a claim without one stands
    is_latin: bool
    reasons: tuple[str, ...]
    determined: str = ""
    rank: str = ""
    qualifier: str = ""
    points: tuple[Point, ...] = ()
    remedy: str = ""
    rulebook: str = ""
    states: tuple[tuple[str, str, str], ...] = ()  # character, state, weight
    photo: str = ""


@dataclass(frozen=True, slots=True)
class Group:
    """One reasoning and the records it is about."""

    reasoning: Reasoning
    records: list[Record] = field(default_factory=list)


class Listing:
    """The groups of a run, up to `limit` records in all; later records are not kept."""

    def __init__(self, limit: int) -> None:
        self._room = limit
        self._groups: dict[Reasoning, Group] = {}
        self.shown: Counter[Outcome] = Counter()

    def add(self, judged: Judged, photo: Coded[str], findings: Sequence[Finding]) -> None:
        """Keep the lowered, contested and returned rows of one chunk, while there is room."""
        if self._room <= 0:
            return
        listed = [verdict.outcome in LISTED for verdict in judged.verdicts.values]
        flags = np.array(listed, dtype=bool)[judged.verdicts.codes] if listed else np.zeros(0, bool)
        positions = np.flatnonzero(flags)[: self._room].tolist()
        told = _told(judged, findings)
        known: dict[tuple[int, ...], Reasoning] = {}
        columns = (judged.claims, judged.verdicts, judged.evidence, photo)
        codes = np.stack([column.codes for column in columns])[:, positions].T.tolist()
        for position, key in zip(positions, map(tuple, codes), strict=True):
            if key not in known:
                known[key] = _reasoning(
                    judged.claims.values[key[0]],
                    judged.verdicts.values[key[1]],
                    judged.evidence.values[key[2]],
                    photo.values[key[3]],
                )
            self._keep(known[key], _record(judged, position, told))
        self._add_broken(findings)

    def _add_broken(self, findings: Sequence[Finding]) -> None:
        """Rows that do not fit their table have no verdict; their finding tells of them."""
        broken = {(f.file, f.sheet, f.row): f for f in findings if f.code == "row_broken"}
        for found in list(broken.values())[: max(self._room, 0)]:
            reasoning = Reasoning(
                outcome="returned",
                claimed="",
                is_latin=False,
                reasons=("row_broken",),
                remedy=found.remedy,
            )
            told = (clip(found.message),)
            place = (found.file, found.sheet, found.row)
            self._keep(reasoning, Record(*place, "", "", "", "", "", "", (), told))

    def _keep(self, reasoning: Reasoning, record: Record) -> None:
        self._groups.setdefault(reasoning, Group(reasoning)).records.append(record)
        self._room -= 1
        self.shown[reasoning.outcome] += 1

    @classmethod
    def of(cls, groups: Iterable[Group], without: Set[tuple[str, str, int]]) -> Listing:
        """A listing of groups made before, without the records at some places."""
        made = cls(0)
        for group in groups:
            for record in group.records:
                if (record.file, record.sheet, record.row) not in without:
                    made._keep(group.reasoning, record)
        return made

    def groups(self, outcome: Outcome) -> list[Group]:
        """The groups of one outcome, by the name claimed; in file order within it.

        Rows that do not fit their table are known when their chunk is done, so they stand last:
        the page must not depend on where one chunk ends and the next begins.
        """
        chosen = [g for g in self._groups.values() if g.reasoning.outcome == outcome]
        return sorted(
            chosen,
            key=lambda g: (g.reasoning.claimed.casefold(), "row_broken" in g.reasoning.reasons),
        )


def _reasoning(
    claim: Claim, verdict: Verdict, evidence: tuple[Evidence, ...], photo: str
) -> Reasoning:
    states = dict.fromkeys((e.character, e.state, e.weight) for e in evidence)
    determined = verdict.determination
    # Rows go back for what can't be read, whatever was written: their words stand with each row.
    words_as_claim = "" if verdict.outcome == "returned" else clip(claim.words)
    return Reasoning(
        outcome=verdict.outcome,
        claimed=claim.name.scientific_name or words_as_claim,
        is_latin=bool(claim.name.scientific_name),
        reasons=verdict.reasons,
        determined=determined.scientific_name,
        rank=determined.rank,
        qualifier=determined.qualifier,
        points=verdict.points,
        remedy=verdict.remedy,
        rulebook=verdict.rulebook,
        states=tuple(sorted(states)),
        photo=photo,
    )


def _record(judged: Judged, position: int, told: Mapping[int, tuple[str, ...]]) -> Record:
    where, when = _at(judged.where, position), _at(judged.when, position)
    number = judged.numbers[position]
    recorders = judged.given.get("recordedBy")
    claim: Claim = _at(judged.claims, position)
    is_returned = _at(judged.verdicts, position).outcome == "returned"
    return Record(
        file=judged.table.file,
        sheet=judged.table.sheet,
        row=number,
        id=clip(judged.ids[position]),
        date=clip(when.get("eventDate") or when.get("verbatimEventDate", "")),
        locality=clip(where.get("locality", "")),
        coordinates=clip(where.get("verbatimCoordinates", "")),
        recorder=clip(_at(recorders, position)) if recorders else "",
        claim=clip(claim.words),
        words=tuple(_words(_at(judged.evidence, position), _at(judged.photos, position), judged)),
        told=told.get(number, ()) if is_returned else (),
    )


def _at(column: Coded[Any], position: int) -> Any:
    return column.values[column.codes[position]]


def _words(
    evidence: tuple[Evidence, ...], photos: tuple[Photo, ...], judged: Judged
) -> Iterator[Words]:
    sources, fields = words()["sources"], judged.table.fields
    for piece in evidence:
        heading = fields.get(piece.character, "") if piece.source == "column" else ""
        where = f"{sources[piece.source]} {heading}".strip()
        yield Words(piece.character, clip(piece.words), where)
    for picture in photos:
        yield Words("photo", clip(picture.reference), "")


def _told(judged: Judged, findings: Sequence[Finding]) -> dict[int, tuple[str, ...]]:
    """What warnings and errors say of each row; values that tell too much are left out."""
    entries, told = catalogue(), dict[int, tuple[str, ...]]()
    for found in findings:
        entry = entries[found.code]
        if not found.row or entry.severity == "note" or found.code == "row_broken":
            continue
        text = entry.title
        if not tells_too_much(found, judged.table.fields):
            text = f"{found.message} (“{found.value}”)" if found.value else found.message
        heading = f"{found.column}: " if found.column else ""
        told[found.row] = (*told.get(found.row, ()), clip(heading + text))
    return told


def steps(group: Group, rulebook: Rulebook | None) -> tuple[Step, ...]:
    """The evidence of a group from the bottom of the plant upward, the photo last."""
    reasoning = group.reasoning
    points = {point.about: point for point in reversed(reasoning.points)}
    characters = {c.id: c for c in rulebook.ordered_characters} if rulebook else {}
    stated = [character for character, _, _ in reasoning.states]
    shared = _shared_words(group)
    found: list[Step] = []
    effect: str
    for character in dict.fromkeys([*characters, *stated]):
        said = _states(reasoning, character, characters.get(character))
        if character in points:
            effect, text = points[character].effect, points[character].text
        elif said:
            effect, text = "note", said
        elif character in ALWAYS:
            effect, text = "silent", f"{characters[character].title}: not stated"
        else:
            continue
        found.append(Step(character, effect, text, shared.get(character, ())))
    if all(step.effect == "silent" for step in found):
        return ()
    effect, text = "note", words()["photo"].get(reasoning.photo, "photo")
    if reasoning.photo != "stated":
        effect = "silent"
    if "photo" in points:
        effect, text = points["photo"].effect, points["photo"].text
    return (*found, Step("photo", effect, text, shared.get("photo", ())))


def around(group: Group, rulebook: Rulebook | None) -> tuple[Point, ...]:
    """What the reasoning says beside the plant: season, range, parents, all taken together.

    Of a row that goes back, its findings tell more; they stand with the row.
    """
    if group.reasoning.outcome == "returned":
        return ()
    parts = {"photo", *(rulebook.characters if rulebook else ())} if rulebook else set[str]()
    return tuple(point for point in group.reasoning.points if point.about not in parts)


def _states(reasoning: Reasoning, character: str, described: Character | None) -> str:
    titles = {state.id: state.title for state in described.states} if described else {}
    unit = described.unit if described else ""
    weights = words()["weights"]
    said = []
    for about, state, weight in reasoning.states:
        if about == character:
            doubt = f" ({weights[weight]})" if weights[weight] else ""
            said.append(titles.get(state, f"{state.replace('_', ' ')} {unit}".strip()) + doubt)
    title = described.title if described else character.replace("_", " ")
    return f"{title}: {' and '.join(said)}" if said else ""


def _shared_words(group: Group) -> dict[str, tuple[Words, ...]]:
    """For each character, the words that stand in every record of the group."""
    first, *others = ({*r.words} for r in group.records)
    shared = first.intersection(*others)
    found: dict[str, tuple[Words, ...]] = {}
    for piece in group.records[0].words:
        if piece in shared and piece not in found.get(piece.about, ()):
            found[piece.about] = (*found.get(piece.about, ()), piece)
    return found
