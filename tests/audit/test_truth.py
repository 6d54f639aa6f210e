"""An archive whose truth is known: the audit finds it, outcome and reasons, whatever the words.

The truth is this project's rule for spotted × marsh crosses of orchids (docs on the judgement of
Dactylorhiza × grandis): which leaf and stem fit together, which can't decide, which speak against.
It stands here as a table, and owes nothing to the rulebook.
"""

from __future__ import annotations

import random
from collections import Counter
from pathlib import Path

from archives import HEADINGS, read, write

from crossproof.audit.run import Settings, audit_to

LEAVES = {
    "solid_spots": ("solid spots", "spotted", "spots"),
    "ring_spots": ("ring spots", "ring-spotted"),
    "transverse_bars": ("transverse bars", "barred"),
    "unmarked": ("unmarked", "plain", "unspotted"),
    "": ("", "not looked at"),
}
STEMS = {
    "hollow": ("hollow", "Hollow"),
    "partly_hollow": ("partly hollow",),
    "solid": ("solid",),
    "": ("", "not tested"),
}
NAMES = ("D. x grandis", "Dactylorhiza × grandis", "D. fuchsii x praetermissa")
FITS = {("solid_spots", "hollow"), ("solid_spots", "partly_hollow")}
FITS |= {("ring_spots", "partly_hollow"), ("transverse_bars", "hollow")}


def truth(leaf: str, stem: str, photo: bool) -> tuple[str, set[str]]:
    """The outcome and the reasons of a claim of × grandis."""
    reasons = {f"{what}_missing" for what, state in (("leaf", leaf), ("stem", stem)) if not state}
    reasons |= set() if photo else {"photo_missing"}
    if leaf == "unmarked":
        reasons |= {"leaf_against"}
    if stem == "solid":  # no leaf fits with it
        reasons |= {"stem_against"}
    if leaf and stem and not reasons & {"leaf_against", "stem_against"}:
        reasons |= set() if (leaf, stem) in FITS else {"undecided"}
    return ("lowered" if reasons else "upheld"), reasons


def test_the_audit_finds_the_truth(tmp_path: Path) -> None:
    draw = random.Random(3)
    table, expected = [], {}
    for i in range(4000):
        leaf, stem = draw.choice([*LEAVES]), draw.choice([*STEMS])
        photo = draw.choice(("", f"IMG_{i}.jpg"))
        day = f"{draw.randint(1, 28)}/6/{draw.randint(1980, 2020)}"
        words = (draw.choice(LEAVES[leaf]), draw.choice(STEMS[stem]))
        table.append((f"id-{i}", draw.choice(NAMES), f"SU{i:04d}", day, "A. Wren", *words, photo))
        expected[f"id-{i}"] = truth(leaf, stem, bool(photo))
    assert len(HEADINGS) == len(table[0])
    summary = audit_to(
        [write(tmp_path / "a.csv", table)], tmp_path / "out", settings=Settings(form="csv")
    )
    wrong: Counter[str] = Counter()
    for row in read(tmp_path / "out" / "verdicts.csv"):
        outcome, reasons = expected[row["occurrenceID"]]
        shown = {r for r in row["reasons"].split(";") if r}
        if row["outcome"] != outcome or shown != reasons:
            wrong[f"{row['leaf']}, {row['stem']}: {shown}, not {reasons}"] += 1
    assert not wrong, wrong
    upheld = sum(outcome == "upheld" for outcome, _ in expected.values())
    assert summary["figures"]["claims"]["upheld"]["count"] == upheld
