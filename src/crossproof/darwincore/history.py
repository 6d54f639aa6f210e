"""The identifications of a record: the claim as it was made, and what became of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from crossproof.darwincore.columns import blank, combine
from crossproof.model import Claim, Coded, Evidence, Judged, Verdict

# A hybrid's name → its parents, (name, authorship, rank) in the order of the formula.
Crosses = Mapping[str, tuple[tuple[str, str, str], ...]]

_LETTERS = "ABCDEFGH"
_WHERE = {
    "column": "a column of its own",
    "remark": "the remarks",
    "photo": "a photo",
    "measurement": "a measurement",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Identification:
    """One identification of a record; `name` is without authorship."""

    role: str  # 'claim' or 'determination'
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
    remarks: str = ""
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


def history(
    judged: Judged, *, issued: str, rulebooks: Mapping[str, str], crosses: Crosses
) -> Coded[tuple[Identification, ...]]:
    """The identifications of each record, made once per distinct (claim, verdict, evidence)."""
    references = judged.given.get("identificationReferences", blank(len(judged.ids)))
    cases = combine(judged.claims, judged.verdicts, judged.evidence, references)
    return cases.map(
        lambda case: identifications(*case, issued=issued, rulebooks=rulebooks, crosses=crosses)
    )


def identifications(
    claim: Claim,
    verdict: Verdict,
    evidence: tuple[Evidence, ...],
    references: str = "",
    *,
    issued: str,
    rulebooks: Mapping[str, str],
    crosses: Crosses,
) -> tuple[Identification, ...]:
    """Return a record's identifications, oldest first; the last one is the accepted one.

    A claim that holds, or that nobody contests, is its own determination: one identification.
    A lowered claim stays as one that is not accepted, and the determination follows it; no person
    made that one, so it names the rulebook and not a determiner.
    """
    outcome = verdict.determination
    rulebook = rulebooks.get(verdict.rulebook, verdict.rulebook)
    listed = dict.fromkeys(part for part in (*references.split(" | "), rulebook) if part)
    told = {
        "remarks": _sentences(claim, verdict, evidence),
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
        Identification(
            role="determination",
            accepted=True,
            components=outcome.components,
            words=claim.words,
            date=issued,
            **accepted,
            **told,
        ),
    )


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


def previous_identifications(claim: Claim, verdict: Verdict) -> str:
    """dwc:previousIdentifications: those given, then a lowered claim with determiner and date."""
    if verdict.outcome != "lowered":
        return claim.previous
    name = f"{claim.name.scientific_name} {claim.name.authorship}".strip() or claim.words
    by = f"identified by {claim.identified_by}" if claim.identified_by else ""
    this = ", ".join(part for part in (name, by, claim.date_identified) if part)
    return " | ".join(part for part in (claim.previous, this) if part)


def identification_type(evidence: tuple[Evidence, ...]) -> str:
    """dwc:identificationType: `media` where all evidence was read from photos."""
    if not evidence:
        return ""
    return "media" if all(e.source == "photo" for e in evidence) else "features"


def where_read(evidence: Evidence) -> str:
    """Where a state was read, in words."""
    return f"read from {_WHERE[evidence.source]}"


def words_read(evidence: Evidence) -> str:
    """The words a state was read from, and how firmly they say it."""
    words = f"as written: “{evidence.words}”" if evidence.words else ""
    weight = "" if evidence.weight == "stated" else evidence.weight
    return "; ".join(part for part in (words, weight) if part)


def _sentences(claim: Claim, verdict: Verdict, evidence: tuple[Evidence, ...]) -> str:
    sentences = [claim.remarks] if claim.remarks else []
    for point in verdict.points:
        words = [e.words for e in evidence if e.character == point.about and e.words]
        said = f" (“{'”, “'.join(dict.fromkeys(words))}”)" if words else ""
        sentences.append(f"{point.text.rstrip('.')}{said}")
    if verdict.remedy:
        sentences.append(f"To restore the claim: {verdict.remedy}")
    return " | ".join(sentences)
