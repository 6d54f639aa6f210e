"""Labels and answers that a form sets apart by its layout: tabs, bars, brackets, capitals.

Each layout is written over as `label: answer; label: answer`, sign by sign, so that what is read
later keeps its place. Where a layout could be prose as well, one of the answers must be bare.
"""

from __future__ import annotations

import re

from crossproof.parse.remarks.text.compiled import general_words

_BARE = frozenset(general_words()["typing"]["bare_answers"])
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
        if mark in text and (mark != ", " or "\n" in text):
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
    rows = [r.split(mark) for r in re.split(r"\n" if mark == ", " else r"[\n;]", text) if r.strip()]
    cells = rows[0] if len(rows) == 1 else [cell for row in rows for cell in row]
    labels, answers = cells[::2], cells[1::2]
    paired = all(len(row) == 2 for row in rows) and len(rows) > 1
    paired = paired or (cells is rows[0] and len(cells) in range(4, 40, 2) and mark in _MARKS[:2])
    sure = len(rows) > 1 and mark in _SURE
    if not paired or not (sure or any(map(_is_bare, answers))) or any(map(_is_bare, labels)):
        return text
    if any(len(cell.split()) > _LONGEST for cell in cells):
        return text
    parts = text.split(mark)
    ends = ":".ljust(len(mark)), (";" if len(rows) == 1 else ":").ljust(len(mark))
    return "".join(part + ends[k % 2] for k, part in enumerate(parts[:-1])) + parts[-1]


def _capitals(text: str) -> str:
    """`LEAF MARKS none STEM TYPE solid`: labels in capitals, and no mark at all."""
    labels = list(_CAPITALS.finditer(text))
    if len(labels) < 2 or labels[0].start() or not _PUNCTUATED.isdisjoint(text) or text.isupper():
        return text
    for m, end in zip(labels, [*(m.start() for m in labels[1:]), len(text)], strict=True):
        said = text[m.end() : end].split()
        if not 0 < len(said) <= _LONGEST or any(word[:2].isupper() and word[1:] for word in said):
            return text
    for m in labels:
        text = f"{text[: m.end()]}:{text[m.end() + 1 :]}"
        if text[m.start() - 1 : m.start()] == " ":
            text = f"{text[: m.start() - 1]};{text[m.start() :]}"
    return text
