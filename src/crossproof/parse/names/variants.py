"""The ways an English plant name gets shortened, pluralised and put together."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

# Only beside a full word of the name: `S. marsh`, `C. spotted`. Common practice.
_SHORT = {
    "southern": ("s", "sth", "sthn", "south", "sthrn"),
    "northern": ("n", "nth", "nthn", "north", "nthrn"),
    "early": ("e", "erly"),
    "irish": ("i",),
    "western": ("w",),
    "common": ("c", "com", "comm"),
    "heath": ("h", "hth"),
    "narrow": ("n",),
    "hybrid": ("hyb",),
    "spanish": ("span",),
    "english": ("eng",),
    "native": ("nat",),
    "lady's": ("ladies",),
    "bird's": ("birds",),
}
_TAIL = {"orchid": ("orch", "orchis"), "bluebell": ("bluebel",), "spotted": ("spot", "spott")}


_ENDINGS = ("us", "um", "is", "ii", "ae", "a", "e", "i")


def stem(word: str) -> str:
    """The word without its ending of gender or case: `viride` and `viridis` are one."""
    for ending in _ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= 4:
            return word[: -len(ending)]
    return word


def vernacular_forms(name: str) -> Iterator[str]:
    """Yield the forms of an English name: with and without `orchid`, shortened, plural."""
    parts = name.lower().replace("-", " ").split()
    yield " ".join(parts)
    yield " ".join(parts) + "s"
    if parts[-1].endswith("y"):
        yield " ".join(parts)[:-1] + "ies"
    bodies = [parts]
    if parts[-1] == "orchid" and len(parts) > 2:
        bodies.append(parts[:-1])
    for body in bodies:
        first = (body[0], *_SHORT.get(body[0], ()))
        rest = [(word, *_TAIL.get(word, ())) for word in body[1:]]
        for choice in product(first, *rest):
            if len(choice[0]) == 1 and len(body) < 2:
                continue
            yield " ".join(choice)
            if len(choice) > 1:
                yield " ".join(choice) + "s"
