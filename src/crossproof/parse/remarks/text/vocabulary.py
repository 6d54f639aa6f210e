"""What words and phrases may mean, and how the states of a character behave."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from crossproof.parse.remarks.text.mender import Mender
from crossproof.parse.remarks.text.phrasebook import Node, Phrasebook

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
    READ, LOOSE, ADVERB, VERB, OATH, TOPIC, LOW, MIDDLE, HIGH, CAME_OFF, BEARS, NOW, SAID,
) = (1 << n for n in range(95))  # fmt: skip

DEGREE: Final = SLIGHT | SIZE | AFTER | NEARLY | MUCH | TRULY | FAINT | LARGE
SET_APART: Final = EXCEPT | BUT | THAN | AGAIN | YES
HARD: Final = BUT | BREAK | COLON | STOP | ASK
LIMIT: Final = HARD | COMMA
HEIGHTS: Final = LOW | MIDDLE | HIGH
DASHES: Final = frozenset("-–—")

# What a word of a remark most often is for; the slips of these are worth the most to mend.
OURS: Final = STATE | ORGAN | SLIGHT | NEARLY | NOT | NONE | PHOTO

# A sentence without any of these says nothing, and changes nothing that others say.
MATTERS: Final = (
    STATE | ORGAN | PHOTO | NO_CAMERA | UNSEEN | EXAMINE | SEE | NOT | NONE | YES | ASK | NAMED
    | SPECIES | OTHER | OWN | SAYS | WRONG | ACTUALLY | MANY | VARIED | SUPPOSE | UNSURE | STRUCK
    | PARENTS_BOTH | PARENTS_ONE | PARENTS_NONE | PARENTS_UNKNOWN
)  # fmt: skip

# A remark without any of these states nothing of a plant's characters, nor of its parents.
TELLING: Final = STATE | UNSEEN | NOT | PARENTS_BOTH | PARENTS_ONE | PARENTS_NONE

# What makes others a mere topic (`certainty/topic.py`), whatever the word may be besides.
(
    OPEN, TASK, AIM, PAGE, BIDS, ORDERS, ABOUT, GENERAL, DOES, NOTICE, SENT, BOOK, DESCRIBES,
) = (1 << n for n in range(13))  # fmt: skip
TOPICS: Final = {
    "left_open": OPEN, "tasks": TASK, "aims": AIM, "pages": PAGE, "bids": BIDS,
    "orders": ORDERS,
    "speaks_about": ABOUT, "held_in_general": GENERAL, "does_in_general": DOES,
    "notices": NOTICE, "sent": SENT, "books": BOOK, "describes": DESCRIBES,
}  # fmt: skip

# What the lists of `words.toml`, of its tables and of a rulebook are for.
TABLES: Final = {
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
    "struck": STRUCK | WRONG, "passed_over": STRUCK, "retracts": RETRACTS, "be": BE, "be_now": NOW,
    "they": THEY | WORD, "of_marks": WORD, "sites": WORD, "totals": WORD, "orderly": ORDERLY | WORD,
    "relative": RELATIVE, "disowns": DISOWNS, "this_record": RECORD | OWN, "again": AGAIN | WORD,
    "read": READ, "oath": OATH, "topic": ON | WORD, "throughout": ON | PLAIN,
    "opens_topic": TOPIC, "came_off": CAME_OFF | WORD, "bears_too": BEARS,
    "may_bear": BEARS | WORD | VERB,
    "low": LOW, "middle": MIDDLE, "high": HIGH,
    "photo.words": PHOTO, "photo.label": PHOTO | LABEL, "photo.traps": PHOTO_TRAP,
    "photo.no_camera": NO_CAMERA,
    "basis.named": NAMED, "basis.speaks": SPEAKS, "basis.only": ONLY,
    "parents.both": PARENTS_BOTH, "parents.one": PARENTS_ONE, "parents.none": PARENTS_NONE,
    "parents.unknown": PARENTS_UNKNOWN,
}  # fmt: skip

MARKS: Final = {
    ",": COMMA, ";": BREAK, ":": COLON, "=": COLON, "-": BREAK, "–": BREAK, "—": BREAK, "(": BREAK,
    ")": BREAK, "[": BREAK, "]": BREAK, ".": STOP, "!": STOP, "?": ASK, "\n": STOP,
    "\r": STOP, "|": STOP,
    "•": STOP, '"': NEUTRAL, "'": NEUTRAL, "*": NEUTRAL,
}  # fmt: skip

ORGAN_KEYS: Final = {
    "organ": ORGAN,
    "organ_adjective": ORGAN | ADJECTIVE,
    "organ_label": ORGAN | LABEL,
}

OWN_LISTS: Final = {"plants": SPECIES, "traps": TRAP, "unless_organ": SOFT, "own": OWN}

ROLES: Final = {  # what a phrase is called in the code → its list in the rulebook
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
    topic: int = 0


@dataclass(frozen=True, slots=True)
class Meaning:
    """What one list says of its phrases: what they may be, a state or a part of which character."""

    kinds: int = 0
    topic: int = 0
    character: str = ""
    sense: Sense | None = None


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


Known = Mapping[str, Node[Meaning, Entry]]  # the first words of all phrases
# Of a word: the words that it is made of; how many letters at its ends may belong to others.
Damage = tuple[tuple[str, ...], tuple[int, ...], tuple[int, ...]]


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """Phrases, by their first words; how states behave; what mends a word."""

    phrases: Phrasebook[Meaning, Entry]
    scales: Mapping[str, Scale]
    mender: Mender
    every: frozenset[str]  # all words of all phrases
    mattering: frozenset[str]  # words, one of which stands in each phrase that matters
    telling: frozenset[str]  # the same, of phrases that tell something
    flowers: frozenset[str]  # the same, of phrases for flowers and their parts
    dotted: frozenset[str]  # words that may be written with a full stop behind
    pieces: frozenset[str] = frozenset()  # beginnings and ends of our longer words
    whole: set[str] = field(default_factory=set)  # words that are no pieces, and hold no other
    spacing: dict[str, Damage] = field(default_factory=dict)  # what is remembered of spaces

    @property
    def known(self) -> Known:
        """The first words of all phrases."""
        return self.phrases.first

    def kinds(self, word: str) -> int:
        """What one word may be without others; 0 where it is no phrase by itself."""
        node = self.phrases.first.get(word)
        return node.entry.kinds if node and node.entry else 0

    def alone(self, word: str) -> Entry | None:
        """What one word may mean without others; None where it is no phrase by itself."""
        node = self.phrases.first.get(word)
        return node.entry if node else None
