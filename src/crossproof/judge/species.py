"""A claim that is no hybrid: does its own evidence speak against it?"""

from __future__ import annotations

from collections.abc import Mapping

from crossproof.judge import context
from crossproof.judge.aggregate import keep
from crossproof.judge.combine import Reading, allows, read_claim
from crossproof.judge.hybrid import character_point
from crossproof.judge.weigh import States, Weighed, counting
from crossproof.model import Case, Point, Verdict
from crossproof.rulebooks.model import Rulebook, Taxon


def judge_species(
    case: Case, taxon: Taxon, weighed: Mapping[str, Weighed], rulebook: Rulebook
) -> Verdict:
    """Contest a species claim only by a state that is known nowhere for it, varieties included."""
    against = tuple(
        character
        for character, weight in weighed.items()
        if weight.states and not _is_known(taxon, character, weight, rulebook)
    )
    reading = Reading("against" if against else None, against)
    points = [
        character_point(character, weight, reading, rulebook)
        for character, weight in weighed.items()
        if weight.is_stated
    ]
    crosses = _crosses(taxon, counting(weighed), case.mentions, rulebook) if against else ()
    if crosses:
        names = " or ".join(rulebook.written(cross) for cross in crosses)
        points.append(Point("together", "against", f"what is stated fits {names}"))
    late = context.season(case, taxon)
    points += [late] if late else []
    reasons = [f"{character}_against" for character in against]
    reasons += ["out_of_season"] if late else []
    return Verdict(
        outcome="contested" if against else "no_claim",
        reasons=tuple(reasons),
        determination=keep(taxon, case.name.qualifier, rulebook),
        points=tuple(points),
        remedy=_remedy(against, rulebook),
        findings=(("points_to_cross", names),) if crosses else (),
    )


def _remedy(against: tuple[str, ...], rulebook: Rulebook) -> str:
    titles = " and ".join(rulebook.characters[character].title for character in against)
    return f"look again at {titles}, and take a photo of it" if titles else ""


def _is_known(taxon: Taxon, character: str, weight: Weighed, rulebook: Rulebook) -> bool:
    described = rulebook.characters[character]
    known = rulebook.known_of(taxon.id, character)
    # A number a little outside a published range contests nobody's name.
    return known is None or described.is_measured or allows(known, weight.states, described)


def _crosses(
    taxon: Taxon, states: States, mentions: frozenset[str], rulebook: Rulebook
) -> tuple[str, ...]:
    """The crosses of the species claimed that the stated states fit, commonest tier first."""
    species = set(rulebook.lines_up[taxon.id])
    fitting = [
        hybrid
        for hybrid in rulebook.hybrids
        if species.intersection(hybrid.parents)
        and read_claim(hybrid.id, states, mentions, rulebook).effect == "fits"
    ]
    return tuple(hybrid.id for hybrid in sorted(fitting, key=lambda h: h.tier)[:2])
