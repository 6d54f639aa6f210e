"""One record's reasoning in words, as a botanist would say it: from the ground up."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from crossproof.findings import Finding
from crossproof.judge.account import Account, Statement
from crossproof.judge.information import Gain
from crossproof.judge.posterior import CAP
from crossproof.model import Case, Claim, Evidence, Photo, PhotoState, Verdict
from crossproof.report.wording import reason_words
from crossproof.rulebooks.model import Requirement, Rulebook

WIDTH = 96
LIKELIEST = 4  # candidates whose probability is told
OTHERS = 2  # further observations that are told of
MANY = 6  # crosses; of more, only the number is told
_HELD = "\u00a0"  # stands for the space within a name, where no line may break
WEIGHTS = {
    "hedged": "hedged, and counted",
    "faint": "faint, and so not counted",
    "questioned": "questioned, and so not counted",
}
OUTCOMES = {
    "upheld": "The claim holds",
    "lowered": "The claim is lowered",
    "contested": "The name is contested, and goes out unchanged",
    "no_claim": "The name goes out unchanged",
    "returned": "The row goes back to the recorder",
}
NEEDED = {"photo": "a photo", "parents": "both parents near by", "specialist": "a specialist"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """Why one record came out as it did. `str()` gives the text.

    `row` is the number that a spreadsheet shows. `rulebook`, `case` and `account` are None where
    no rulebook covers the name; all but `findings` are empty where the row could not be read.
    """

    file: str
    sheet: str
    row: int
    headings: Mapping[str, str]  # field → heading
    claim: Claim | None = None
    case: Case | None = None
    evidence: tuple[Evidence, ...] = ()
    photo: PhotoState = "not_recorded"
    photos: tuple[Photo, ...] = ()
    verdict: Verdict | None = None
    account: Account | None = None
    rulebook: Rulebook | None = None
    need: Requirement | None = None
    findings: tuple[Finding, ...] = ()

    @property
    def next(self) -> Gain | None:
        """The observation expected to settle most, None where none would settle anything."""
        return self.account.gains[0] if self.account and self.account.gains else None

    def __str__(self) -> str:
        return "\n".join(_text(self))


def _text(record: Explanation) -> Iterator[str]:
    place = ", ".join(part for part in (record.file, record.sheet, f"row {record.row}") if part)
    words = f": “{record.claim.words}”" if record.claim and record.claim.words else ""
    yield f"{place}{words}"
    for title, sentences in _sections(record):
        told = [line for sentence in sentences for line in _wrapped(sentence)]
        if told:
            yield ""
            yield title
            yield from told


def _wrapped(sentence: str) -> list[str]:
    """A sentence as lines; one that starts with a tab belongs under the one before it."""
    indent = "  " + "    " * (len(sentence) - len(sentence.lstrip("\t")))
    lines = textwrap.wrap(
        sentence.strip(),
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent + "  ",
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [line.replace(_HELD, " ") for line in lines]


def _sections(record: Explanation) -> Iterator[tuple[str, Iterable[str]]]:
    verdict = record.verdict
    if verdict is None:
        yield "The row cannot be read", map(_finding, record.findings)
        return
    yield "The claim", _claim(record)
    if record.account and record.rulebook:
        yield (
            "What is stated, from the bottom of the plant upward",
            _stated(record, record.account, record.rulebook),
        )
        yield "What that comes to", _comes_to(verdict, record.rulebook)
        yield "What is missing", _missing(verdict, record.rulebook)
        yield "What remains possible", _possible(record, record.account, record.rulebook)
    yield "The determination", _determination(record, verdict)
    if record.account and record.rulebook:
        yield "What one more observation would settle", _next(record.account, record.rulebook)
    yield "Worth knowing about the cells", map(_finding, record.findings)


def _claim(record: Explanation) -> Iterator[str]:
    name = record.claim.name if record.claim else None
    if name is None or name.kind == "unresolved":
        reason = f": {name.reason}" if name and name.reason else ""
        yield f"No single taxon can be read from it{reason}."
        return
    qualifier = f", with the recorder's own “{name.qualifier}”" if name.qualifier else ""
    book, taxon = record.rulebook, None
    if book:
        taxon = book.taxa.get(name.taxon)
    if book is None or taxon is None:
        yield f"Read as {name.scientific_name or 'a cross beyond the rulebook'}{qualifier}."
        if book is None:
            yield "No rulebook covers this plant, so nothing is asked of it."
        elif name.reason:
            yield f"{_sentence(name.reason)}"
        return
    if not taxon.is_hybrid:
        yield f"Read as {book.written(taxon.id)}{qualifier}: no claim of a hybrid."
        return
    parents = _listed([_short(parent, book) for parent in taxon.parents])
    yield f"Read as {book.written(taxon.id)}{qualifier}, the cross of {parents}."
    if record.need:
        yield from _needs(record.need, book)


def _needs(need: Requirement, book: Rulebook) -> Iterator[str]:
    wanted = [c.title for c in book.ordered_characters if c.id in need.all_of]
    wanted += [NEEDED[what] for what in need.all_of if what in NEEDED]
    if need.any_of and need.at_least:
        titles = _listed([c.title for c in book.ordered_characters if c.id in need.any_of], "or")
        wanted.append(f"at least {need.at_least} of {titles}")
    if wanted:
        yield f"Such a claim needs {_listed(wanted)}."
    if need.never:
        yield f"It is never upheld from these alone: {need.why}."


def _stated(record: Explanation, account: Account, book: Rulebook) -> Iterator[str]:
    claimed = record.case.name.taxon if record.case else ""
    for statement in account.statements:
        described = book.characters[statement.character]
        yield f"{_capital(described.title)}: {_said(statement, book)}{_where(record, statement)}."
        yield from (f"\t{line}" for line in _rules(statement, claimed, book))
    if not account.statements:
        yield "Nothing that the rulebook knows how to weigh."
    if record.photos:
        references = _listed([f"“{photo.reference}”" for photo in record.photos[:3]])
        yield f"Photo: {references}" + (" and more." if len(record.photos) > 3 else ".")
    elif record.photo == "stated":
        yield "Photo: the record says there is one."
    elif record.photo == "denied":
        yield "Photo: the record says there is none."


def _said(statement: Statement, book: Rulebook) -> str:
    described = book.characters[statement.character]
    titles = {state.id: state.title for state in described.states}
    shown = statement.weighed.shown
    return " and ".join(titles.get(s, f"{s} {described.unit}".strip()) for s in shown)


def _where(record: Explanation, statement: Statement) -> str:
    read = []
    for entry in record.evidence:
        if entry.character != statement.character:
            continue
        place = {
            "column": f"the column {record.headings.get(entry.character, entry.character)}",
            "remark": "the remarks",
            "photo": "a photo",
            "measurement": "a measurement",
        }[entry.source]
        weight = f", {WEIGHTS[entry.weight]}" if entry.weight in WEIGHTS else ""
        read.append(f"“{entry.words}” in {place}{weight}")
    return f" ({'; '.join(dict.fromkeys(read))})" if read else ""


def _rules(statement: Statement, claimed: str, book: Rulebook) -> Iterator[str]:
    if statement.weighed.status == "doubtful":
        yield "Faint or questioned, it rules nothing in or out."
    elif statement.weighed.status == "disagrees":
        yield "Column and remarks disagree; neither wins, so it rules nothing in or out."
    parts = (
        ("Usual in {}", statement.usual),
        ("only now and then in {}", statement.rare),
        ("not known in {}", statement.out),
    )
    told = [text.format(_listed([_short(t, book) for t in taxa])) for text, taxa in parts if taxa]
    if told:
        yield f"{_capital('; '.join(told))}."
    crosses = (*statement.crosses, *statement.crosses_out)
    if crosses:
        yield f"Crosses that may show it: {_crosses(statement.crosses, crosses, claimed, book)}."


def _crosses(these: Sequence[str], of: Sequence[str], claimed: str, book: Rulebook) -> str:
    """The crosses by name, or how many of all where they are many, the one claimed or not."""
    if not these:
        return "none"
    if len(these) <= MANY:
        return _listed([_short(cross, book) for cross in these])
    own = ""
    if claimed in of:
        name = _short(claimed, book)
        own = f", {name} among them" if claimed in these else f", but not {name}"
    return f"{len(these)} of {len(of)}{own}"


def _comes_to(verdict: Verdict, book: Rulebook) -> Iterator[str]:
    fitting = [p.about for p in verdict.points if p.effect == "fits" and p.about in book.characters]
    if fitting:
        titles = _listed([book.characters[character].title for character in fitting])
        yield f"{_capital(titles)}: what is stated fits the claim."
    for point in verdict.points:
        told_above = point.about in book.characters and point.effect in ("fits", "note")
        if point.effect != "missing" and point.about != "photo" and not told_above:
            yield _sentence(point.text)


def _missing(verdict: Verdict, book: Rulebook) -> Iterator[str]:
    missing = [point for point in verdict.points if point.effect == "missing"]
    for point in missing:
        look = book.characters[point.about].look if point.about in book.characters else ""
        yield " ".join(filter(None, (_sentence(point.text), look)))
    if not missing and verdict.outcome in ("upheld", "lowered"):
        yield "Nothing that the claim needs."


def _possible(record: Explanation, account: Account, book: Rulebook) -> Iterator[str]:
    species = [taxon for taxon in account.possible if not book.taxa[taxon].is_hybrid]
    crosses = [taxon for taxon in account.possible if book.taxa[taxon].is_hybrid]
    if not account.possible:
        yield "No taxon of the rulebook is known with all of that at once."
    if species:
        yield f"Species: {_listed([_short(taxon, book) for taxon in species])}."
    if crosses:
        claimed = record.case.name.taxon if record.case else ""
        every = [hybrid.id for hybrid in book.hybrids]
        yield f"Crosses: {_crosses(crosses, every, claimed, book)}."
    if not account.setting:
        return
    ranked = sorted(account.belief.items(), key=lambda item: (-item[1], item[0]))[:LIKELIEST]
    told = ", ".join(f"{_short(taxon, book)} {_chance(p)}" for taxon, p in ranked)
    yield (
        f"By the rulebook's shares for the setting {account.setting.replace('_', ' ')}: {told}. "
        "The shares are guesses: they inform, and never overrule."
    )
    if account.ratio and record.case:
        yield _compared(record.case.name.taxon, *account.ratio, book)


def _compared(cross: str, times: float, parent: str, book: Rulebook) -> str:
    """How the evidence bears on a cross against its nearer parent."""
    first, second = _short(cross, book), _short(parent, book)
    if times < 1:
        return f"What is stated is likelier in {second}, the nearer parent, than in {first}."
    if times < CAP:
        return (
            f"What is stated is {times:.1f} times as likely in {first} as in {second}, the nearer "
            "parent."
        )
    return (
        f"What is stated is at least {CAP:.0f} times as likely in {first} as in {second}, the "
        "nearer parent; no more is counted, since larger ratios only reflect small guessed shares."
    )


def _chance(probability: float) -> str:
    """Two places; never a nought or a one, which guesses cannot bear out."""
    if probability < 0.005:
        return "below 0.01"
    return "above 0.99" if probability > 0.995 else f"{probability:.2f}"


def _determination(record: Explanation, verdict: Verdict) -> Iterator[str]:
    found = verdict.determination
    books = (record.rulebook,) if record.rulebook else ()
    why = _listed([reason_words(reason, books) for reason in verdict.reasons])
    named = "" if verdict.outcome == "returned" else f", as {found.scientific_name}"
    if found.qualifier:
        named += f" with the qualifier “{found.qualifier}”"
    yield f"{OUTCOMES[verdict.outcome]}{named}" + (f": {why}." if why else ".")
    if verdict.outcome == "lowered" and record.rulebook and found.taxon:
        yield (
            "That is the lowest taxon that holds the claim and its parents"
            + (", and all that is still possible." if _contradicted(verdict) else ".")
        )
    if verdict.remedy:
        lead = "What to do" if verdict.outcome == "returned" else "What would mend it"
        yield f"{lead}: {verdict.remedy}."
    if verdict.outcome != "returned":
        yield "A verdict is advice; a determiner decides."


def _contradicted(verdict: Verdict) -> bool:
    return any(point.effect == "against" for point in verdict.points)


def _next(account: Account, book: Rulebook) -> Iterator[str]:
    if not account.gains:
        yield "Nothing further: no character that is left would tell the candidates apart."
        return
    best, *others = account.gains
    described = book.characters[best.character]
    yield (
        f"Most: {described.title}. It is expected to tell {best.bits:.2f} of the "
        f"{account.open_bits:.2f} bits that are open. {described.look}".rstrip()
    )
    if others:
        told = [f"{book.characters[g.character].title} {_bits(g.bits)}" for g in others[:OTHERS]]
        yield f"Then: {_listed(told)}."
    if any(gain.assumed for gain in account.gains[: OTHERS + 1]):
        yield (
            "Where the rulebook gives no shares for a character, the usual states of a taxon were "
            "taken as equally common, its rare ones as a tenth of that, and a measurement as even "
            "over its range."
        )
    if not account.setting:
        yield "The rulebook has no shares of taxa, so all that remain possible count alike."


def _bits(bits: float) -> str:
    return f"{bits:.2f} bits" if bits >= 0.005 else "less than 0.01 bits"


def _finding(finding: Finding) -> str:
    cell = f"{finding.column}: " if finding.column else ""
    return _sentence(f"{cell}{finding.message}")


def _short(taxon: str, book: Rulebook) -> str:
    """The name with its genus as an initial: `D. × grandis`."""
    if taxon not in book.taxa:
        return "another plant"
    genus, _, rest = book.written(taxon).partition(" ")
    name = f"{genus[0]}. {rest}" if rest and genus in book.genera else f"{genus} {rest}".strip()
    return name.replace(" ", _HELD)


def _listed(items: Sequence[str], last: str = "and") -> str:
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _sentence(text: str) -> str:
    return _capital(text.strip().rstrip(".")) + "."
