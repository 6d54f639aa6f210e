"""Compile the words of the trade and those of a rulebook into one vocabulary."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any, Final

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.entries import Entries, may_own
from crossproof.parse.remarks.text.mender import Mender
from crossproof.parse.remarks.text.phrasebook import Pattern, Phrasebook, patterns
from crossproof.parse.remarks.text.species import names_of
from crossproof.parse.remarks.text.telling import telling_words
from crossproof.parse.remarks.text.tokens import words
from crossproof.parse.remarks.text.vocabulary import Meaning, Scale, Sense, Vocabulary
from crossproof.rulebooks.model import Rulebook
from crossproof.rulebooks.templates import Phrases, expanded

_WEIGHTY: Final = (
    v.STATE | v.ORGAN | v.NOT | v.NONE | v.SLIGHT | v.NEARLY | v.UNSEEN | v.EXAMINE | v.PHOTO
    | v.EXCEPT | v.VARIED | v.SPECIES | v.ONLY
)  # fmt: skip
_VOWELS: Final = frozenset("aeiouy")

Line = tuple[Pattern, Meaning]  # one line of a list, and what the list says of it


@cache
def general_words() -> Mapping[str, Any]:
    """The words of every plant group (`words.toml`)."""
    path = Path(__file__).with_name("words.toml")
    return expanded(tomllib.loads(path.read_text(encoding="utf-8")))


def vocabulary(rulebook: Rulebook) -> Vocabulary:
    """Compile the general words and those of `rulebook` into one vocabulary."""
    lines = (*_general_lines(), *_lines_of(rulebook))
    phrases = Phrasebook(lines, _entries(rulebook))
    every = frozenset(phrases.first) | _words_of(lines)
    said = [(pattern, meaning.kinds) for pattern, meaning in lines]
    kinds = {word: node.entry.kinds for word, node in phrases.first.items() if node.entry}
    abbreviated = {*_lookup("typing.abbreviated"), *_short(rulebook)}
    return Vocabulary(
        phrases,
        scales={
            character: _scale(said)
            for character, said in rulebook.phrases.items()
            if isinstance(said, Mapping)
        },
        mender=_mender(rulebook, kinds, every),
        every=every,
        mattering=telling_words(said, kinds, v.MATTERS),
        telling=telling_words(said, kinds, v.TELLING),
        flowers=telling_words(said, kinds, v.FLOWER),
        dotted=frozenset(t for t in every | abbreviated if t in abbreviated or _has_no_vowel(t)),
        pieces=frozenset(_pieces(kinds)) - every,
        whole=set(every),
    )


@cache
def _general_lines() -> tuple[Line, ...]:
    """The words of every plant group, cut into tokens once for all rulebooks."""
    lists = (
        *((_lookup(name), Meaning(kinds)) for name, kinds in v.TABLES.items()),
        *((_lookup(name), Meaning(topic=topic)) for name, topic in v.TOPICS.items()),
        *(((mark,), Meaning(kinds)) for mark, kinds in v.MARKS.items()),
        *(
            (spoken, Meaning(v.MARKS[mark]))
            for mark, spoken in general_words()["spoken_marks"].items()
        ),
    )
    return tuple(line for phrases, meaning in lists for line in _listed(phrases, meaning))


def _lines_of(rulebook: Rulebook) -> Iterator[Line]:
    """The words of one plant group."""
    named = tuple(names_of(rulebook))
    yield from _herbs(rulebook, named)
    yield from _listed(named, Meaning(v.SPECIES))
    for key, value in rulebook.phrases.items():
        if isinstance(value, Mapping):
            yield from _of_character(key, value, rulebook)
        elif key != "mend":
            yield from _listed(_strings(value), Meaning(v.OWN_LISTS.get(key, v.NEUTRAL)))


def _herbs(rulebook: Rulebook, named: Iterable[str]) -> Iterator[Line]:
    """To the rulebook of the bluebells, `bluebell` is no other plant that grows beside."""
    kin = {words(name)[-1] for taxon in rulebook.taxa.values() for name in taxon.vernaculars}
    kin |= {f"{word}s" for word in kin}
    names = frozenset(map(words, named))
    for herb in map(words, _lookup("herbs")):
        own = herb in names or (len(herb) == 1 and herb[0] in kin)
        yield ((herb,),), Meaning(0 if own else v.OTHER)


def _listed(phrases: Iterable[str], meaning: Meaning) -> Iterator[Line]:
    return ((pattern, meaning) for pattern in patterns(phrases))


def _of_character(character: str, said: Mapping[str, Any], book: Rulebook) -> Iterator[Line]:
    """The organ and state words of one character, and the words for degrees of it."""
    known = book.characters.get(character)
    flower = v.FLOWER if known is not None and known.flower else 0
    for key, kinds in v.ORGAN_KEYS.items():
        own = kinds | (0 if kinds & (v.ADJECTIVE | v.LABEL) else flower)
        yield from _listed(said.get(key, ()), Meaning(own, character=character))
    for state, phrases in said.get("states", {}).items():
        for role, key in v.ROLES.items():
            meaning = Meaning(v.STATE, character=character, sense=Sense(state, role))
            yield from _listed(phrases.get(key, ()), meaning)
    yield from _listed(said.get("loose", ()), Meaning(v.LOOSE))
    yield from _listed(said.get("in_part", ()), Meaning(v.AFTER))


def _entries(rulebook: Rulebook) -> Entries:
    faint = (tokens for tokens in map(words, _lookup("faint")) if len(tokens) == 1)
    return Entries(
        faint=frozenset(tokens[0] for tokens in faint),
        others=frozenset(_lookup("the_others")),
        parts={
            part: said["organ_of"]
            for part, said in rulebook.phrases.items()
            if isinstance(said, Mapping) and "organ_of" in said
        },
    )


def _words_of(lines: Iterable[Line]) -> frozenset[str]:
    """All words of all phrases, and what plants may own a part by."""
    places = {id(place): place for pattern, _ in lines for place in pattern}
    owners = (
        f"{tokens[-1]}'s"
        for pattern, meaning in lines
        if meaning.kinds & (v.OTHER | v.SPECIES)
        for tokens in pattern[-1]
        if tokens and may_own(tokens[-1])
    )
    return frozenset(owners).union(*(t for place in places.values() for t in place))


def _mender(rulebook: Rulebook, known: Mapping[str, int], every: frozenset[str]) -> Mender:
    mendable = (*_lookup("typing.mend"), *_strings(rulebook.phrases.get("mend")))
    of_weight = (word for word, kinds in known.items() if kinds & _WEIGHTY)
    meant = general_words()["typing"]["meant"]
    return Mender(mendable, of_weight, every, _lookup("typing.real"), meant)


def _pieces(known: Mapping[str, int]) -> Iterator[str]:
    """What is left on each side where a word of ours is cut in two."""
    for word, kinds in known.items():
        if kinds & v.OURS and len(word) > 3 and word.isalpha():
            for at in range(1, len(word)):
                yield word[:at]
                yield word[at:]


def _short(rulebook: Rulebook) -> Iterator[str]:
    """The abbreviations of organs and states that a rulebook lists as such."""
    for said in rulebook.phrases.values():
        if isinstance(said, Mapping):
            yield from said.get("organ_label", ())
            for state in said.get("states", {}).values():
                yield from state.get("short", ())


def _has_no_vowel(word: str) -> bool:
    """`lvs`, `sptd`: what can't be said aloud was abbreviated."""
    return len(word) < 7 and word.isalpha() and _VOWELS.isdisjoint(word)


def _scale(value: Mapping[str, Any]) -> Scale:
    states = value.get("states", {})

    def column(key: str) -> dict[str, str]:
        return {state: said[key] for state, said in states.items() if key in said}

    return Scale(
        absent=value.get("absent", ""),
        one_plant=tuple(value.get("one_plant", ())),
        denied=column("denied"),
        slightly=column("slightly"),
        nearly=column("nearly"),
        together=tuple((frozenset(t["states"]), t["gives"]) for t in value.get("together", ())),
        unless=(value.get("organ_of", ""), value.get("unless", "")),
    )


def _lookup(name: str) -> Iterable[str]:
    """A list of `words.toml`, or none."""
    value: Any = general_words()
    for part in name.split("."):
        value = value.get(part, ())
    return _strings(value)


def _strings(value: object) -> Iterable[str]:
    return value if isinstance(value, list | Phrases) else ()
