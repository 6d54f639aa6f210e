"""The traps of the marsh- and spotted-orchids: whole records that a naive rule gets wrong.

Each row is a record as people write it, what comes of it, and where the botany is published.
"""

from __future__ import annotations

import pandas as pd
import pytest

import crossproof as cp

HEADINGS = ("Species", "Leaves", "Stem", "Photo", "Comments")
# Wikipedia, Dutch, Gevlekte rietorchis; English, Dactylorhiza praetermissa.
JUNIALIS = "Wikipedia: D. praetermissa var. junialis"
# Watsonia 17: 319-349, p. 332.
UNMARKED = "Bateman & Denholm 1989"
BURREN = "Flora of the Burren (Co. Clare)"
PURPURELLA = "Wikipedia, English: D. purpurella"
PRACTICE = "common practice, no published source"

TRAPS = [
    # A variety of the southern marsh-orchid has ring marks and a hollow stem, as the hybrid may.
    (("D. praetermissa var. junialis", "ring spots", "hollow", "", ""), "no_claim", "", JUNIALIS),
    (("D. praetermissa", "ring spots", "hollow", "", ""), "no_claim", "", JUNIALIS),
    (("D. × grandis", "ring spots", "hollow", "a.jpg", ""), "lowered", "undecided", JUNIALIS),
    # 13 % of common spotted-orchids have no marks, in the Burren 43 %.
    (("D. fuchsii", "unmarked", "solid", "", ""), "no_claim", "", UNMARKED),
    (
        ("D. × grandis", "unmarked", "solid", "a.jpg", ""),
        "lowered",
        "leaf_against;stem_against",
        UNMARKED,
    ),
    # Marsh-orchids that are marked and no hybrids: the Irish one usually, the early one's cruenta.
    (("D. kerryensis", "heavily spotted", "hollow", "", ""), "no_claim", "", BURREN),
    (("D. incarnata subsp. cruenta", "spotted", "hollow", "", ""), "no_claim", "", BURREN),
    (
        ("D. × kernerorum", "spotted", "hollow", "a.jpg", "leaves marked on both sides"),
        "lowered",
        "undecided",
        BURREN,
    ),
    # But no southern marsh-orchid has solid spots.
    (("D. praetermissa", "solid spots", "hollow", "", ""), "contested", "leaf_against", JUNIALIS),
    # The northern marsh-orchid's stem is only partly compressible, and its small spots are normal.
    (("D. purpurella", "fine dots", "partly hollow", "", ""), "no_claim", "", PURPURELLA),
    (
        ("D. × venusta", "fine dots", "partly hollow", "a.jpg", ""),
        "lowered",
        "undecided",
        PURPURELLA,
    ),
    # A common spotted-orchid's may be slightly hollow.
    (("D. fuchsii", "transverse bars", "partly hollow", "", ""), "no_claim", "", BURREN),
    (
        ("D. × grandis", "transverse bars", "partly hollow", "a.jpg", ""),
        "lowered",
        "undecided",
        BURREN,
    ),
    # Marks fade towards the end of flowering, so faint ones count neither way.
    (("D. × grandis", "faint spots", "hollow", "a.jpg", ""), "lowered", "undecided", JUNIALIS),
    # Large size is no evidence.
    (
        ("D. × grandis", "", "", "a.jpg", "huge robust plant 70 cm tall, hybrid vigour!"),
        "lowered",
        "leaf_missing;stem_missing",
        PRACTICE,
    ),
    # Crosses that leaf and stem can't decide: two spotted-orchids, two marsh-orchids.
    (("D. × transiens", "spotted", "solid", "a.jpg", ""), "lowered", "undecided", PRACTICE),
    (("D. × wintonii", "unmarked", "hollow", "a.jpg", ""), "lowered", "undecided", PRACTICE),
    # Flowers carry no name.
    (
        ("D. × grandis", "", "", "a.jpg", "named from the flowers alone"),
        "lowered",
        "leaf_missing;stem_missing;flower_only",
        PRACTICE,
    ),
]


@pytest.fixture(scope="module")
def verdicts() -> pd.DataFrame:
    frame = pd.DataFrame([trap[0] for trap in TRAPS], columns=HEADINGS)
    return cp.vet_frame(frame.assign(Date="2024-06-20", **{"Grid Ref": "TL613834"}))


@pytest.mark.parametrize("row", range(len(TRAPS)))
def test_trap(row: int, verdicts: pd.DataFrame) -> None:
    _, outcome, reasons, _ = TRAPS[row]
    found = verdicts.iloc[row]
    assert (found.outcome, found.reasons) == (outcome, reasons)
