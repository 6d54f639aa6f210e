"""One record that would be upheld, to show how a form is filled in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import islice, product

from crossproof.judge import judge
from crossproof.kit.columns import Column, words
from crossproof.model import Case, Name
from crossproof.rulebooks.model import Character, Rulebook, Taxon

_MOST = 20_000  # combinations that are tried


def example(book: Rulebook, form: tuple[Column, ...]) -> Mapping[str, str]:
    """What the example says in each column of a form, by field.

    It is a hybrid with all it needs, chosen by the judge: of the combinations of states that are
    upheld, the one that speaks most for the hybrid.
    """
    hybrid, states = _best(book)
    cells = dict(words()["example"])
    months = sorted(hybrid.months) if hybrid else []
    cells["eventDate"] = cells.pop("day").format(
        month=months[(len(months) - 1) // 2] if months else 6
    )
    cells["scientificName"] = book.written(hybrid.id) if hybrid else ""
    for character, state in states.items():
        titles = {s.id: s.title for s in book.characters[character].states}
        cells[character] = titles.get(state, state)
    return {column.field: cells.get(column.field, "") for column in form}


def _best(book: Rulebook) -> tuple[Taxon | None, Mapping[str, str]]:
    for hybrid in sorted(book.hybrids, key=lambda h: h.tier):
        found: list[tuple[float, Mapping[str, str]]] = []
        for states in islice(_combinations(hybrid, book), _MOST):
            verdict = judge(_case(hybrid, states, book), book)
            if verdict.outcome == "upheld":
                chance = next((s.probability for s in verdict.support if s.taxon == hybrid.id), 0.0)
                found.append((chance, states))
        if found:
            return hybrid, max(found, key=lambda entry: entry[0])[1]
    return None, {}


def _combinations(hybrid: Taxon, book: Rulebook) -> Iterator[Mapping[str, str]]:
    need = book.requirement(hybrid.id)
    if need is None or need.never:
        return
    asked = {*need.all_of, *need.any_of[: need.at_least]}
    wanted = [c for c in book.ordered_characters if c.id in asked]
    offered = [_states(character, hybrid, book) for character in wanted]
    for chosen in product(*offered):
        yield dict(zip((c.id for c in wanted), chosen, strict=True))


def _states(character: Character, hybrid: Taxon, book: Rulebook) -> list[str]:
    """The states to try: what lies between the parents before all others; one measure."""
    if character.is_measured:
        known = book.known_of(hybrid.id, character.id)
        low, high = known.measure if known and known.measure else (0.0, 0.0)
        return [f"{(low + high) / 2:g}"]
    kinds = {state.kind_of for state in character.states}
    offered = [state for state in character.states if state.id not in kinds]
    return [s.id for s in sorted(offered, key=lambda s: not s.between)]


def _case(hybrid: Taxon, states: Mapping[str, str], book: Rulebook) -> Case:
    written = book.written(hybrid.id)
    evidence = tuple(
        (c, state, "stated", "measurement" if book.characters[c].is_measured else "column")
        for c, state in states.items()
    )
    return Case(
        name=Name(
            verbatim=written,
            scientific_name=written,
            kind="hybrid",
            taxon=hybrid.id,
            rulebook=book.id,
            parents=hybrid.parents,
            cross=True,
        ),
        evidence=evidence,  # type: ignore[arg-type]
        photo="stated",
        parents="both",
        sex="female" if any(c.sex for c in book.characters.values()) else "",
    )
