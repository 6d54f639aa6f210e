"""How many distinct names a second, on one core: `python bench_names.py [N]`.

Every name is new to the reader: strings made of every taxon and cross of the rulebooks, and of
plants outside them, with authors, tails, determiners, and typing errors, a fifth each.
"""

from __future__ import annotations

import random
import string
import sys
import time
from itertools import permutations

from crossproof.parse.name import NameReader
from crossproof.rulebooks.load import shipped

OUTSIDE = ["Carex flacca", "Salix caprea × cinerea", "Mentha x piperita", "Bellis perennis L."]


def plain_names() -> list[str]:
    """Names without tails, in the forms recorders use."""
    names = list(OUTSIDE)
    for book in shipped():
        initial = book.genera[0][0]
        for taxon in book.taxa.values():
            names += [taxon.name, *taxon.synonyms, *taxon.vernaculars] if taxon.name else []
            for one, other in permutations([book.taxa[p] for p in taxon.parents], 2):
                names.append(f"{one.name} x {other.epithet}")
                names.append(f"{initial}. {one.epithet} × {initial}. {other.epithet}")
                if one.vernaculars and other.vernaculars:
                    names.append(f"{one.vernaculars[0]} x {other.vernaculars[0]}")
    return names


def distinct(n: int, rng: random.Random) -> list[str]:
    """`n` distinct names, none of them plain."""
    plain, made = plain_names(), set()
    while len(made) < n:
        name, way = rng.choice(plain), rng.randrange(5)
        number = rng.randrange(100_000)
        if way == 0:
            name = f"{name}, {number} plants"
        elif way == 1:
            name = f"{name} [det. {''.join(rng.choices(string.ascii_uppercase, k=2))} {number}]"
        elif way == 2:
            name = f"{name} ({rng.choice(['Druce', 'L.', 'Mill.'])}) {number}"
        elif way == 3:
            name = f"{rng.choice(['cf.', '?', 'prob.', ''])} {name.upper()} {number}"
        else:
            at = rng.randrange(len(name))
            name = f"{name[:at]}{rng.choice(string.ascii_lowercase)}{name[at:]}"
        made.add(name)
    return sorted(made)


def main(n: int) -> None:
    texts = distinct(n, random.Random(1))
    start = time.process_time()
    reader = NameReader(shipped())
    print(f"index built in {time.process_time() - start:.3f} s")
    start = time.process_time()
    for text in texts:
        reader.read(text)
    seconds = time.process_time() - start
    print(f"{n:,} distinct names: {n / seconds:,.0f} a second of processor time")
    start = time.process_time()
    for text in texts:
        reader.read(text)
    seconds = time.process_time() - start
    print(f"read again: {n / seconds:,.0f} a second of processor time")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 50_000)
