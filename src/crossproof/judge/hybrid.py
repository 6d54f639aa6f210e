"""A hybrid claim, held to what it needs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from crossproof.judge import context
from crossproof.judge.aggregate import keep, lower, possible_taxa
from crossproof.judge.combine import Reading, allows, read_claim
from crossproof.judge.weigh import Weighed, counting
from crossproof.model import Case, Point, Verdict
from crossproof.rulebooks.model import Requirement, Rulebook, Taxon

_SAID = {
    "photo": "no photo reference is given",
    "parents": "it is not stated that both parents grow near by",
    "specialist": "no specialist is named as determiner",
}
_GIVE = {
    "photo": "give a photo reference",
    "parents": "say whether both parents grow near by",
    "specialist": "ask a specialist to determine it",
}


def judge_hybrid(
    case: Case, taxon: Taxon, weighed: Mapping[str, Weighed], rulebook: Rulebook, strict: bool
) -> Verdict:
    """Uphold a hybrid claim whose required evidence is all stated and fits; else lower it."""
    need = rulebook.requirement(taxon.id, strict) or Requirement(hybrids=(taxon.id,), all_of=())
    reading = read_claim(taxon.id, counting(weighed), case.mentions, rulebook)
    missing = _missing(case, need, weighed, rulebook)
    around = [*_shared(taxon, need, weighed, rulebook), *_around(case, taxon, weighed, rulebook)]
    only_flowers = _rests_on_flowers(case, taxon, need, weighed, rulebook)
    undecided = not reading.against and (
        need.never
        or ("specialist" in need.all_of and not case.specialist)
        or any(point.effect == "undecided" for point in around)
        or any(weighed[c].status in ("doubtful", "disagrees") for c in _wanted(need, weighed))
        or reading.effect == "undecided"
        or (reading.effect is None and not missing and "specialist" not in need.all_of)
    )
    reasons = [*_evidence_reasons(missing, reading, rulebook)]
    reasons += ["flower_only"] if only_flowers else []
    reasons += ["undecided"] if undecided else []
    lowered = bool(reasons)
    reasons += [_CODES[point.about] for point in around if point.about in _CODES]
    possible = (
        possible_taxa(counting(weighed), case.mentions, rulebook)
        if reading.against
        else frozenset()
    )
    return Verdict(
        outcome="lowered" if lowered else "upheld",
        reasons=tuple(reasons),
        determination=lower(taxon, bool(reading.against), possible, rulebook)
        if lowered
        else keep(taxon, case.name.qualifier, rulebook),
        points=tuple(_points(case, need, missing, reading, weighed, rulebook, around, undecided)),
        remedy=_remedy(need, missing, weighed, rulebook) if lowered else "",
    )


_CODES = {"season": "out_of_season", "parents": "parent_absent"}


def _wanted(need: Requirement, weighed: Mapping[str, Weighed]) -> list[str]:
    """The characters a claim needs or could use, from the bottom of the plant upward."""
    return [c for c in weighed if c in need.all_of or c in need.any_of]


def _missing(
    case: Case, need: Requirement, weighed: Mapping[str, Weighed], rulebook: Rulebook
) -> list[str]:
    """What is needed and not stated, in reasoning order: characters bottom up, then the rest."""
    missing = [c for c in weighed if c in need.all_of and not weighed[c].is_stated]
    if sum(weighed[c].is_stated for c in need.any_of if c in weighed) < need.at_least:
        missing.append(need.any_name)
    if "parents" in need.all_of and case.parents != "both":
        missing.append("parents")
    if "photo" in need.all_of and case.photo != "stated":
        missing.append("photo")
    return missing


def _around(
    case: Case, taxon: Taxon, weighed: Mapping[str, Weighed], rulebook: Rulebook
) -> list[Point]:
    points = (
        context.out_of_range(case, taxon, rulebook),
        context.soil(case, taxon, weighed, rulebook),
        context.season(case, taxon),
        context.parents(case),
    )
    return [point for point in points if point]


def _shared(
    taxon: Taxon, need: Requirement, weighed: Mapping[str, Weighed], rulebook: Rulebook
) -> Iterable[Point]:
    """A measurement that is needed fits only where it lies outside one parent at least."""
    for character in need.all_of:
        weight = weighed.get(character, Weighed())
        described = rulebook.characters.get(character)
        if not weight.states or described is None or not described.is_measured:
            continue
        known = [rulebook.known_of(parent, character) for parent in taxon.parents]
        if all(k and allows(k, weight.states, described) for k in known):
            text = f"{described.title}: known of both parents, so it cannot decide"
            yield Point("together", "undecided", text)


def _rests_on_flowers(
    case: Case,
    taxon: Taxon,
    need: Requirement,
    weighed: Mapping[str, Weighed],
    rulebook: Rulebook,
) -> bool:
    """Whether the claim rests on flowers, by its own words or because nothing else is stated."""
    if rulebook.flowers_carry or taxon.id in rulebook.flowers_carry_for:
        return False
    below = [c for c in weighed if not rulebook.characters[c].flower]
    if all(weighed[c].is_stated for c in below if c in need.all_of):
        return False
    flowers = [c for c in weighed if rulebook.characters[c].flower and weighed[c].is_stated]
    return case.flower_only or (bool(flowers) and not any(weighed[c].is_stated for c in below))


def _evidence_reasons(missing: list[str], reading: Reading, rulebook: Rulebook) -> Iterable[str]:
    """`<character>_missing` and `<character>_against`, bottom up, then what is no character."""
    for character in rulebook.ordered_characters:
        if character.id in reading.against:
            yield f"{character.id}_against"
        elif character.id in missing:
            yield f"{character.id}_missing"
    yield from (f"{what}_missing" for what in missing if what not in rulebook.characters)


def _points(
    case: Case,
    need: Requirement,
    missing: list[str],
    reading: Reading,
    weighed: Mapping[str, Weighed],
    rulebook: Rulebook,
    around: list[Point],
    undecided: bool,
) -> Iterable[Point]:
    """The reasoning, bottom up: each character, then photo and the rest, then what they make."""
    for character in weighed:
        if weighed[character].is_stated or character in missing:
            yield character_point(character, weighed[character], reading, rulebook)
    for what in missing:
        if what not in weighed:
            yield Point(what, "missing", _SAID.get(what, f"no {what} are given"))
    if "photo" in need.all_of and "photo" not in missing:
        yield Point("photo", "fits", "a photo reference is given")
    if "specialist" in need.all_of and not case.specialist:
        yield Point("specialist", "undecided", _SAID["specialist"])
    for why in reading.whys:
        yield Point("together", reading.effect or "note", why)
    if need.never and undecided:
        yield Point("together", "undecided", need.why)
    yield from around


def character_point(character: str, weight: Weighed, reading: Reading, rulebook: Rulebook) -> Point:
    """One character in words: its title, what was stated, and how it stands."""
    described = rulebook.characters[character]
    title = described.title
    if weight.status == "missing":
        return Point(character, "missing", f"{title}: not recorded")
    titles = {state.id: state.title for state in described.states}
    said = " and ".join(
        titles.get(state, f"{state} {described.unit}".strip()) for state in weight.shown
    )
    if weight.status == "doubtful":
        return Point(character, "undecided", f"{title}: {said}, but faint or doubted")
    if weight.status == "disagrees":
        return Point(character, "undecided", f"{title}: column and remark disagree ({said})")
    if character in reading.against:
        return Point(character, "against", f"{title}: {said}, against the claim")
    return Point(character, "fits" if reading.effect == "fits" else "note", f"{title}: {said}")


def _remedy(
    need: Requirement, missing: list[str], weighed: Mapping[str, Weighed], rulebook: Rulebook
) -> str:
    """What would restore the claim, in words to a recorder; empty where nothing could."""
    if need.never:
        return ""
    wants = []
    for character in _wanted(need, weighed):
        if character in missing or weighed[character].status in ("doubtful", "disagrees"):
            wants.append(f"state the {rulebook.characters[character].title}")
    for what in missing:
        if what not in weighed:
            wants.append(_GIVE.get(what, f"give {what}"))
    if "specialist" in need.all_of:
        wants.append(_GIVE["specialist"])
    return "; ".join(wants)
