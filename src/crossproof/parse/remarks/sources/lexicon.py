"""The words that say what a record rests on, photos and flowers, each with the roles it may play.

Their grammar needs other distinctions than that of leaf and stem states, so these words have a
table of their own (`sources.toml`); parts, states and names of plants come from the vocabulary.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.tokens import Span, telling_words, words
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
    NAME | NAMING | WEAK_NAME | ONLY | SPEAKS | USED | GO_ON | ALL | PHRASE | BEYOND | REASON
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
_MARKS: Final = {
    ",": COMMA, ";": BREAK, ":": COLON, "=": COLON, "-": BREAK, "–": BREAK, "—": BREAK,
    "(": OPEN, ")": BREAK, "[": OPEN, "]": BREAK, ".": STOP, "!": STOP, "?": ASK, "\n": STOP,
    "\r": STOP, "|": STOP, "•": STOP, "/": BREAK,
}  # fmt: skip
MOST = 600  # words of one remark that are looked at; what stands beyond is not read
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


_Table = Mapping[tuple[str, ...], int]  # phrases and their roles
# The roles of a word alone; by the word that follows, the rest of longer phrases, longest first.
Choices = tuple[int, Mapping[str, tuple[tuple[tuple[str, ...], int], ...]]]


@dataclass(frozen=True, slots=True)
class Lexicon:
    """Phrases by their first words, and the words that make reading worth while."""

    phrases: Mapping[str, Choices]
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
        choices = self.phrases.get(word)
        if choices is None:
            return 0, 1
        alone, longer = choices
        if longer and i + 1 < len(tokens):
            for rest, kinds in longer.get(tokens[i + 1][0], ()):
                n = len(rest)
                if not n or tuple([token[0] for token in tokens[i + 2 : i + 2 + n]]) == rest:
                    return kinds, n + 2
        return alone, 1


@cache
def _sources() -> Mapping[str, Any]:
    path = Path(__file__).with_name("sources.toml")
    return expanded(tomllib.loads(path.read_text(encoding="utf-8")))


def photo_lexicon(vocabulary: Vocabulary) -> Lexicon:
    """The words that tell whether there is a photo, with the plants and parts of `vocabulary`."""
    return _lexicon(
        vocabulary, "photo", _PHOTO, PHOTO | WEAK | LENS | CAMERA | DENIAL | LABEL, 0, _rarest_words
    )


def basis_lexicon(vocabulary: Vocabulary) -> Lexicon:
    """The words that tell what a name rests on, with the plants and parts of `vocabulary`."""
    return _lexicon(vocabulary, "basis", _BASIS, FLOWER | PHRASE, TELLS_BASIS, _first_words)


def _lexicon(
    vocabulary: Vocabulary,
    section: str,
    roles: Mapping[str, int],
    trigger: int,
    beside: int,
    telling: Callable[[_Table, int], frozenset[str]],
) -> Lexicon:
    table: dict[tuple[str, ...], int] = {(mark,): kinds for mark, kinds in _MARKS.items()}
    for tokens, kinds in _of_plants(vocabulary):
        table[tokens] = table.get(tokens, 0) | kinds
    for name, lists in (("common", _COMMON), (section, roles)):
        for key, kinds in lists.items():
            for phrase in _sources()[name].get(key, ()):
                tokens = words(phrase)
                table[tokens] = table.get(tokens, 0) | kinds
    return Lexicon(_by_first_words(table), telling(table, trigger), telling(table, beside))


def _first_words(table: _Table, roles: int) -> frozenset[str]:
    """The first word of each phrase in these roles; of a whole saying the longest: it is rarest."""
    sayings = DENIAL | PHRASE
    return frozenset(
        max(tokens, key=len) if kinds & sayings else tokens[0]
        for tokens, kinds in table.items()
        if kinds & roles
    )


def _rarest_words(table: _Table, roles: int) -> frozenset[str]:
    """Words, one of which stands in each phrase in these roles."""
    return telling_words(tokens for tokens, kinds in table.items() if kinds & roles)


def _by_first_words(table: Mapping[tuple[str, ...], int]) -> dict[str, Choices]:
    longer: dict[str, dict[str, list[tuple[tuple[str, ...], int]]]] = {}
    for tokens, kinds in sorted(table.items(), key=lambda pair: -len(pair[0])):
        seconds = longer.setdefault(tokens[0], {})
        if len(tokens) > 1:
            seconds.setdefault(tokens[1], []).append((tokens[2:], kinds))
    return {
        first: (
            table.get((first,), 0),
            {second: tuple(tails) for second, tails in seconds.items()},
        )
        for first, seconds in longer.items()
    }


def _of_plants(vocabulary: Vocabulary) -> Iterable[tuple[tuple[str, ...], int]]:
    """Parts, states and names of plants; long phrases only where they name a part or a plant."""
    for tokens, entry in vocabulary.table.items():
        kinds = _roles(entry.kinds)
        if len(tokens) > 1:
            kinds &= _MIXED
        if kinds:
            yield tokens, kinds


def _roles(kinds: int) -> int:
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
