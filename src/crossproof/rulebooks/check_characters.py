"""Checks of a rulebook's characters, and of all that speaks of a character or a state."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping

from crossproof.rulebooks.complaint import Complaint, Data, Rule, nearest
from crossproof.rulebooks.lines import Path
from crossproof.rulebooks.templates import expanded

_BESIDES = ("photo", "parents", "specialist")
_OFF_BY = 0.01  # shares are written with two or three figures, so their sum may be off


def _characters(data: Data) -> dict[str, Data]:
    return {entry["id"]: entry for entry in data["character"]}


def _states(character: Data) -> list[str]:
    return [state["id"] for state in character.get("state", ())]


def _hybrids(data: Data) -> set[str]:
    return {entry["id"] for entry in data.get("hybrid", ())}


def _taxa(data: Data) -> set[str]:
    return {entry["id"] for part in ("taxon", "hybrid") for entry in data.get(part, ())}


def _unknown_character(path: Path, what: str, name: str, known: Iterable[str]) -> Complaint:
    message = f"{what} the character {name!r}, which is not defined"
    return Complaint(path, message, nearest(name, known, "define it as a [[character]]"))


def _unknown_states(
    path: Path, names: Iterable[str], character: Data, indexed: bool = True
) -> Iterator[Complaint]:
    known = _states(character)
    for place, name in enumerate(names):
        if name not in known:
            message = f"{name!r} is not a state of {character['id']!r}"
            remedy = nearest(
                name, known, f"choose from {', '.join(known) or 'none: it is measured'}"
            )
            yield Complaint((*path, place) if indexed else path, message, remedy)


def states_or_unit(data: Data) -> Iterator[Complaint]:
    """A character has states to choose from, or a unit to measure in."""
    for index, entry in enumerate(data["character"]):
        name, states = entry["id"], _states(entry)
        if states and "unit" in entry:
            message = f"{name!r} has both states and a unit"
            yield Complaint(("character", index, "unit"), message, "keep the one or the other")
        elif not states and "unit" not in entry:
            message = f"{name!r} has neither states nor a unit"
            yield Complaint(("character", index), message, "add its states, or its unit")
        for place, state in enumerate(entry.get("state", ())):
            kind = state.get("kind_of", "")
            if kind and kind not in states:
                message = f"{state['id']!r} is a kind of {kind!r}, which is not a state of {name!r}"
                remedy = nearest(kind, states, f"choose from {', '.join(states)}")
                yield Complaint(("character", index, "state", place, "kind_of"), message, remedy)


def known_states(data: Data) -> Iterator[Complaint]:
    """[states.*] speaks of taxa, characters and states that exist, and ranges run upward."""
    characters, taxa = _characters(data), _taxa(data)
    for name, rows in data.get("states", {}).items():
        if name not in characters:
            yield _unknown_character(("states", name), "[states] speaks of", name, characters)
            continue
        character = characters[name]
        for taxon, entry in rows.items():
            path: Path = ("states", name, taxon)
            if taxon not in taxa:
                message = f"[states.{name}] speaks of {taxon!r}, which is not a taxon"
                yield Complaint(path, message, nearest(taxon, taxa, "add it as a [[taxon]]"))
            for key in ("states", "rare"):
                yield from _unknown_states((*path, key), entry.get(key, ()), character)
            yield from _measure(path, entry, character)


def _measure(path: Path, entry: Data, character: Data) -> Iterator[Complaint]:
    measure = entry.get("measure")
    if measure and "unit" not in character:
        message = f"a measure is given for {character['id']!r}, which is not measured"
        yield Complaint((*path, "measure"), message, "write its states instead")
    elif measure and measure[0] > measure[1]:
        message = f"the range {measure[0]}-{measure[1]} is reversed"
        yield Complaint((*path, "measure"), message, "write the lowest first")
    elif not (measure or entry.get("states") or entry.get("rare")):
        message = "nothing is said here: no states and no measure"
        yield Complaint(path, message, "state what is known, or take the line out")


def requirements(data: Data) -> Iterator[Complaint]:
    """What a claim needs are characters, or a photo, parents, a specialist."""
    characters = _characters(data)
    for part in ("requirement", "strict_requirement"):
        for index, entry in enumerate(data.get(part, ())):
            yield from _known_hybrids((part, index, "hybrids"), entry, data)
            for key, besides in (("all_of", _BESIDES), ("any_of", ())):
                for place, name in enumerate(entry.get(key, ())):
                    if name not in characters and name not in besides:
                        path = (part, index, key, place)
                        known = (*characters, *besides)
                        yield _unknown_character(path, f"a {part} asks for", name, known)
            if entry.get("at_least", 0) > len(entry.get("any_of", ())):
                message = "at_least asks for more characters than any_of holds"
                remedy = "lower at_least, or add to any_of"
                yield Complaint((part, index, "at_least"), message, remedy)


def _known_hybrids(path: Path, entry: Data, data: Data) -> Iterator[Complaint]:
    hybrids = _hybrids(data)
    for place, name in enumerate(entry["hybrids"]):
        if name not in hybrids:
            message = f"{name!r} is not a hybrid of this rulebook"
            yield Complaint(
                (*path, place), message, nearest(name, hybrids, "add it as a [[hybrid]]")
            )


def combinations(data: Data) -> Iterator[Complaint]:
    """Combinations speak of hybrids, characters, states and mentions that exist."""
    characters = _characters(data)
    mentions = {entry["id"] for entry in data.get("mention", ())}
    for index, entry in enumerate(data.get("combination", ())):
        path: Path = ("combination", index)
        yield from _known_hybrids((*path, "hybrids"), entry, data)
        yield from _wanted_states((*path, "when"), entry["when"], characters, "a combination")
        for place, name in enumerate(entry.get("blames", ())):
            if name not in characters:
                where = (*path, "blames", place)
                yield _unknown_character(where, "a combination blames", name, characters)
        if entry["effect"] == "against" and not entry.get("blames"):
            message = "a combination speaks against a claim and blames no character"
            yield Complaint(path, message, "name in blames the characters that speak")
        for place, name in enumerate(entry.get("unless", ())):
            if name not in mentions:
                message = f"a combination does not hold with {name!r}, which is not a mention"
                remedy = nearest(name, mentions, "add it as a [[mention]]")
                yield Complaint((*path, "unless", place), message, remedy)


def _wanted_states(
    path: Path, wanted: Data, characters: dict[str, Data], what: str
) -> Iterator[Complaint]:
    for name, states in wanted.items():
        if name not in characters:
            yield _unknown_character((*path, name), f"{what} speaks of", name, characters)
        elif isinstance(states, str):
            yield from _unknown_states((*path, name), [states], characters[name], indexed=False)
        else:
            yield from _unknown_states((*path, name), states, characters[name])


def soil(data: Data) -> Iterator[Complaint]:
    """The soil rule speaks of a mention, taxa, characters and states that exist."""
    if "soil" not in data:
        return
    rule, taxa = data["soil"], _taxa(data)
    mentions = [entry["id"] for entry in data.get("mention", ())]
    if rule["mention"] not in mentions:
        message = f"[soil] speaks of {rule['mention']!r}, which is not a mention"
        remedy = nearest(rule["mention"], mentions, "add it as a [[mention]]")
        yield Complaint(("soil", "mention"), message, remedy)
    for key in ("brings", "instead_of"):
        if rule[key] not in taxa:
            message = f"[soil] speaks of {rule[key]!r}, which is not a taxon"
            yield Complaint(("soil", key), message, nearest(rule[key], taxa, "name a taxon"))
    wanted = rule.get("spoken_for_by", {})
    yield from _wanted_states(("soil", "spoken_for_by"), wanted, _characters(data), "[soil]")


def numbers(data: Data) -> Iterator[Complaint]:
    """Frequencies are of characters and states that exist and sum to one; priors are of taxa."""
    characters = _characters(data)
    taxa = {*_taxa(data), "other"}
    for setting, row in data.get("priors", {}).items():
        yield from _unknown_taxa(("priors", setting), row, taxa)
    default = data["rulebook"].get("default_setting", "")
    if default and default not in data.get("priors", {}):
        message = f"the setting {default!r} has no priors"
        remedy = nearest(default, data.get("priors", {}), f"add [priors.{default}]")
        yield Complaint(("rulebook", "default_setting"), message, remedy)
    for name, rows in data.get("frequencies", {}).items():
        if name not in characters and name != "named_on_flowers":
            path: Path = ("frequencies", name)
            yield _unknown_character(path, "[frequencies] speaks of", name, characters)
            continue
        yield from _unknown_taxa(("frequencies", name), rows, taxa)
        for taxon, row in rows.items():
            path = ("frequencies", name, taxon)
            if name in characters:
                for state in row:
                    where = (*path, state)
                    yield from _unknown_states(where, [state], characters[name], indexed=False)
            else:
                yield from _unknown_taxa(path, row, {*taxa, "other_hybrid"})
            total = sum(row.values())
            if abs(total - 1) > _OFF_BY:
                message = f"the shares of {taxon!r} sum to {total:.3g}, not to one"
                yield Complaint(path, message, "mend the shares so that they sum to one")


def _unknown_taxa(path: Path, row: Iterable[str], taxa: set[str]) -> Iterator[Complaint]:
    for taxon in row:
        if taxon not in taxa:
            message = f"[{'.'.join(map(str, path))}] speaks of {taxon!r}, which is not a taxon"
            yield Complaint(
                (*path, taxon), message, nearest(taxon, taxa, "write ids of taxa, or other")
            )


def phrases(data: Data) -> Iterator[Complaint]:
    """Phrases are of characters and states that exist, and none means two states."""
    characters = _characters(data)
    for name, said in expanded(data.get("phrases", {})).items():
        if not isinstance(said, Mapping):
            continue
        path: Path = ("phrases", name)
        if name not in characters:
            yield _unknown_character(path, "[phrases] speaks of", name, characters)
            continue
        taken: dict[str, str] = {}
        for state, words in said.get("states", {}).items():
            where = (*path, "states", state)
            if _states(characters[name]):
                yield from _unknown_states(where, [state], characters[name], indexed=False)
            for key in ("words", "alone", "certain", "whole", "short", "signs", "beside"):
                for place, phrase in enumerate(words.get(key, ())):
                    if unknown := re.search(r"\{\w+\}", phrase):
                        message = f"{unknown.group()} is no class of words of {name!r}"
                        yield Complaint((*where, key), message, "list it under `classes`")
                    first = taken.setdefault(_plain(phrase), state)
                    if first != state:
                        message = f"the phrase {phrase!r} means two states, {first!r} and {state!r}"
                        yield Complaint((*where, key, place), message, "keep it for one of them")


def _plain(phrase: str) -> str:
    """A phrase as the reader of remarks sees it: small letters, single spaces, no hyphens."""
    return " ".join(re.findall(r"\w+|[^\w\s-]", phrase.casefold()))


RULES: dict[str, Rule] = {
    "states or a unit": states_or_unit,
    "known states": known_states,
    "requirements": requirements,
    "combinations": combinations,
    "soil": soil,
    "numbers": numbers,
    "phrases": phrases,
}
