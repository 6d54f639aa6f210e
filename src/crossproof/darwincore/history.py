"""The identifications of a record: the claim as it was made, and what became of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from crossproof.coding import cross
from crossproof.darwincore.columns import blank
from crossproof.model import LEAD, Claim, Coded, Evidence, Judged, Verdict

# A hybrid's name → its parents, (name, authorship, rank) in the order of the formula.
Crosses = Mapping[str, tuple[tuple[str, str, str], ...]]

_LETTERS = "ABCDEFGH"
CITATION = "crossproof rulebook "  # how dwc:identificationReferences names a rulebook
_WHERE = {
    "column": "a column of its own",
    "remark": "the remarks",
    "photo": "a photo",
    "measurement": "a measurement",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Identification:
    """One identification of a record; `name` is without authorship."""

    role: str  # 'claim', 'determination', or one of its own for what was identified before
    accepted: bool
    name: str
    authorship: str = ""
    rank: str = ""
    qualifier: str = ""
    formula: str = "A"
    components: tuple[tuple[str, str, str], ...] = ()
    words: str = ""
    identified_by: str = ""
    date: str = ""
    references: str = ""
    verification: str = ""
    remarks: str = ""  # a person's
    reasoning: str = ""  # ours
    kind: str = ""  # dwc:identificationType

    @property
    def full_name(self) -> str:
        return f"{self.name} {self.authorship}".strip()

    @property
    def parents(self) -> str:
        """What the letters of a hybrid's formula stand for, for dwc:taxonRemarks."""
        if len(self.components) < 2:
            return ""
        taxa = [
            f"{letter} = {name} {authorship}".strip()
            for letter, (name, authorship, _) in zip(_LETTERS, self.components, strict=False)
        ]
        return f"Hybrid; in the formula {', '.join(taxa)}"


Histories = Coded[tuple[Identification, ...]]


def history(
    judged: Judged,
    *,
    issued: str,
    rulebooks: Mapping[str, str],
    crosses: Crosses,
    further: Histories | None = None,
) -> Histories:
    """The identifications of each record, made once per distinct (claim, verdict, evidence).

    `further` are identifications that somebody made of each record before: by an earlier run, or
    by a person.
    """
    references = judged.given.get("identificationReferences", blank(len(judged.ids)))
    none = Coded([()], np.zeros(len(judged.ids), dtype=np.intp))
    cases = cross(judged.claims, judged.verdicts, judged.evidence, references, further or none)
    return cases.map(
        lambda case: identifications(*case, issued=issued, rulebooks=rulebooks, crosses=crosses)
    )


def identifications(
    claim: Claim,
    verdict: Verdict,
    evidence: tuple[Evidence, ...],
    references: str = "",
    further: tuple[Identification, ...] = (),
    *,
    issued: str,
    rulebooks: Mapping[str, str],
    crosses: Crosses,
) -> tuple[Identification, ...]:
    """Return a record's identifications, oldest first; the last one is the accepted one.

    A claim that holds, or that nobody contests, is its own determination: one identification.
    A lowered claim stays as one that is not accepted, and the determination follows it; no person
    made that one, so it names the rulebook and not a determiner. `further` identifications, none
    of them accepted any more, stand between the claim and what is accepted now.
    """
    outcome = verdict.determination
    rulebook = rulebooks.get(verdict.rulebook, verdict.rulebook)
    listed = dict.fromkeys(part for part in (*given_references(references), rulebook) if part)
    told = {
        "remarks": claim.remarks,
        "reasoning": _sentences(verdict, evidence),
        "kind": identification_type(evidence),
        "references": " | ".join(listed),
    }
    person = {
        "words": claim.words,
        "identified_by": claim.identified_by,
        "date": claim.date_identified,
        "verification": claim.verification,
    }
    accepted = {
        "name": outcome.scientific_name,
        "authorship": outcome.authorship,
        "rank": outcome.rank,
        "qualifier": outcome.qualifier,
        "formula": outcome.formula,
    }
    if verdict.outcome != "lowered":
        accepted["formula"] = _doubted(outcome.formula, outcome.qualifier)
        return (
            *further,
            Identification(
                role="claim",
                accepted=True,
                components=outcome.components,
                **accepted,
                **person,
                **told,
            ),
        )
    return (
        _as_claimed(claim, person, crosses),
        *further,
        Identification(
            role=_next_role(further),
            accepted=True,
            components=outcome.components,
            words=claim.words,
            date=issued,
            **accepted,
            **told,
        ),
    )


def given_references(references: str) -> list[str]:
    """Of dwc:identificationReferences, what is not ours."""
    return [part for part in references.split(" | ") if not part.startswith(CITATION)]


def _next_role(further: tuple[Identification, ...]) -> str:
    """A role that no earlier identification has: its identifier is made from it, and stays."""
    taken = {item.role for item in further}
    roles = ("determination", *(f"determination-{n}" for n in range(2, len(further) + 3)))
    return next(role for role in roles if role not in taken)


def _as_claimed(claim: Claim, person: Mapping[str, str], crosses: Crosses) -> Identification:
    name = claim.name
    parents = crosses.get(name.scientific_name, ())
    qualifier = claim.qualifier or name.qualifier
    formula = " x ".join(_LETTERS[: len(parents)]) if len(parents) > 1 else "A"
    return Identification(
        role="claim",
        accepted=False,
        name=name.scientific_name,
        authorship=name.authorship,
        rank=name.rank,
        qualifier=qualifier,
        formula=_doubted(formula, qualifier),
        components=parents,
        remarks=claim.remarks,
        **person,
    )


def _doubted(formula: str, qualifier: str) -> str:
    """The formula of one taxon with the recorder's doubt in it (dwc:taxonFormula, examples)."""
    words = qualifier.casefold().split()
    if formula != "A" or not words:
        return formula
    if any(word.rstrip(".") in ("cf", "aff") for word in words):
        return "A cf." if any(word.rstrip(".") == "cf" for word in words) else "A aff."
    doubts = ("?", "prob", "poss", "perhaps", "maybe", "likely")
    return "A ?" if any(word.startswith(doubts) or word.endswith("?") for word in words) else "A"


def previous_identifications(
    claim: Claim, verdict: Verdict, told: tuple[Identification, ...] = ()
) -> str:
    """dwc:previousIdentifications: those given, then a lowered claim with determiner and date,
    then what an earlier run determined. What stands at the end already is not said again.
    """
    said = []
    if verdict.outcome == "lowered":
        name = f"{claim.name.scientific_name} {claim.name.authorship}".strip() or claim.words
        said.append(_in_a_line(name, claim.identified_by, claim.date_identified))
    for item in told[:-1]:
        if item.role != "claim":
            named = f"{item.full_name}, {item.qualifier}" if item.qualifier else item.full_name
            said.append(_in_a_line(named, item.identified_by or item.references, item.date))
    for known in range(len(said), 0, -1):
        if f" | {claim.previous}".endswith(f" | {' | '.join(said[:known])}"):
            said = said[known:]
            break
    return " | ".join(part for part in (claim.previous, *said) if part)


def _in_a_line(name: str, by: str, date: str) -> str:
    return ", ".join(part for part in (name, by and f"identified by {by}", date) if part)


def identification_type(evidence: tuple[Evidence, ...]) -> str:
    """dwc:identificationType: `media` where all evidence was read from photos."""
    if not evidence:
        return ""
    return "media" if all(e.source == "photo" for e in evidence) else "features"


def with_lead(own: str, ours: str) -> str:
    """A person's remark, then ours after `LEAD`."""
    return " | ".join(part for part in (own, ours and f"{LEAD}{ours}") if part)


def where_read(evidence: Evidence) -> str:
    """Where a state was read, in words."""
    return f"read from {_WHERE[evidence.source]}"


def words_read(evidence: Evidence) -> str:
    """The words a state was read from, and how firmly they say it."""
    words = f"as written: “{evidence.words}”" if evidence.words else ""
    weight = "" if evidence.weight == "stated" else evidence.weight
    return "; ".join(part for part in (words, weight) if part)


def _sentences(verdict: Verdict, evidence: tuple[Evidence, ...]) -> str:
    sentences = []
    for point in verdict.points:
        words = [e.words for e in evidence if e.character == point.about and e.words]
        said = f" (“{'”, “'.join(dict.fromkeys(words))}”)" if words else ""
        sentences.append(f"{point.text.rstrip('.')}{said}")
    if verdict.remedy:
        sentences.append(f"To restore the claim: {verdict.remedy}")
    return " | ".join(sentences)
