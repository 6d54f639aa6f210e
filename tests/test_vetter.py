"""From chunks to verdicts: identifiers, headings, rulebooks of one's own."""

from __future__ import annotations

import re
import uuid
from pathlib import Path

import pytest

from crossproof.darwincore.ids import RecordIds
from crossproof.model import BrokenRow, Chunk, Table
from crossproof.options import Options
from crossproof.rulebooks.check import RulebookError
from crossproof.vetter import Vetter

SHIPPED = Path(__file__).parents[1] / "src" / "crossproof" / "rulebooks"


def chunk(*rows: tuple[str, ...], broken: tuple[BrokenRow, ...] = (), start: int = 2) -> Chunk:
    """Rows of id, species, date, site."""
    fields = {"occurrenceID": "id", "scientificName": "sp", "eventDate": "day", "locality": "site"}
    table = Table("records.csv", "", tuple(fields.values()), 1, fields)
    columns = [list(column) for column in zip(*rows, strict=True)] or [[], [], [], []]
    return Chunk(table, range(start, start + len(rows)), columns, broken)


def row(identifier: str = "", species: str = "D. fuchsii", site: str = "Fen") -> tuple[str, ...]:
    return identifier, species, "2019", site


@pytest.fixture(scope="module")
def vetter() -> Vetter:
    return Vetter(Options())


def ids(vetter: Vetter, *chunks: Chunk) -> list[str]:
    taken = RecordIds()
    return [i for piece in chunks for i in vetter.vet(piece, taken).judged.ids]


def test_identifiers_given_are_kept(vetter: Vetter) -> None:
    assert ids(vetter, chunk(row("a"), row(" b "))) == ["a", "b"]


def test_the_others_get_a_uuid_of_what_they_say(vetter: Vetter) -> None:
    (made,) = ids(vetter, chunk(row()))
    assert uuid.UUID(made).version == 5  # RFC 9562, section 5.5
    assert ids(vetter, chunk(row())) == [made]
    assert ids(vetter, chunk(row(site="Meadow"))) != [made]


def test_every_row_has_one_of_its_own(vetter: Vetter) -> None:
    rows = [row("a"), row("a"), row(), row(), row("  "), row("a")]
    found = ids(vetter, chunk(*rows))
    assert len(set(found)) == len(rows)
    codes = [(f.code, f.row) for f in vetter.vet(chunk(*rows), RecordIds()).findings]
    assert [c for c in codes if c[0] == "identifier_repeated"] == [
        ("identifier_repeated", 3),
        ("identifier_repeated", 7),
    ]


def test_identifiers_do_not_depend_on_the_chunks(vetter: Vetter) -> None:
    (made,) = ids(vetter, chunk(row(site="Fen")))
    rows = [row(site="Fen"), row(made), row("a"), row(site="Fen"), row("a")]
    one_by_one = [chunk(r, start=n) for n, r in enumerate(rows, start=2)]
    assert ids(vetter, chunk(*rows)) == ids(vetter, *one_by_one)


def test_findings_are_sorted_by_row(vetter: Vetter) -> None:
    broken = (BrokenRow(3, ("x",), "too few"), BrokenRow(9, ("y",), "too few"))
    batch = vetter.vet(chunk(row(species=""), row("a", "?"), broken=broken), RecordIds())
    rows = [found.row for found in batch.findings]
    assert rows == sorted(rows)
    assert {3, 9} <= set(rows)


@pytest.mark.parametrize(
    ("rows", "returned"),
    [
        ([row(), row(species=""), row(site="")], [False, True, True]),
        ([row()], [False]),
        ([], []),
    ],
)
def test_what_is_exported(vetter: Vetter, rows, returned) -> None:
    batch = vetter.vet(chunk(*rows), RecordIds())
    assert batch.is_returned.tolist() == returned
    assert batch.exported.tolist() == [n for n, back in enumerate(returned) if not back]


def test_each_heading_stands_for_one_character(vetter: Vetter) -> None:
    headings = [h.casefold() for known in vetter.headings.values() for h in known]
    assert len(headings) == len(set(headings))
    assert "leaves" in vetter.headings["leaf"]


def test_a_rulebook_of_ones_own_stands_in_for_a_shipped_one(tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    text = (SHIPPED / "geum.toml").read_text("utf-8")
    own.write_text(re.sub(r'version = "[\d.]+"', 'version = "9.0.0"', text, count=1), "utf-8")
    books = Vetter(Options(rulebooks=(own,))).rulebooks
    assert len(books) == len(Vetter(Options()).rulebooks)
    assert [book.version for book in books if book.id == "geum"] == ["9.0.0"]


def test_a_broken_one_is_refused(tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    own.write_text("id = 3\n")
    with pytest.raises(RulebookError, match=r"own\.toml, line"):
        Vetter(Options(rulebooks=(own,)))
