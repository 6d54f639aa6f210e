"""Labels and answers that a form sets apart by its layout: tabs, bars, brackets, capitals.

Each layout is written over as `label: answer; label: answer`, sign by sign, so that what is read
later keeps its place. Where a layout could be prose as well, one of the answers must be bare.
"""

from __future__ import annotations

import re

_BARE = frozenset(
    {
        *("", "yes", "y", "no", "n", "none", "nil", "zero", "absent", "present", "true", "false"),
        *("lacking", "ditto", "blank", "pending", "skipped", "uncertain", "unsure", "h", "s"),
        *("positive", "negative", "tick", "ticked", "unknown", "n/a", "na", "0", "1", "+", "-"),
        *("--", "?", "✓", "✔", "not present", "not seen", "none seen", "not recorded"),
    }
)
_BEGINS = ("not ", "no ", "see ", "yes, ", "can't ", "cannot ")
_MARKS = ("\t", " | ", " ... ", " -> ", " → ", ", ")  # between a label and its answer
_SURE = frozenset({"\t", " | ", " -> ", " → "})  # one of these in each line: a table
_IN_BRACKETS = re.compile(r"(?<=[\w)?]) ?[\[(]([^\[\]()]{0,40})[\])](?=\s*(?:[;,.\n|/]|$|\w))")
_NEXT_LABEL = re.compile(r"(?<=\S)(?: {2,}|\t)(?=[A-Z][^:;.,\n\t]{1,40}[:?])")
_CAPITALS = re.compile(r"(?!N/A)[A-Z][A-Z()/]+(?: [A-Z()/]{2,})*(?= )")
_PUNCTUATED = frozenset(":;=|\t[")
_LONGEST = 5  # words of a label or an answer


def laid_out(text: str) -> str:
    """Return `text`, as long as before, with colons behind labels and breaks behind answers."""
    if "[" in text or "(" in text:
        text = _bracketed(text)
    for mark in _MARKS:
        if mark in text:
            text = _set_apart(text, mark)
    if ":" in text and ("  " in text or "\t" in text):
        text = _NEXT_LABEL.sub(lambda m: ";".ljust(len(m[0])), text)
    if text.count("=") > 1 and all("=" in word for word in text.split()):
        text = text.replace(" ", ";")  # leaf_spots=none stem_hollow=yes
    return _capitals(text) if text[:2].isupper() else text


def _is_bare(answer: str) -> bool:
    said = answer.strip(" .;,").casefold()
    return said in _BARE or said.isdigit() or said.startswith(_BEGINS)


def _bracketed(text: str) -> str:
    """`Leaf spots [none] Stem [solid]`, `Leaf spots (none); stem hollow (no)`."""
    found = list(_IN_BRACKETS.finditer(text))
    form = len(found) > 1 and _is_form(text, found)
    for m in found:
        if form or (len(m[1]) > 1 and m[1].casefold() in _BARE):
            opening = m[0].index(m[1], 1) - 1 + m.start() if m[1] else m.end() - 2
            text = f"{text[:opening]}:{text[opening + 1 : m.end() - 1]};{text[m.end() :]}"
    return text


def _is_form(text: str, found: list[re.Match[str]]) -> bool:
    """Whether nothing but labels, each with its answer in brackets, is there."""
    starts = [0, *(m.end() for m in found)]
    labels = [text[a : m.start()].strip(" ;,.\n|/") for a, m in zip(starts, found, strict=False)]
    if text[starts[-1] :].strip(" .") or any(m[1].strip() in ("", "x", "X") for m in found):
        return False
    labelled = all(s[:1].isupper() and len(s.split()) <= _LONGEST for s in labels)
    return labelled and not all(m[1].isdigit() for m in found)


def _set_apart(text: str, mark: str) -> str:
    """`Leaf spots, none` line by line; `Leaf spots | none | Stem | solid` all in one."""
    lines = re.split(r"[\n;]" if mark != ", " else r"\n", text)
    rows = [line.split(mark) for line in lines if line.strip()]
    if len(rows) == 1:
        cells = rows[0]
        labels, answers = cells[::2], cells[1::2]
        paired = len(cells) > 3 and len(labels) == len(answers) and mark in _MARKS[:2]
    else:
        labels, answers = [row[0] for row in rows], [row[-1] for row in rows]
        paired = all(len(row) == 2 for row in rows)
    sure = len(rows) > 1 and mark in _SURE
    if not paired or not (sure or any(map(_is_bare, answers))) or any(map(_is_bare, labels)):
        return text
    if any(len(cell.split()) > _LONGEST for cell in (*labels, *answers)):
        return text
    if len(rows) > 1:
        return text.replace(mark, ":".ljust(len(mark)))
    cells = text.split(mark)
    ends = (":".ljust(len(mark)), ";".ljust(len(mark)))
    return "".join(cell + ends[k % 2] for k, cell in enumerate(cells[:-1])) + cells[-1]


def _capitals(text: str) -> str:
    """`LEAF MARKS none STEM TYPE solid`: labels in capitals, and no mark at all."""
    labels = list(_CAPITALS.finditer(text))
    if len(labels) < 2 or labels[0].start() or not _PUNCTUATED.isdisjoint(text) or text.isupper():
        return text
    ends = [*(m.start() for m in labels[1:]), len(text) + 1]
    answers = [text[m.end() : end].split() for m, end in zip(labels, ends, strict=True)]
    shouted = any(len(word) > 1 and word[:2].isupper() for said in answers for word in said)
    if shouted or not all(0 < len(said) <= _LONGEST for said in answers):
        return text
    for m in reversed(labels):
        text = f"{text[: m.end()]}:{text[m.end() + 1 :]}"
        if text[m.start() - 1 : m.start()] == " ":
            text = f"{text[: m.start() - 1]};{text[m.start() :]}"
    return text
