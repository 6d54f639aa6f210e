"""Compile the words of the trade and those of a rulebook into one vocabulary."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any, Final

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.mender import Mender
from crossproof.parse.remarks.text.species import names_of
from crossproof.parse.remarks.text.tokens import telling_words, words
from crossproof.parse.remarks.text.unknown import by_ending
from crossproof.parse.remarks.text.vocabulary import Choices, Entry, Scale, Sense, Vocabulary
from crossproof.rulebooks.model import Rulebook
from crossproof.rulebooks.templates import expanded

_REACHES: Final = frozenset({"in", "at", "near", "towards", "for"})
_WEIGHTY: Final = (
    v.STATE | v.ORGAN | v.NOT | v.NONE | v.SLIGHT | v.NEARLY | v.UNSEEN | v.EXAMINE | v.PHOTO
    | v.EXCEPT | v.VARIED | v.SPECIES | v.ONLY
)  # fmt: skip
_LOOKED_AT: Final = frozenset({"what", "type", "kind", "sort"})  # by these words themselves
_VOWELS: Final = frozenset("aeiouy")


@cache
def general_words() -> Mapping[str, Any]:
    """The words of every plant group (`words.toml`)."""
    path = Path(__file__).with_name("words.toml")
    return expanded(tomllib.loads(path.read_text(encoding="utf-8")))


def vocabulary(rulebook: Rulebook) -> Vocabulary:
    """Compile the general words and those of `rulebook` into one vocabulary."""
    general = general_words()
    table = {
        tokens: Entry(e.kinds, text=e.text, topic=e.topic) for tokens, e in _general_table().items()
    }
    for phrase in names_of(rulebook):
        _add(table, phrase, v.SPECIES)
    _leave_out_kin(table, rulebook)

    scales: dict[str, Scale] = {}
    for key, value in rulebook.phrases.items():
        if isinstance(value, Mapping):
            scales[key] = _scale(value)
            _add_character(table, key, value, rulebook)
        elif key != "mend":
            kinds = {
                "plants": v.SPECIES,
                "traps": v.TRAP,
                "unless_organ": v.SOFT,
                "own": v.OWN,
            }.get(key, v.NEUTRAL)
            for phrase in _strings(value):
                _add(table, phrase, kinds)

    _add_possessives(table)
    _share_kinds(table, frozenset(_lookup(general, "the_others")))
    _share_values(table)
    same: dict[int, Entry] = {}
    for tokens, entry in table.items():
        if entry.topic and not entry.kinds:  # a word like any that we don't know
            entry.kinds = by_ending(tokens[-1]).kinds
            if entry.topic == v.DESCRIBES and entry.text not in _LOOKED_AT:
                # one entry for all, so that a run of words read before is known again
                table[tokens] = same.setdefault(entry.kinds, Entry(entry.kinds, topic=v.DESCRIBES))
    every = frozenset(token for tokens in table for token in tokens)
    mendable = (*_lookup(general, "typing.mend"), *_strings(rulebook.phrases.get("mend")))
    words_of_weight = (
        tokens[0] for tokens, e in table.items() if len(tokens) == 1 and e.kinds & _WEIGHTY
    )
    mender = Mender(
        mendable,
        words_of_weight,
        every,
        _lookup(general, "typing.real"),
        general["typing"]["meant"],
    )
    abbreviated = {*_lookup(general, "typing.abbreviated"), *_short(rulebook)}
    dotted = frozenset(t for t in every | abbreviated if t in abbreviated or _has_no_vowel(t))
    mattering, telling = (
        telling_words(tokens for tokens, entry in table.items() if entry.kinds & kinds)
        for kinds in (v.MATTERS, v.TELLING)
    )
    phrases = _by_first_words(table)
    pieces = frozenset(_pieces(table)) - every
    return Vocabulary(
        table, phrases, scales, mender, every, mattering, telling, dotted, pieces, set(every)
    )


@cache
def _general_table() -> Mapping[tuple[str, ...], Entry]:
    """The words of every plant group, cut into tokens once for all rulebooks."""
    general = general_words()
    table: dict[tuple[str, ...], Entry] = {}
    for name, kinds in v.TABLES.items():
        for phrase in _lookup(general, name):
            reaches = kinds == v.AFTER and phrase.split()[-1] in _REACHES
            _add(table, phrase, kinds | (v.ON if reaches else 0))
    for name, topic in v.TOPICS.items():
        for phrase in _lookup(general, name):
            if entry := _add(table, phrase, 0):
                entry.topic |= topic
    for mark, kinds in v.MARKS.items():
        _add(table, mark, kinds)
    for mark, spoken in general["spoken_marks"].items():
        for phrase in spoken:
            _add(table, phrase, v.MARKS[mark])
    return table


def _leave_out_kin(table: dict[tuple[str, ...], Entry], rulebook: Rulebook) -> None:
    """To the rulebook of the bluebells, `bluebell` is no other plant that grows beside."""
    kin = {words(name)[-1] for taxon in rulebook.taxa.values() for name in taxon.vernaculars}
    for herb in map(words, general_words()["herbs"]):
        alone = len(herb) == 1 and not kin.isdisjoint((herb[0], herb[0].removesuffix("s")))
        if alone or table[herb].kinds & v.SPECIES:
            table[herb].kinds &= ~v.OTHER


def _add_possessives(table: dict[tuple[str, ...], Entry]) -> None:
    """`the hogweed's`, `the mother plant's`: whatever names another plant may own a part."""
    names = [
        (tokens, entry.kinds & (v.SPECIES | v.OTHER))
        for tokens, entry in table.items()
        if entry.kinds & (v.SPECIES | v.OTHER) and not entry.kinds & (v.STATE | v.ORGAN | v.OWN)
    ]
    for tokens, kinds in names:
        if tokens[-1][-1:].isalpha() and "'" not in tokens[-1]:
            _add(table, f"{' '.join(tokens)}'s", kinds)


def _pieces(table: Mapping[tuple[str, ...], Entry]) -> Iterator[str]:
    """What is left on each side where a word of ours is cut in two."""
    for tokens, entry in table.items():
        word = tokens[0]
        if len(tokens) == 1 and len(word) > 3 and entry.kinds & v.OURS and word.isalpha():
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


def _share_kinds(table: dict[tuple[str, ...], Entry], others: frozenset[str]) -> None:
    """Give phrases the kinds of their first words, which they would otherwise hide."""
    faint = {
        tokens[0] for tokens, entry in table.items() if entry.kinds & v.FAINT and not tokens[1:]
    }
    first = {words(phrase)[0] for phrase in others}
    for tokens, entry in table.items():
        if entry.kinds & v.STATE and len(tokens) > 1:
            entry.kinds |= v.FAINT if tokens[0] in faint else 0
            if tokens[0] in first and any(
                " ".join(tokens[:n]) in others for n in range(1, len(tokens))
            ):
                entry.kinds |= v.COUNT


def _share_values(table: dict[tuple[str, ...], Entry]) -> None:
    """Keep one of the values that are equal: thousands of phrases mean the same."""
    kept: dict[tuple[tuple[str, Sense], ...], dict[str, Sense]] = {}
    same: dict[Any, Any] = {}
    for entry in table.values():
        entry.senses = kept.setdefault(tuple(entry.senses.items()), entry.senses)
        entry.kinds = same.setdefault(entry.kinds, entry.kinds)
        entry.organs = same.setdefault(entry.organs, entry.organs)


def _by_first_words(table: Mapping[tuple[str, ...], Entry]) -> dict[str, Choices]:
    """Find the lengths of phrases by their first two words: few look-ups find the longest."""
    longer: dict[str, dict[str, set[int]]] = {}
    for tokens in table:
        seconds = longer.setdefault(tokens[0], {})
        if len(tokens) > 1:
            seconds.setdefault(tokens[1], set()).add(len(tokens))
    same: dict[tuple[int, ...], tuple[int, ...]] = {}  # few arrangements of lengths differ
    return {
        first: (
            table.get((first,)),
            {
                second: same.setdefault(lengths, lengths)
                for second, found in seconds.items()
                for lengths in (tuple(sorted(found, reverse=True)),)
            },
        )
        for first, seconds in longer.items()
    }


def _add(table: dict[tuple[str, ...], Entry], phrase: str, kinds: int) -> Entry | None:
    tokens = words(phrase)
    if not tokens:
        return None
    entry = table.get(tokens)
    if entry is None:
        text = " ".join(tokens)
        text = phrase if phrase == text else text  # the list's own, where it reads the same
        entry = table[tokens] = Entry(kinds, text=text)
    else:
        entry.kinds |= kinds
    return entry


def _add_character(
    table: dict[tuple[str, ...], Entry], character: str, value: Mapping[str, Any], book: Rulebook
) -> None:
    """Add the organ and state words of one character."""
    known = book.characters.get(character)
    flower = v.FLOWER if known is not None and known.flower else 0
    for key, kinds in v.ORGAN_KEYS.items():
        for phrase in value.get(key, ()):
            if kinds & v.LABEL and table.get(words(phrase), Entry()).organs:
                continue
            if entry := _add(
                table, phrase, kinds | (0 if kinds & (v.ADJECTIVE | v.LABEL) else flower)
            ):
                entry.organs |= {character}
    for state, said in value.get("states", {}).items():
        for role, key in v.ROLES.items():
            sense = Sense(state, role)
            for phrase in said.get(key, ()):
                _add_state(table, phrase, character, sense)
    _add_degrees(table, value)
    host = value.get("organ_of")
    for entry in table.values():
        if host in entry.organs:
            entry.organs |= {character}


def _add_degrees(table: dict[tuple[str, ...], Entry], value: Mapping[str, Any]) -> None:
    """Mark the loose words of a character, and what says that only a part is meant."""
    for phrase in value.get("loose", ()):
        _add(table, phrase, v.LOOSE)
    for phrase in value.get("in_part", ()):
        _add(table, phrase, v.AFTER)


def _add_state(
    table: dict[tuple[str, ...], Entry], phrase: str, character: str, sense: Sense
) -> None:
    entry = _add(table, phrase, v.STATE)
    if entry is None:
        return
    taken = character in entry.senses
    if phrase.split()[-1] in ("across", "on", "in"):
        entry.kinds |= v.ON
    if not taken or sense.role not in ("beside", "short"):
        entry.senses[character] = sense


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


def _lookup(general: Mapping[str, Any], name: str) -> Iterable[str]:
    value: Any = general
    for part in name.split("."):
        value = value.get(part, ())
    return _strings(value)


def _strings(value: object) -> tuple[str, ...]:
    return tuple(v for v in value if isinstance(v, str)) if isinstance(value, list) else ()
