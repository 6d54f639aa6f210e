"""The vocabulary of a rulebook and of the trade: from phrases to what they may mean."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any, Final

from crossproof.parse.remarks.text.species import names_of
from crossproof.parse.remarks.text.tokens import Mender, words
from crossproof.rulebooks.model import Rulebook
from crossproof.rulebooks.templates import expanded

# What a word may be. One bit each: a word often is several things.
(
    STATE, ORGAN, FLOWER, NOT, NONE, YES, SLIGHT, SIZE, AFTER, NEARLY, MUCH, TRULY, FAINT, LARGE,
    HEDGE, UNSURE, SUPPOSE, LOOKED, EXAMINE, UNSEEN, SEE, FORM, OTHER, SPECIES, OWN, THAN, LIKE,
    CROSS, AMONG, PLANTS, MANY, COUNT, VARIED, SAYS, WRONG, ACTUALLY, THE, WITH, ON,
    AND, OR, TO, BUT, COMMA, COLON, BREAK, STOP, ASK, WORD, PLAIN, TRAP, NEUTRAL,
    SOFT, PHOTO, NO_CAMERA, PHOTO_TRAP,
    NAMED, SPEAKS, ONLY,
    PARENTS_BOTH, PARENTS_ONE, PARENTS_NONE, PARENTS_UNKNOWN, NUMBER, ADJECTIVE, LABEL,
    EXCEPT, BLEMISH, ELSEWHERE, PLAN, UNFILLED, FULFILLED, REFUTES, STRUCK, RETRACTS, BE,
    THEY, ORDERLY, RELATIVE, DISOWNS, RECORD, AGAIN,
    READ, LOOSE, ADVERB, VERB, OATH, TOPIC, LOW, MIDDLE, HIGH, CAME_OFF, BEARS,
) = (1 << n for n in range(93))  # fmt: skip

DEGREE: Final = SLIGHT | SIZE | AFTER | NEARLY | MUCH | TRULY | FAINT | LARGE
SET_APART: Final = EXCEPT | BUT | THAN | AGAIN | YES
HARD: Final = BUT | BREAK | COLON | STOP | ASK
LIMIT: Final = HARD | COMMA

# A sentence without any of these says nothing, and changes nothing that others say.
MATTERS: Final = (
    STATE | ORGAN | PHOTO | NO_CAMERA | UNSEEN | EXAMINE | SEE | NOT | NONE | YES | ASK | NAMED
    | SPECIES | OTHER | OWN | SAYS | WRONG | ACTUALLY | MANY | VARIED | SUPPOSE | UNSURE
    | PARENTS_BOTH | PARENTS_ONE | PARENTS_NONE | PARENTS_UNKNOWN
)  # fmt: skip

_TABLES: Final = {
    "but": BUT, "and": AND, "or": OR, "to": TO, "with": WITH, "on": ON, "not": NOT,
    "lacking": NOT | NONE, "none": NONE, "yes": YES, "not_only": NEUTRAL, "slight": SLIGHT,
    "size": SIZE, "after": AFTER, "nearly": NEARLY, "much": MUCH, "truly": TRULY, "faint": FAINT,
    "large": LARGE, "hedge": HEDGE, "unsure": UNSURE, "suppose": SUPPOSE, "looked_for": LOOKED,
    "examine": EXAMINE, "unseen": UNSEEN, "see": SEE, "forms": FORM, "other": OTHER, "own": OWN,
    "than": THAN, "like": LIKE, "cross": CROSS, "among": AMONG, "plants": PLANTS, "many": MANY,
    "count": COUNT, "varied": VARIED, "says": SAYS, "wrong": WRONG,
    "actually": ACTUALLY, "the": THE, "plain": PLAIN, "parts": ORGAN,
    "flower_parts": ORGAN | FLOWER, "neutral": NEUTRAL, "except": EXCEPT,
    "elsewhere": ELSEWHERE, "blemish": BLEMISH, "plan": PLAN, "unfilled": UNFILLED,
    "fulfilled": FULFILLED, "fulfilled_and": FULFILLED | AND, "refutes": SAYS | WRONG | REFUTES,
    "struck": STRUCK | WRONG, "retracts": RETRACTS, "be": BE,
    "they": THEY | WORD, "orderly": ORDERLY | WORD,
    "relative": RELATIVE, "disowns": DISOWNS, "this_record": RECORD | OWN, "again": AGAIN | WORD,
    "read": READ, "oath": OATH, "topic": ON | WORD, "throughout": ON | PLAIN,
    "opens_topic": TOPIC, "came_off": CAME_OFF | WORD, "bears_too": BEARS,
    "low": LOW, "middle": MIDDLE, "high": HIGH,
    "photo.words": PHOTO, "photo.label": PHOTO | LABEL, "photo.traps": PHOTO_TRAP,
    "photo.no_camera": NO_CAMERA,
    "basis.named": NAMED, "basis.speaks": SPEAKS, "basis.only": ONLY,
    "parents.both": PARENTS_BOTH, "parents.one": PARENTS_ONE, "parents.none": PARENTS_NONE,
    "parents.unknown": PARENTS_UNKNOWN,
}  # fmt: skip
_MARKS: Final = {
    ",": COMMA, ";": BREAK, ":": COLON, "=": COLON, "-": BREAK, "–": BREAK, "—": BREAK, "(": BREAK,
    ")": BREAK, "[": BREAK, "]": BREAK, ".": STOP, "!": STOP, "?": ASK, "\n": STOP,
    "\r": STOP, "|": STOP,
    "•": STOP, '"': NEUTRAL, "'": NEUTRAL, "*": NEUTRAL,
}  # fmt: skip


_ORGAN_KEYS: Final = {
    "organ": ORGAN,
    "organ_adjective": ORGAN | ADJECTIVE,
    "organ_label": ORGAN | LABEL,
}
_REACHES: Final = frozenset({"in", "at", "near", "towards", "for"})
_VOWELS: Final = frozenset("aeiouy")
_ROLES: Final = {  # what a phrase is called in the code → its list in the rulebook
    "word": "words",
    "sign": "signs",
    "beside": "beside",
    "alone": "alone",
    "certain": "certain",
    "whole": "whole",
    "short": "short",
}


@dataclass(frozen=True, slots=True)
class Sense:
    """What a word says of one character.

    `role`: `word` (an adjective: `spotted`), `sign` (a noun that can be absent: `spots`), `beside`
    (speaks only beside a sign: `hollow` of spots), `alone` (needs no organ where nothing else is
    spoken of: `solid`), `certain` (needs no organ at all: `unspotted`),
    `short` (an abbreviation that counts only right behind its organ: `h`), `whole` (names its
    organ itself: `no scent`).
    """

    state: str
    role: str


@dataclass(slots=True)
class Entry:
    """All that one phrase may mean."""

    kinds: int = 0
    senses: dict[str, Sense] = field(default_factory=dict)
    organs: frozenset[str] = frozenset()
    text: str = ""


# The entry of a word alone; by the word that follows, how long phrases of both are, longest first.
Choices = tuple[Entry | None, Mapping[str, tuple[int, ...]]]


@dataclass(frozen=True, slots=True)
class Scale:
    """How the states of one character behave (its table under [phrases] in the rulebook)."""

    absent: str = ""  # what a denied sign means
    one_plant: tuple[str, ...] = ()  # of several states on one plant, the first of these holds
    denied: Mapping[str, str] = field(default_factory=dict)
    slightly: Mapping[str, str] = field(default_factory=dict)
    nearly: Mapping[str, str] = field(default_factory=dict)
    together: tuple[tuple[frozenset[str], str], ...] = ()
    unless: tuple[str, str] = ("", "")  # not said where that character has that state


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """Phrases, and their lengths by their first words; how states behave; what mends a word."""

    table: Mapping[tuple[str, ...], Entry]
    phrases: Mapping[str, Choices]
    scales: Mapping[str, Scale]
    mender: Mender
    every: frozenset[str]  # all words of all phrases
    telling: frozenset[str]  # a word of each phrase that matters, the longest: it is the rarest
    dotted: frozenset[str]  # words that may be written with a full stop behind


@cache
def general_words() -> Mapping[str, Any]:
    """The words of every plant group (`words.toml`)."""
    path = Path(__file__).with_name("words.toml")
    return expanded(tomllib.loads(path.read_text(encoding="utf-8")))


def vocabulary(rulebook: Rulebook) -> Vocabulary:
    """Compile the general words and those of `rulebook` into one vocabulary."""
    general = general_words()
    table = {tokens: Entry(e.kinds, text=e.text) for tokens, e in _general_table().items()}
    for phrase in names_of(rulebook):
        _add(table, phrase, SPECIES)

    scales: dict[str, Scale] = {}
    for key, value in rulebook.phrases.items():
        if isinstance(value, Mapping):
            scales[key] = _scale(value)
            _add_character(table, key, value, rulebook)
        elif key != "mend":
            kinds = {"plants": SPECIES, "traps": TRAP, "unless_organ": SOFT, "own": OWN}.get(
                key, NEUTRAL
            )
            for phrase in _strings(value):
                _add(table, phrase, kinds)

    _share_kinds(table, frozenset(_lookup(general, "the_others")))
    _share_senses(table)
    every = frozenset(token for tokens in table for token in tokens)
    mendable = (*_lookup(general, "typing.mend"), *_strings(rulebook.phrases.get("mend")))
    mender = Mender(mendable, every, _lookup(general, "typing.real"))
    abbreviated = {*_lookup(general, "typing.abbreviated"), *_short(rulebook)}
    dotted = frozenset(t for t in every | abbreviated if t in abbreviated or _has_no_vowel(t))
    telling = frozenset(_longest(tokens) for tokens, e in table.items() if e.kinds & MATTERS)
    return Vocabulary(table, _by_first_words(table), scales, mender, every, telling, dotted)


@cache
def _general_table() -> Mapping[tuple[str, ...], Entry]:
    """The words of every plant group, cut into tokens once for all rulebooks."""
    general = general_words()
    table: dict[tuple[str, ...], Entry] = {}
    for name, kinds in _TABLES.items():
        for phrase in _lookup(general, name):
            reaches = kinds == AFTER and phrase.split()[-1] in _REACHES
            _add(table, phrase, kinds | (ON if reaches else 0))
    for mark, kinds in _MARKS.items():
        _add(table, mark, kinds)
    for mark, spoken in general["spoken_marks"].items():
        for phrase in spoken:
            _add(table, phrase, _MARKS[mark])
    return table


def _longest(tokens: tuple[str, ...]) -> str:
    return max(reversed(tokens), key=len)  # the last of them: `the key` is told by the key


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
    faint = {tokens[0] for tokens, entry in table.items() if entry.kinds & FAINT and not tokens[1:]}
    first = {words(phrase)[0] for phrase in others}
    for tokens, entry in table.items():
        if entry.kinds & STATE and len(tokens) > 1:
            entry.kinds |= FAINT if tokens[0] in faint else 0
            if tokens[0] in first and any(
                " ".join(tokens[:n]) in others for n in range(1, len(tokens))
            ):
                entry.kinds |= COUNT


def _share_senses(table: dict[tuple[str, ...], Entry]) -> None:
    """Keep one mapping of those that are equal: thousands of phrases mean the same."""
    kept: dict[tuple[tuple[str, Sense], ...], dict[str, Sense]] = {}
    for entry in table.values():
        entry.senses = kept.setdefault(tuple(entry.senses.items()), entry.senses)


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
        entry = table[tokens] = Entry(kinds, text=" ".join(tokens))
    else:
        entry.kinds |= kinds
    return entry


def _add_character(
    table: dict[tuple[str, ...], Entry], character: str, value: Mapping[str, Any], book: Rulebook
) -> None:
    """Add the organ and state words of one character."""
    known = book.characters.get(character)
    flower = FLOWER if known is not None and known.flower else 0
    for key, kinds in _ORGAN_KEYS.items():
        for phrase in value.get(key, ()):
            if kinds & LABEL and table.get(words(phrase), Entry()).organs:
                continue
            if entry := _add(table, phrase, kinds | (0 if kinds & (ADJECTIVE | LABEL) else flower)):
                entry.organs |= {character}
    for state, said in value.get("states", {}).items():
        for role, key in _ROLES.items():
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
        _add(table, phrase, LOOSE)
    for phrase in value.get("in_part", ()):
        _add(table, phrase, AFTER)


def _add_state(
    table: dict[tuple[str, ...], Entry], phrase: str, character: str, sense: Sense
) -> None:
    entry = _add(table, phrase, STATE)
    if entry is None:
        return
    taken = character in entry.senses
    if phrase.split()[-1] in ("across", "on", "in"):
        entry.kinds |= ON
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
