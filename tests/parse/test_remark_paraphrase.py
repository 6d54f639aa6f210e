"""Other words for the same thing, and words that say nothing of a plant, change no reading.

Every remark of `vectors/remarks.json` and `remark_kinds.csv` in which the first words stand is read
with the second in their place. What means the same is common practice, no published source.
"""

from __future__ import annotations

import csv
import json
import re
from pathlib import Path

import pytest

from crossproof.parse.remark import parse_remark

HERE = Path(__file__).parent
REMARKS = [
    *(
        text
        for text, *_ in json.loads(
            (HERE.parent / "vectors" / "remarks.json").read_text(encoding="utf-8")
        )["cases"]
    ),
    *(
        row["remark"]
        for row in csv.DictReader(
            (HERE / "remark_kinds.csv").read_text(encoding="utf-8").splitlines()
        )
    ),
]
SAME = {
    "a date before": (r"^", "12.vi.1987. "),
    "weather before": (r"^", "Wet field by the lane. "),
    "leaves: the leaves": (r"^leaves", "The leaves"),
    "leaves: its leaves": (r"^leaves", "Its leaves"),
    "spots: blotches": (r"\bspots\b", "blotches"),
    "blotches: spots": (r"\bblotches\b", "spots"),
    "no: not any": (r"\bno (spots|marks|rings|spotting)\b", r"not any \1"),
    "was: is": (r"\bwas\b", "is"),
    "very: really": (r"\bvery\b", "really"),
    "quite: rather": (r"(?<!not )\bquite\b", "rather"),
    "the: the very": (r"\bthe (base|bottom|foot|tip|top|middle|same)\b", r"the very \1"),
    "squeezed: pinched": (r"\bsqueezed\b", "pinched"),
    "pinched: squeezed": (r"\bpinched\b", "squeezed"),
    "did not: didn't": (r"\bdid not\b", "didn't"),
    "was not: wasn't": (r"\bwas not\b", "wasn't"),
    "centre: middle": (r"\bcentre\b", "middle"),
    "middle: centre": (r"\bmiddle\b", "centre"),
    "base: foot": (r"\bbase\b", "foot"),
    "base: bottom": (r"\bbase\b", "bottom"),
    "slightly: a little": (r"\bslightly\b", "a little"),
    "slightly: somewhat": (r"\bslightly\b", "somewhat"),
    "nearby: close by": (r"\bnearby\b", "close by"),
    "stems: stalks": (r"\bstems\b", "stalks"),
    "plants: spikes": (r"\bplants\b", "spikes"),
    "plants: specimens": (r"\bplants\b", "specimens"),
    "plants: individuals": (r"\bplants\b", "individuals"),
    "spikes: plants": (r"\bspikes\b", "plants"),
    "the hybrid: this hybrid": (r"\bthe hybrid\b", "this hybrid"),
    "the rest: the others": (r"\bthe rest\b", "the others"),
    "the others: the rest": (r"\bthe others\b", "the rest"),
    "some: several": (r"\bsome (plants|spikes|of them)\b", r"several \1"),
    "when squeezed: on squeezing": (r"\bwhen squeezed\b", "on squeezing"),
    "-: a longer dash": (r" - ", " — "),
    "hogweed: hemlock": (r"\bhogweed\b", "hemlock"),
    "thistle: teasel": (r"\bthistle\b", "teasel"),
    "bluebell: cowslip": (r"\bbluebell(s?)\b", r"cowslip\1"),
}


def _in_place(pattern: str, words: str, text: str) -> str:
    """`words` in place of what fits, with a capital where there was one."""

    def put(found: re.Match[str]) -> str:
        said = found.expand(words)
        return said.capitalize() if found.group()[:1].isupper() else said

    return re.sub(pattern, put, text, flags=re.IGNORECASE)


@pytest.mark.parametrize("name", SAME)
def test_other_words_for_the_same_change_no_reading(name: str) -> None:
    pattern, words = SAME[name]
    tried = [
        (text, other) for text in REMARKS if (other := _in_place(pattern, words, text)) != text
    ]
    assert tried, "no remark holds these words"
    changed = [other for text, other in tried if _read(other) != _read(text)]
    assert changed == []


def _read(text: str) -> tuple[str, str]:
    read = parse_remark(text)
    return read.leaf, read.stem
