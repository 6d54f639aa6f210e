"""The words that say what a record rests on, photos and flowers, each with the roles it may play.

Their grammar needs other distinctions than that of leaf and stem states, so these words have a
table of their own (`sources.toml`); parts, states and names of plants come from the vocabulary.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache, reduce
from operator import or_
from pathlib import Path
from typing import Any, Final

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.phrasebook import Pattern, Phrasebook, Tokens, patterns
from crossproof.parse.remarks.text.telling import telling_words
from crossproof.parse.remarks.text.tokens import Span
from crossproof.parse.remarks.text.vocabulary import Vocabulary
from crossproof.rulebooks.templates import expanded

# What a word may be, one bit each. The first row is common to photos and flowers.
(
    NOT, NONE, YES, BUT, AND, OR, ONLY, THE, COUNT, PRONOUN, OF, PREPOSITION, LIGHT,
    FLOWER, PART, STATE, OTHER, OWN, UNKNOWN, NUMBER, COMMA, COLON, BREAK, STOP, ASK, OPEN,
    PHOTO, VERB, WEAK, WEAK_BEFORE, WEAK_AFTER, LABEL, TRAP, PLACE, GET, PLENTY, NEED, DENY,
    SPOILT, BLURRED, TOO, KEPT_NOT, SENT, KEPT, WANT, GRANTED, DEFINITE, BLANK,
    CAMERA, FAULT, FORGOT, DENIAL,
    VAGUE, NAME, FROM, FROM_FIRST, THAT, SPEAKS, USED, SAW, GO_ON, ALL, WEAK_NOT, NEVER,
    UNLOOKED, PHRASE, WEAK_NAME, NOTHING, BUT_FOR, SO, QUESTION,
    WEAK_SPEAKS, TOLD, LABELS, REASON, MEDIUM, QUALITY, BETTER, EXCEPT, IMPERATIVE, FORM, FIELD,
    TRIED, SINCE, EARLIER,
) = (1 << n for n in range(85))  # fmt: skip
# Of photos alone.
(
    LENS, WORKED, ABSTAIN, WAY, CLAIM, PLAYGROUND, MICROSCOPE, MIND, TRACKS, BOOK,
) = (1 << n for n in range(85, 95))  # fmt: skip
# Of flowers alone.
(
    NAMING, BEYOND, ELSE, LOOK, WITHOUT, FORGONE, GLANCE, FALLS, ALL_TOLD, VIZ, DETACHED,
    LATER, GONE, WRITTEN, TOO_FAR,
) = (1 << n for n in range(95, 110))  # fmt: skip

HARD: Final = BUT | BREAK | STOP | ASK | COLON | OPEN
LIMIT: Final = HARD | COMMA
# What a flower needs beside it to be a ground.
TELLS_BASIS: Final = (
    FROM | NAME | NAMING | WEAK_NAME | ONLY | SPEAKS | USED | GO_ON | ALL | PHRASE | BEYOND | REASON
    | ALL_TOLD | FALLS | FORGONE | ELSE | BUT_FOR | LABELS
)  # fmt: skip

_COMMON: Final = {
    "not": NOT, "none": NONE, "yes": YES, "but": BUT, "and": AND, "or": OR, "only": ONLY,
    "the": THE, "count": COUNT, "pronoun": PRONOUN, "of": OF, "preposition": PREPOSITION,
    "light": LIGHT,
}  # fmt: skip
_PHOTO: Final = {
    "words": PHOTO, "verbs": VERB, "participles": PHOTO | VERB, "weak": WEAK,
    "weak_before": WEAK_BEFORE, "weak_after": WEAK_AFTER, "lens": LENS, "label": LABEL,
    "traps": TRAP, "playground": PLAYGROUND, "microscope": MICROSCOPE, "mind": MIND,
    "tracks": TRACKS, "books": BOOK,
    "place": PLACE, "other_plant": OTHER,
    "own": OWN, "get": GET, "plenty": PLENTY, "need": NEED, "deny": DENY, "spoilt": SPOILT,
    "blurred": BLURRED, "too": TOO, "kept_not": KEPT_NOT, "sent": SENT, "kept": KEPT, "want": WANT,
    "granted": GRANTED, "definite": DEFINITE, "blank": BLANK, "camera": CAMERA,
    "worked": WORKED, "denied_abroad": NOT, "camera_traps": TRAP, "fault": FAULT,
    "forgot": FORGOT, "camera_wished": FORGOT | DENY, "denials": DENIAL, "question": QUESTION,
    "abstain": DENY | ABSTAIN, "way": WAY, "claim": CLAIM,
    "medium": MEDIUM, "quality": QUALITY, "better": BETTER, "except": EXCEPT,
    "imperative": IMPERATIVE, "form": FORM, "field": FIELD, "tried": TRIED, "since": SINCE,
    "parts": PART,
}  # fmt: skip
_BASIS: Final = {
    "vague": VAGUE | FLOWER, "flower": FLOWER, "flower_traps": TRAP, "plant_parts": PART,
    "name": NAME, "from": FROM, "from_first": FROM_FIRST | FROM, "that": THAT, "speaks": SPEAKS,
    "used": USED, "saw": SAW, "go_on": GO_ON, "all": ALL, "weak_not": WEAK_NOT, "never": NEVER,
    "unlooked": UNLOOKED, "phrases": PHRASE, "weak_name": WEAK_NAME, "nothing": NOTHING,
    "but_for": BUT_FOR, "so": SO, "close_up": LIGHT,
    "weak_speaks": WEAK_SPEAKS, "told": TOLD, "labels": LABELS, "reasons": REASON | UNKNOWN,
    "instead": NOT, "earlier": EARLIER, "namings": NAMING, "beyond": BEYOND, "else": ELSE,
    "look": LOOK, "taken_away": WITHOUT, "forgone": FORGONE, "did_it_all": SPEAKS | ONLY,
    "made_do": NAME | FROM, "heedless": UNLOOKED | LIGHT,
    "glance": GLANCE | LOOK, "falls": FALLS, "all_told": ALL_TOLD, "namely": VIZ,
    "one_only": ONLY, "detached": DETACHED,
    "later": LATER, "gone": GONE, "written": WRITTEN, "too_far": TOO_FAR,
}  # fmt: skip
_SECTIONS: Final = {"photo": _PHOTO, "basis": _BASIS}
_MARKS: Final = {
    ",": COMMA, ";": BREAK, ":": COLON, "=": COLON, "-": BREAK, "–": BREAK, "—": BREAK,
    "(": OPEN, ")": BREAK, "[": OPEN, "]": BREAK, ".": STOP, "!": STOP, "?": ASK, "\n": STOP,
    "\r": STOP, "|": STOP, "•": STOP, "/": BREAK,
}  # fmt: skip
MOST = 600  # words of one remark that are looked at; what stands beyond is not read
_NAMED = v.STATE | v.ORGAN | v.FLOWER | v.OWN | v.OTHER | v.SPECIES
_MIXED = PART | FLOWER | OTHER | OWN


@dataclass(slots=True)
class Word:
    """One word or phrase, the roles it may play, and its place.

    `phrase` numbers the stretches between commas and stronger breaks, `clause` those between
    stronger breaks, `sentence` those between full stops and question marks.
    """

    kinds: int
    text: str
    start: int
    end: int
    phrase: int
    clause: int
    sentence: int


def ends_at(words: list[Word], k: int) -> bool:
    """Whether the phrase ends before word `k`."""
    return k >= len(words) or bool(words[k].kinds & LIMIT)


_Line = tuple[Pattern, int]  # a line of a list, and the roles of its phrases


@dataclass(frozen=True, slots=True)
class Lexicon:
    """Phrases and their roles, and the words that make reading worth while.

    Parts, states and names of plants are those of the vocabulary; its phrases of several words
    count only where they name a part or a plant.
    """

    vocabulary: Vocabulary
    phrases: Phrasebook[int, int]
    triggers: frozenset[str]
    beside: frozenset[str]  # the triggers say something only where one of these stands too

    def is_spoken_of(self, spoken: set[str]) -> bool:
        """Whether a remark of these words may say anything."""
        return not self.triggers.isdisjoint(spoken) and (
            not self.beside or not self.beside.isdisjoint(spoken)
        )

    def tag(self, tokens: list[Span]) -> list[Word]:
        """Return the words of the remark with their roles, punctuation among them."""
        found: list[Word] = []
        phrase = clause = sentence = 0
        i, size = 0, min(len(tokens), MOST)
        while i < size:
            word, start, end = tokens[i]
            kinds, length = self._longest(tokens, i, word)
            end = tokens[i + length - 1][2]
            if kinds == 0:
                kinds = NUMBER if word.isdigit() else UNKNOWN if word[0].isalnum() else 0
            if kinds:
                text = word if length == 1 else " ".join(t[0] for t in tokens[i : i + length])
                if kinds & BUT:
                    phrase += 1
                    clause += 1
                found.append(Word(kinds, text, start, end, phrase, clause, sentence))
            if length == 1 and (mark := _MARKS.get(word, 0)):
                phrase += 1
                clause += mark != COMMA
                sentence += bool(mark & (STOP | ASK))
            i += length
        return found

    def _longest(self, tokens: list[Span], i: int, word: str) -> tuple[int, int]:
        """The roles of the longest phrase that starts at token `i`, and its length in tokens."""
        kinds, length = 0, 1
        if node := self.phrases.first.get(word):
            kinds = node.entry or 0
            if longer := self.phrases.longer(node, tokens, i):
                kinds, length = longer[0]
        if plant := self.vocabulary.phrases.first.get(word):
            for entry, size in self.vocabulary.phrases.longer(plant, tokens, i):
                if size >= length and (named := _roles(entry.kinds) & _MIXED):
                    return named | (kinds if size == length else 0), size
            if length == 1 and plant.entry and plant.entry.kinds & _NAMED:
                kinds |= _roles(plant.entry.kinds)
        return kinds, length


@cache
def _sources() -> Mapping[str, Any]:
    path = Path(__file__).with_name("sources.toml")
    return expanded(tomllib.loads(path.read_text(encoding="utf-8")))


def photo_lexicon(vocabulary: Vocabulary) -> Lexicon:
    """The words that tell whether there is a photo, beside the plants and parts of `vocabulary`."""
    triggers = PHOTO | WEAK | LENS | CAMERA | DENIAL | LABEL
    return Lexicon(vocabulary, *_section("photo", triggers, 0))


def basis_lexicon(vocabulary: Vocabulary) -> Lexicon:
    """The words that tell what a name rests on, beside the plants and parts of `vocabulary`."""
    phrases, triggers, beside = _section("basis", FLOWER | PHRASE, TELLS_BASIS)
    return Lexicon(vocabulary, phrases, triggers | vocabulary.flowers, beside)


@cache
def _section(
    name: str, triggers: int, beside: int
) -> tuple[Phrasebook[int, int], frozenset[str], frozenset[str]]:
    """The phrases of one section of `sources.toml`, and their telling words; of all rulebooks."""
    lines = tuple(_listed(name))
    phrases = Phrasebook(lines, _met)
    words = {word: node.entry or 0 for word, node in phrases.first.items()}
    return phrases, telling_words(lines, words, triggers), telling_words(lines, words, beside)


def _listed(section: str) -> Iterator[_Line]:
    """The marks, and the phrases of `sources.toml` that are common or of one section."""
    yield from (((((mark,),),), kinds) for mark, kinds in _MARKS.items())
    for name, lists in (("common", _COMMON), (section, _SECTIONS[section])):
        for key, kinds in lists.items():
            for pattern in patterns(_sources()[name].get(key, ())):
                yield pattern, kinds


def _met(_: Tokens, roles: Mapping[str, list[int]]) -> dict[str, int]:
    """A phrase may play all the roles of the lists that have it."""
    return {word: reduce(or_, several) for word, several in roles.items()}


def _roles(kinds: int) -> int:
    """The roles of what a vocabulary calls a plant, a part of it or a state."""
    found = STATE if kinds & v.STATE else 0
    if kinds & v.FLOWER:
        found |= FLOWER
    elif kinds & v.ORGAN:
        found |= PART
    if kinds & v.OWN:
        found |= OWN
    elif kinds & (v.OTHER | v.SPECIES):
        found |= OTHER
    return found
