"""What is to be known of records whose place is kept back, and what findings may say of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from crossproof.coding import rows_where
from crossproof.findings import Finding, catalogue, finding
from crossproof.model import Coded, Judged
from crossproof.sensitive.contacts import contact_in
from crossproof.sensitive.guard import Guard
from crossproof.sensitive.level import words_of
from crossproof.sensitive.levels import Asked
from crossproof.sensitive.rewrite import Rows
from crossproof.sensitive.terms import listed


def guarded(
    judged: Judged, told: Sequence[Finding], rows: Rows, guards: Coded[Guard]
) -> list[Finding]:
    """The findings without the places of the rows; those of the whole table are cleaned too."""
    by_number = {
        judged.numbers[row]: guard for row, guard in zip(rows.tolist(), guards, strict=True)
    }
    whole = replace(next(iter(by_number.values())), tell=None)
    numbers = frozenset(judged.numbers)
    places = {judged.table.fields.get(term, term) for term in listed("place", "coordinates")}
    places |= listed("place", "coordinates")
    words = {judged.table.fields.get(term, term) for term in listed("place", "localities")}
    cleaned = []
    for found in told:
        guard = by_number.get(found.row) if found.row in numbers else whole
        if guard is None:
            cleaned.append(found)
        elif guard is not whole and (
            found.column in places or (guard.hides_localities and found.column in words)
        ):
            title = catalogue()[found.code].title
            cleaned.append(replace(found, value="", message=title))
        else:
            value, message = guard.clean(found.value), guard.clean(found.message)
            if value != found.value:
                message = catalogue()[found.code].title  # it may repeat the cell piece by piece
            cleaned.append(replace(found, value=value, message=message))
    return cleaned


def about(judged: Judged, rows: Rows, guards: Coded[Guard]) -> Iterator[Finding]:
    """Tell the submitter which records were made coarser."""
    table = judged.table
    for row, guard in zip(rows.tolist(), guards, strict=True):
        if judged.verdicts.values[judged.verdicts.codes[row]].outcome == "returned":
            continue
        place = {"file": table.file, "sheet": table.sheet, "row": judged.numbers[row]}
        if guard.square is None:
            yield finding("place_withheld", **place)
        elif guard.is_coarser:
            message = f"the place is published as its {words_of(guard.level)} square"
            yield finding("place_generalised", message, **place)


def contacts(judged: Judged) -> Iterator[Finding]:
    """E-mail addresses and telephone numbers in remarks."""
    columns = {
        term: column
        for term, column in judged.given.items()
        if term.endswith("Remarks") or term in ("fieldNotes", "habitat", "samplingProtocol")
    }
    columns["identificationRemarks"] = judged.claims.map(lambda claim: claim.remarks)
    table = judged.table
    for term, column in columns.items():
        for row, contact in rows_where(column.map(contact_in), bool):
            yield finding(
                "contact_in_remark",
                f"the remark holds {contact}",
                file=table.file,
                sheet=table.sheet,
                row=judged.numbers[row],
                column=table.fields.get(term, term),
            )


def unread(judged: Judged, asked: Coded[Asked]) -> Iterator[Finding]:
    """Cells of placeSensitivity that say something else than a size, yes or no."""
    table = judged.table
    for row, answer in rows_where(asked, lambda answer: not answer.is_read):
        yield finding(
            "sensitivity_unreadable",
            file=table.file,
            sheet=table.sheet,
            row=judged.numbers[row],
            column=table.fields.get("placeSensitivity", "placeSensitivity"),
            value=answer.words,
        )
