"""The pages of verdicts: every hybrid × every combination of what its claims need."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise, product

from crossproof.judge import judge
from crossproof.judge.combine import allows
from crossproof.model import Case, Name, Verdict
from crossproof.report.wording import reason_words, words
from crossproof.rulebooks.load import shipped
from crossproof.rulebooks.model import Character, Requirement, Rulebook, Taxon

MADE = "<!-- Made by `python docs/make.py`. Change {what}, not this page. -->"
LONGEST = 32  # rows of a table; a longer one is told character by character
WIDEST = 4  # columns of results; more than that stand below each other

NOT_STATED = "not stated"
# What a claim may need besides characters → its values, the one that meets the need first.
AROUND = {
    "parents": ("both parents near by", NOT_STATED),
    "photo": ("a photo", NOT_STATED),
    "specialist": ("a specialist", NOT_STATED),
}
LACKING = {
    "parents": "no word of the parents",
    "photo": "no photo",
    "specialist": "no specialist",
}

Combination = tuple[str, ...]  # a value per column
Result = tuple[str, str, str]  # outcome, what it goes out as, reasons
Columns = Mapping[str, Mapping[str, str]]  # what is needed → its values → these in words
Said = dict[tuple[str, str], list[str]]  # (what it says, reason) → the values that say it


def line(cells: Sequence[str]) -> str:
    """One row of a table in Markdown."""
    return "| " + " | ".join(cell.replace("|", "\\|").replace("\n", " ") for cell in cells) + " |"


def _heading(cells: Sequence[str]) -> Iterator[str]:
    yield line(cells)
    yield line(["---"] * len(cells))


def verdict_index() -> str:
    """What the words of the verdict pages mean, and where they are."""
    reasons: Mapping[str, str] = words()["reasons"]
    codes = [code for code in reasons if code not in ("missing", "against")]
    lines = [
        "# Verdicts",
        "",
        MADE.format(what="the rulebooks and `docs/verdict_tables.py`"),
        "",
        "What becomes of a claim of every hybrid, by every combination of what such a claim needs:",
        "",
        *(f"- [{book.title}]({book.id}.md), {_hybrids(book)}" for book in shipped()),
        "",
        "What would say the same is folded into one row. “The cross” is the hybrid claimed; what "
        "follows a name goes into `identificationQualifier`. A measured character is cut into "
        "pieces by the ranges known. Season, soil, range and parents near by come "
        "on top, and so does whatever else is stated.",
        "",
        "The reasons are codes, in the order of the reasoning, from the ground up:",
        "",
        *_heading(["reason", "in words"]),
        line(["`<character>_missing`", "needed, but not recorded"]),
        line(["`<character>_against`", "what is stated speaks against the claim"]),
        *(line([f"`{code}`", reason_words(code, ())]) for code in codes),
    ]
    return "\n".join(lines) + "\n"


def _hybrids(book: Rulebook) -> str:
    return f"{len(book.hybrids)} hybrid{'s' if len(book.hybrids) > 1 else ''}"


def verdict_page(book: Rulebook) -> str:
    """The verdicts on all hybrids of a rulebook; those judged alike stand together."""
    tables: dict[str, list[Taxon]] = {}
    for hybrid in book.hybrids:
        tables.setdefault("\n".join(_table(hybrid, book)), []).append(hybrid)
    lines = [
        f"# Verdicts: {book.title}",
        "",
        MADE.format(what=f"the rulebook `{book.id}.toml`"),
        "",
        "What becomes of a claim of each hybrid, by the default needs and version "
        f"{book.version} of the rulebook. [How a claim is judged]"
        "(../../explanation/how-a-claim-is-judged.md) says why, [the index](index.md) what the "
        "words mean.",
    ]
    for table, hybrids in tables.items():
        names = [f"*{book.written(hybrid.id)}*" for hybrid in hybrids]
        need = book.requirement(hybrids[0].id)
        never = [f"Never upheld by default: {need.why}.", ""] if need and need.never else []
        lines += ["", f"## {', '.join(names)}", "", *never, table]
    return "\n".join(lines) + "\n"


def _table(hybrid: Taxon, book: Rulebook) -> Iterator[str]:
    need = book.requirement(hybrid.id) or Requirement(hybrids=(hybrid.id,), all_of=())
    wanted = [c for c in book.ordered_characters if c.id in (*need.all_of, *need.any_of)]
    plant = {character.id: _values(character, hybrid, book) for character in wanted}
    around = {
        what: {value: value for value in AROUND[what]} for what in AROUND if what in need.all_of
    }
    results = {
        combination: _result(hybrid, dict(zip((*plant, *around), combination, strict=True)), book)
        for combination in product(*plant.values(), *around.values())
    }
    across = list(product(*around.values()))
    if len(across) > WIDEST:
        plant, around, across = {**plant, **around}, {}, [()]
    grouped = {
        down: tuple(results[(*down, *beside)] for beside in across)
        for down in product(*plant.values())
    }
    rows = list(fold([*plant.values()], grouped))
    if len(rows) > LONGEST:
        yield from _by_character(hybrid, need, {**plant, **around}, results, book)
        return
    titles = [book.characters[c].title if c in book.characters else c for c in plant]
    yield from _heading([*titles, *(_lacking([*around], beside) for beside in across)])
    for held, found in rows:
        cells = [_spoken(values, of) for values, of in zip(held, plant.values(), strict=True)]
        yield line([*cells, *map(_told, found)])


def _lacking(around: Sequence[str], values: Sequence[str]) -> str:
    """The heading of a column of verdicts: `with a photo`, `no photo`."""
    told = [
        LACKING[what] if value == NOT_STATED else f"with {value}"
        for what, value in zip(around, values, strict=True)
    ]
    return ", ".join(told) or "verdict"


def _told(result: Result) -> str:
    outcome, goes, reasons = result
    if outcome == "upheld":
        return f"**upheld**{f' ({reasons})' if reasons else ''}"
    return f"{outcome} to {goes}: {reasons}"


def _values(character: Character, hybrid: Taxon, book: Rulebook) -> dict[str, str]:
    """Every state, as it is stated and as it is told; of a measurement, every piece of its line.

    The ranges known of the hybrid and its parents cut the line; a number within stands for a piece.
    """
    if not character.is_measured:
        return {state.id: state.title for state in character.states} | {NOT_STATED: NOT_STATED}
    known = [book.known_of(taxon, character.id) for taxon in (hybrid.id, *hybrid.parents)]
    bounds = sorted({end for k in known if k and k.measure for end in k.measure})
    pieces = {f"{(a + b) / 2:g}": f"{a:g}-{b:g} {character.unit}" for a, b in pairwise(bounds)}
    below = {f"{bounds[0] / 2:g}": f"under {bounds[0]:g} {character.unit}"} if bounds[0] else {}
    above = {f"{bounds[-1] * 1.5:g}": f"over {bounds[-1]:g} {character.unit}"}
    return below | pieces | above | {NOT_STATED: NOT_STATED}


def verdict_on(hybrid: Taxon, stated: Mapping[str, str], book: Rulebook) -> Verdict:
    """The verdict on a claim of a hybrid, by what is stated in a column of its own each."""
    written = book.written(hybrid.id)
    given = {what: value for what, value in stated.items() if value != NOT_STATED}
    case = Case(
        name=Name(
            verbatim=written,
            scientific_name=written,
            kind="hybrid",
            rank=hybrid.rank,
            taxon=hybrid.id,
            rulebook=book.id,
            parents=hybrid.parents,
        ),
        evidence=tuple(
            (what, state, "stated", "column")
            for what, state in given.items()
            if what in book.characters
        ),
        photo="stated" if "photo" in given else "not_recorded",
        parents="both" if "parents" in given else "",
        specialist="specialist" in given,
    )
    return judge(case, book)


def _result(hybrid: Taxon, stated: Mapping[str, str], book: Rulebook) -> Result:
    verdict = verdict_on(hybrid, stated, book)
    found = verdict.determination
    short = book.written(hybrid.id).partition(" ")[2]
    qualifier = found.qualifier.replace(f"cf. {short}", "cf. the cross")
    goes = f"*{found.scientific_name}*" + (f", {qualifier}" if qualifier else "")
    return verdict.outcome, goes, " ".join(f"`{reason}`" for reason in verdict.reasons)


def fold(
    columns: Sequence[Sequence[str]], results: Mapping[Combination, tuple[Result, ...]]
) -> Iterator[tuple[tuple[tuple[str, ...], ...], tuple[Result, ...]]]:
    """The rows of a table, column by column: values that make no difference stand together."""
    if not columns:
        yield (), results[()]
        return
    alike: dict[tuple[tuple[Result, ...], ...], list[str]] = {}
    rest = list(product(*columns[1:]))
    for value in columns[0]:
        alike.setdefault(tuple(results[(value, *others)] for others in rest), []).append(value)
    for found, values in alike.items():
        for held, result in fold(columns[1:], dict(zip(rest, found, strict=True))):
            yield (tuple(values), *held), result


def _spoken(values: Sequence[str], of: Mapping[str, str]) -> str:
    """Values in words: `hollow; partly hollow`, `anything stated`, `anything`."""
    if len(values) == len(of):
        return "anything"
    if set(of) - set(values) == {NOT_STATED} and len(values) > 1:
        return "anything stated"
    return "; ".join(of[value] for value in values)


# --- where the table would be too long: character by character -----------------------------------


def _by_character(
    hybrid: Taxon,
    need: Requirement,
    columns: Columns,
    results: Mapping[Combination, Result],
    book: Rulebook,
) -> Iterator[str]:
    """What each state alone says, and what they make together; held against every combination."""
    alone: dict[str, Said] = {}
    for what, values in columns.items():
        alone[what] = {}
        for value in values:
            said = _says(hybrid, need, what, value, book)
            alone[what].setdefault(said, []).append(value)
    yield from _heading(["what is needed", "stated", "says", "reason"])
    for what, saying in alone.items():
        title = book.characters[what].title if what in book.characters else what
        for (says, reason), values in saying.items():
            yield line([title, _spoken(values, columns[what]), says, reason])
    if need.any_of and need.at_least:
        titles = [book.characters[c].title for c in need.any_of]
        stated = f"fewer than {need.at_least} of {', '.join(titles)}"
        yield line([need.any_name, stated, "", f"`{need.any_name}_missing`"])
    yield ""
    yield from _heading(["together", "outcome", "goes out as", "reasons"])
    yield from map(line, _together(hybrid, need, columns, results, alone))


def _says(
    hybrid: Taxon, need: Requirement, what: str, value: str, book: Rulebook
) -> tuple[str, str]:
    """What one value says of a claim when nothing else is stated, and the reason it gives."""
    if value == NOT_STATED:
        return "", "" if what in need.any_of else f"`{what}_missing`"
    if what not in book.characters:
        return "as needed", ""
    if f"{what}_against" in verdict_on(hybrid, {what: value}, book).reasons:
        return "against the claim", f"`{what}_against`"
    out = []
    for parent in hybrid.parents:
        known = book.known_of(parent, what)
        if known and not allows(known, (value,), book.characters[what]):
            out.append(f"*{book.written(parent)}*")
    return f"rules out {' and '.join(out)}" if out else "known of both parents", ""


def _together(
    hybrid: Taxon,
    need: Requirement,
    columns: Columns,
    results: Mapping[Combination, Result],
    alone: Mapping[str, Said],
) -> Iterator[Sequence[str]]:
    """The kinds of verdict there are.

    Raises:
        ValueError: a combination is judged otherwise than its single states let expect.
    """
    reason_of = {
        (what, value): reason
        for what, said in alone.items()
        for (_, reason), values in said.items()
        for value in values
    }
    kinds: dict[Sequence[str], None] = {}
    for combination, (outcome, goes, reasons) in results.items():
        stated = dict(zip(columns, combination, strict=True))
        expected = {reason for item in stated.items() if (reason := reason_of[item])}
        if sum(stated[c] != NOT_STATED for c in need.any_of) < need.at_least:
            expected.add(f"`{need.any_name}_missing`")
        if set(reasons.split()) - {"`undecided`"} != expected:
            raise ValueError(f"{hybrid.id}: {stated} gives {reasons}, not {expected}")
        told = "those above"
        if any(reason.endswith("_against`") for reason in expected):
            kind = "something stated is against the claim"
        elif expected:
            kind = "nothing is against it, but something needed is not stated"
        else:
            kind = "all that is needed is stated, and together it "
            kind += "fits: no parent could show all of it" if outcome == "upheld" else "cannot tell"
            told = reasons
        kinds.setdefault((kind, outcome, goes if outcome == "lowered" else "the cross", told))
    return iter(sorted(kinds))
