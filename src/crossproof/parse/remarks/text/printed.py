"""Leave out what a form prints: boxes nobody ticked, choices nobody made, the key to a code.

Each step blanks words out and keeps the length of the text, so that what is read later keeps its
place. The layout of a form is one of characters, not of words: hence patterns, here only.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from crossproof.parse.remarks.text.layout import laid_out

_BOX = re.compile(r"\[\s*([xX✓✔]?)\s*\]|\(\s*([xX✓✔]?)\s*\)|([☐☑☒✅])")
_ONE_BOX = r"\[\s*[xX✓✔]?\s*\]|\(\s*[xX✓✔]?\s*\)|[☐☑☒✅]"
_ANSWER = r"\b(?:yes|y|no|n)\b"
_PAIRS = (
    re.compile(rf"({_ONE_BOX})\s*({_ANSWER})[\s/,]*({_ONE_BOX})\s*({_ANSWER})", re.I),
    re.compile(rf"({_ANSWER})\s*({_ONE_BOX})[\s/,]*({_ANSWER})\s*({_ONE_BOX})", re.I),
)
_LINE = re.compile(r"(?<![:=_.\s])(\s?)(?:_{2,}|\.{5,})")
_TICKED = frozenset("xX✓✔☑☒✅")
_ENDS_LABEL = re.compile(r"[;\n]|\.(?=\s|$)")
_EITHER = re.compile(r"\(?\b(?:y|yes|true)\s*/\s*(?:n|no|false)\b\)?(\s*[:=]\s*\w)?", re.I)
_STARTS_QUESTION = re.compile(r"[.;,\n|]|\s{2,}")
_BRACKET = re.compile(r"\(([^()]{3,90})\)(\s*[:=])?")
_ENTRY = re.compile(r"\s*(\d|[A-Za-z])(?:\s*=\s*|\s+|\s*-\s*)(\S.*?)\s*$")
_NEXT_ENTRY = re.compile(r"[,;]\s*|\s+(?=\w\s*=)")
_CHOICES = re.compile(r"[-–—:]\s*(\w+(?:\s*[,/]\s*\w+)*\s+or\s+\w+)(?=\s*[:=])")
_CODES = re.compile(
    r"\b(?![Nn]/)([A-Za-z]{1,2}(?:\s*/\s*[A-Za-z]{1,2})+)\s*([:=]|[-–—](?=\s))"
    r"\s*(?:([A-Za-z]{1,2})\b|(?=[;\n]|$))?"
)
_WORD = re.compile(r"\s*([A-Za-z]+)")
_SCALE = re.compile(
    r"(?<![\w.,-])(\d)((?:\s+on\s+(?:a|the)\s+(?:\w+\s+)?scale\b[^.;\n]*|\s*/\s*[45]\b(?!/)))", re.I
)
_OF_PLANTS = re.compile(r"\s+(?:\w+-)?(?:\w+ed|with|had|have|plants|pl|pls)\b", re.I)
_FIGURES = re.compile(r"(?<![\w./,])\d+\s*/\s*(?:[236-9]|[1-9]\d)\b(?!/)")
_TALLY = re.compile(r"(?<![\w|])\|+(?: \|+)*(?![\w|])")  # a stroke for each plant
_SAMPLE = re.compile(r"(?<=\()n\s*=\s*(?=\d+\s*\))")
_STRUCK = re.compile(r"~~[^~\n]{1,40}~~")
_MEANS_NO = frozenset({"absent", "no", "none", "n", "neg", "negative", "false", "not seen", "nil"})
_MEANS_YES = frozenset({"present", "yes", "y", "pos", "positive", "true", "seen"})
_TELLING = frozenset("_([/~☐☑☒✅")


def answers_only(text: str) -> str:
    """Return `text` with a form's printed words blanked out where nobody chose them."""
    text = laid_out(text)
    if " or " in text:  # leaf pattern - none, spots or rings: spots
        for choices in list(_CHOICES.finditer(text)):
            text = _blank(text, *choices.span(1))
    if "||" in text:
        text = _TALLY.sub(lambda m: str(m[0].count("|")).ljust(len(m[0])), text)
    if _TELLING.isdisjoint(text) and "scale" not in text and "....." not in text:
        return text
    if "~~" in text:
        for struck in _STRUCK.finditer(text):
            text = _blank(text, *struck.span())
    if "n=" in text or "n =" in text:
        text = _SAMPLE.sub(lambda m: " " * len(m[0]), text)
    if "scale" in text or "/" in text:
        text = _SCALE.sub(_rating, text)
    if "__" in text or "....." in text:  # a line to write on
        text = _LINE.sub(lambda m: ":".ljust(len(m.group())), text)
    text = _ticked(_yes_or_no(text))
    if "/" in text:
        text = _unanswered(_coded(text))
    if "(" in text:
        text = _explained(text)
    return text


def _rating(of: re.Match[str]) -> str:
    """`hollow 4/5`: a rating; but `in 4/5`, `4/5 spotted` count plants; so beside `3/9`."""
    text, last = of.string, of.end()
    joined = text[: of.start()].endswith(("in ", "on "))
    counts = "/" in of[2] and (joined or _OF_PLANTS.match(text, last) or _FIGURES.search(text))
    return of[0] if counts else ("N" if of[1] == "0" else "Y").ljust(len(of[0]))


def _blank(text: str, start: int, end: int, mark: str = " ") -> str:
    """Blank a stretch; `mark` stands at its start."""
    return f"{text[:start]}{mark[: end - start]}{' ' * (end - start - 1)}{text[end:]}"


def _yes_or_no(text: str) -> str:
    """`stem hollow [x] yes [ ] no`, `spots yes [ ] no [x]`: keep the answer that was ticked."""
    for pair in _PAIRS:
        for found in list(pair.finditer(text)):
            first, last = found.span()
            ticked = [k for k in (1, 2, 3, 4) if _TICKED & set(found.group(k))]
            answers = (2, 4) if pair is _PAIRS[0] else (1, 3)
            boxes = {k: answers[k > 2] for k in (1, 2, 3, 4) if k not in answers}
            marked = [boxes[k] for k in ticked if k in boxes]
            if len(marked) == 1:
                answer = f": {found.group(marked[0])}".ljust(last - first - 1) + ","
                text = text[:first] + answer + text[last:]
            elif not marked and _BOX.match(text[last:].lstrip()):  # … [x] not tested
                text = _blank(text, first, last)
    return text


def _ticked(text: str) -> str:
    """`spotted [x] ringed [ ]`: keep the words of ticked boxes."""
    boxes = list(_BOX.finditer(text))
    if not boxes or (len(boxes) == 1 and text[boxes[0].start()] == "("):
        return text
    before = text[: boxes[0].start()].rstrip()
    lead = not before or before[-1] in ":;.,\n-|" or _words_follow(text, boxes)
    for k, box in enumerate(boxes):
        if lead:
            start, end = box.end(), boxes[k + 1].start() if k + 1 < len(boxes) else len(text)
            if stop := _ENDS_LABEL.search(text, start, end):
                end = stop.start()
        else:
            start, end = boxes[k - 1].end() if k else 0, box.start()
            start = (
                max((m.end() for m in re.finditer(r"[;:,\n.]", text[start:end])), default=0) + start
            )
        if not _TICKED & set(box.group()):
            text = _blank(text, start, max(start, end))
        bare = text[: box.start()].rstrip().endswith(":")
        text = _blank(text, *box.span(), " " if bare else ",")
    return text


def _words_follow(text: str, boxes: list[re.Match[str]]) -> bool:
    """`Leaf ☒ spotted ☐ plain; stem ☐ solid ☒ hollow`: boxes, one of them ticked, before words."""
    if len(boxes) < 2:
        return False
    ticked = False
    for box, behind in zip(boxes, [*boxes[1:], None], strict=True):
        end = behind.start() if behind else len(text)
        stop = _ENDS_LABEL.search(text, box.end(), end)
        last = stop.start() if stop else end
        ticked = ticked or not _TICKED.isdisjoint(box.group())
        if stop or behind is None:
            if not ticked or not _WORD.match(text, box.end(), last):
                return False
            ticked = False
    return True


def _unanswered(text: str) -> str:
    """`Leaves spotted Y / N`: a question that nobody answered, unless something stands behind."""
    last = 0
    for pair in _EITHER.finditer(text):
        if pair.group(1):
            text = _blank(text, pair.start(), pair.start(1))
        else:
            starts = [m.end() for m in _STARTS_QUESTION.finditer(text, last, pair.start())]
            text = _blank(text, starts[-1] if starts else last, pair.end(), ",")
        last = pair.end()
    return text


def _explained(text: str) -> str:
    """Brackets that list the answers there are: `(spots/rings/none): none`, `(1 no, 2 yes): 2`."""
    for bracket in list(_BRACKET.finditer(text)):
        inside = bracket.group(1)
        entries = dict(_entries(inside))
        if len(entries) > 1:
            text = _decoded(text, bracket, entries)
        elif bracket.group(2) and _is_choice(inside):
            text = _chosen(text, bracket)
    return text


def _coded(text: str) -> str:
    """`Stem H/S: S`: of the letters printed, the one that was written behind them, if any."""
    for codes in _CODES.finditer(text):
        answer = (codes.group(3) or "").casefold()
        if answer and answer in codes.group(1).casefold().replace(" ", "").split("/"):
            text = _blank(text, codes.start(), codes.start(3))
        elif codes.group(1).isupper() and " " not in codes.group(1):  # Stem H/S: not noted
            text = _blank(text, *codes.span(1))
    return text


def _chosen(text: str, bracket: re.Match[str]) -> str:
    """Blank a list of choices; of `(spots/rings/none): none` keep what there is none of."""
    answer, first = _WORD.match(text, bracket.end()), _WORD.match(bracket.group(1))
    start = bracket.start()
    denied = answer and answer.group(1).casefold() in _MEANS_NO
    if denied and answer and answer.group(1).casefold() == "no":  # (spotted/plain): no marks
        denied = not _WORD.match(text, answer.end())
    if denied and first and first.group(1).casefold() not in _MEANS_NO:
        text = _blank(text, start, start + 1)
        start = bracket.start(1) + first.end()
    return _blank(text, start, bracket.end(1) + 1)


def _is_choice(inside: str) -> bool:
    several = "/" in inside or " or " in inside or inside.count(",") > 1
    return several and not any(c.isdigit() for c in inside)


def _entries(inside: str) -> Iterator[tuple[str, tuple[str, int, int]]]:
    """The codes that a bracket explains, each with its meaning and where that stands."""
    start = 0
    found = []
    ends = [*(m.span() for m in _NEXT_ENTRY.finditer(inside)), (len(inside), len(inside))]
    for end, next_start in ends:
        entry = _ENTRY.match(inside[start:end])
        if entry is None:
            return
        found.append((entry, start))
        start = next_start
    signed = all("=" in entry.group() for entry, _ in found)
    codes = [entry.group(1) for entry, _ in found]
    in_order = codes in (list("0123456789")[: len(codes)], list("123456789")[: len(codes)])
    if len(set(codes)) < len(codes) or not (signed or in_order or all(c.isupper() for c in codes)):
        return
    for entry, at in found:
        yield entry.group(1), (entry.group(2), at + entry.start(2), at + entry.end(2))


def _decoded(text: str, bracket: re.Match[str], codes: dict[str, tuple[str, int, int]]) -> str:
    """Keep the meaning of the code that was given; where it is a yes or no, put that in."""
    meanings = {code: meaning.casefold() for code, (meaning, _, _) in codes.items()}
    yes_or_no = all(m in _MEANS_NO | _MEANS_YES for m in meanings.values())
    known = "|".join(map(re.escape, codes))
    given = re.compile(rf"(?<![\w.,])({known})(?=\s*(?:[,;.(\n]|$))")
    start, end = bracket.start(), bracket.end(1) + 1
    if yes_or_no:
        text = _blank(text, start, end)
        return given.sub(lambda m: "N" if meanings[m.group()] in _MEANS_NO else "Y", text)
    behind = re.match(rf"\s*[:=]\s*({known})\b", text[end:])
    before = re.search(rf"(?<!\w)({known})\s*$", text[:start])
    if behind is None and before is None:
        return text if "=" not in bracket.group(1) else _blank(text, start, end)
    if behind:
        code = behind.group(1)
        text = _blank(text, end, end + behind.end())
    elif before:
        code = before.group(1)
        text = _blank(text, before.start(1), start)
    _, first, last = codes[code]
    inside = bracket.start(1)
    text = _blank(text, start, inside + first)
    return _blank(text, inside + last, end)
