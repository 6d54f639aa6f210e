"""How many distinct remarks a second, on one core: `python tests/benchmarks/bench_remarks.py [N]`.

The remarks are those of `tests/vectors/remarks.json`, made distinct by an invented place, date and
recorder, as remarks are in a real archive. Three mixes: only remarks that state something; a third
of them; and remarks that state nothing. The clock is the process's own, so other work on the
machine weighs little.
"""

from __future__ import annotations

import json
import random
import sys
import time
from pathlib import Path

from crossproof.parse.remark import RemarkReader
from crossproof.rulebooks.load import shipped_rulebook

VECTORS = Path(__file__).parents[1] / "vectors" / "remarks.json"
STARTS = ("Thorn", "Wether", "Ash", "Long", "Penn", "Carrow", "Moor", "Sand", "Kil", "Ox")
ENDS = ("combe", "ham", "ley", "ford", "wick", "more", "by", "dale", "lea", "holt")
ASIDES = (
    "Grazed by ponies in spring.",
    "Seen from the lane, in good light.",
    "About twenty plants, as in earlier years.",
    "With ragged robin and quaking grass, ground wet.",
    "Landowner friendly, ask at the house.",
)


def distinct(texts: list[str], rng: random.Random) -> str:
    """One remark that no other row has."""
    place = f"{rng.choice(STARTS)}{rng.choice(ENDS)}"
    day = f"{rng.randrange(1, 29)}.vi.{rng.randrange(1960, 2026)}"
    return f"{place} {rng.randrange(10_000)}, {day}. {rng.choice(texts)}"


def main(n: int) -> None:
    rng = random.Random(1)
    cases = json.loads(VECTORS.read_text(encoding="utf-8"))["cases"]
    telling = [text for text, leaf, stem, *_ in cases if (leaf, stem) != ("-", "-")]
    mixes = {
        "all state something": telling,
        "a third do": telling[::2] + list(ASIDES) * (len(telling) // 5),
        "none do": list(ASIDES),
    }
    reader = RemarkReader(shipped_rulebook("dactylorhiza"))
    for name, texts in mixes.items():
        remarks = sorted({distinct(texts, rng) for _ in range(n)})
        begun = time.process_time()
        for remark in remarks:
            reader.read(remark)
        taken = time.process_time() - begun
        print(f"{name}: {len(remarks)} distinct remarks, {len(remarks) / taken:,.0f} a second")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 50_000)
