"""What scanners, fingers and ears make of a word: how it may have looked, been typed or sounded."""

from __future__ import annotations

import re
from collections.abc import Iterator

# What a scanner takes for each other: pairs of letters first, then single ones.
_JOINED = (("rn", "m"), ("vv", "w"), ("cl", "d"))
_ALIKE = str.maketrans("i1|c0v5j69", "llleouslbg")
# What it takes for each other less often, once those above are made one: one at a time.
_PAIRS = (
    "bh", "tf", "tl", "fl", "fs", "nu", "oe", "oa", "ea", "an", "gq", "yu", "hk", "nr", "hn", "mn",
    "sg",
)  # fmt: skip
_GROUPS = (
    ("ll", "n"),
    ("ll", "u"),
    ("lll", "m"),
    ("ln", "m"),
    ("nl", "m"),
    ("ll", "h"),
    ("rl", "n"),
    ("nn", "m"),
    ("cl", "d"),
    ("d", "el"),
)

_ROWS = ("qwertyuiop", "asdfghjkl;", "zxcvbnm,.")

_SOUNDS = (
    ("sch", "sk"), ("tch", "ch"), ("dge", "j"), ("dgy", "j"), ("ph", "f"), ("ck", "k"),
    ("qu", "kw"), ("x", "ks"), ("wh", "w"), ("kn", "n"), ("wr", "r"), ("z", "s"),
)  # fmt: skip
_SOFT_C = re.compile("c(?=[eiy])")
_VOWEL = {"a": "a", "e": "i", "i": "i", "y": "i", "o": "o", "u": "o"}
_VOWELS = re.compile("[aeiouy]+")
_DRAWN = re.compile(r"([a-z])\1{2,}")
_DOUBLED = re.compile(r"(.)\1+")


def looks(word: str) -> str:
    """The word with all letters that a scanner mixes up made one: `hoIIow` looks like `hollow`."""
    for misread, meant in _JOINED:
        if misread in word:
            word = word.replace(misread, meant)
    return word.translate(_ALIKE)


def _others() -> dict[str, tuple[str, ...]]:
    """By what may have been read, what may have been printed."""
    pairs = [(x[0], x[1]) for x in _PAIRS] + [(x[1], x[0]) for x in _PAIRS] + list(_GROUPS)
    return {read: tuple(b for a, b in pairs if a == read) for read, _ in pairs}


_OTHERS = _others()
_LONGEST_READ = max(map(len, _OTHERS))


def misread(seen: str) -> Iterator[str]:
    """What may have been printed where `seen` was read, one mistake at a time: `leat`, `leaf`."""
    for at in range(len(seen)):
        for size in range(1, _LONGEST_READ + 1):
            for meant in _OTHERS.get(seen[at : at + size], ()) if at + size <= len(seen) else ():
                yield seen[:at] + meant + seen[at + size :]


def swapped(word: str) -> Iterator[str]:
    """The word with two neighbouring letters changed about: `wiht`, `with`."""
    for at in range(len(word) - 1):
        if word[at] != word[at + 1]:
            yield word[:at] + word[at + 1] + word[at] + word[at + 2 :]


def undoubled(word: str) -> Iterator[str]:
    """The word with one of two equal letters left out: `tthe`, `stemm`."""
    for at in range(len(word) - 1):
        if word[at] == word[at + 1]:
            yield word[:at] + word[at + 1 :]


def calmed(word: str) -> Iterator[str]:
    """A word that was drawn out, `nooo`, `hollowww`, with its letter once or twice."""
    if _DRAWN.search(word) and len(set(word)) > 1:
        yield _DRAWN.sub(r"\1", word)
        yield _DRAWN.sub(r"\1\1", word)


def _neighbours() -> dict[str, str]:
    """The keys beside each key, in its row and the next (a British keyboard)."""
    places = {key: (row, at) for row, keys in enumerate(_ROWS) for at, key in enumerate(keys)}
    return {
        key: "".join(
            other
            for other, (r, a) in places.items()
            if (r == row and abs(a - at) == 1)
            or (r == row + 1 and a - at in (-1, 0))
            or (r == row - 1 and a - at in (0, 1))
        )
        for key, (row, at) in places.items()
    }


NEIGHBOURS = _neighbours()


def slipped(word: str) -> Iterator[str]:
    """The word without a key that was struck along with its neighbour: `stdem`, `fthe`."""
    for at, letter in enumerate(word):
        beside = NEIGHBOURS.get(letter, "")
        around = (word[at - 1] if at else " ") + (word[at + 1 :] or " ")[0]
        if any(other in beside for other in around):
            yield word[:at] + word[at + 1 :]


def mistyped(word: str) -> Iterator[str]:
    """The word with one key beside the one that was struck: `srem`, `stem`."""
    for at, letter in enumerate(word):
        for other in NEIGHBOURS.get(letter, ""):
            yield word[:at] + other + word[at + 1 :]


def sounds(word: str) -> str:
    """The word as it is heard: `skwash` and `squash`, `fotograff` and `photograph` are alike."""
    for written, heard in _SOUNDS:
        if written in word:
            word = word.replace(written, heard)
    if word.endswith("le"):
        word = word[:-2] + "el"
    word = _SOFT_C.sub("s", word).replace("c", "k")
    return _DOUBLED.sub(r"\1", _VOWELS.sub(lambda vowels: _VOWEL[vowels[0][0]], word))
