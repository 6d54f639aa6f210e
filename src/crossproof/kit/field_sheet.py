"""A sheet to print and take along: the columns of the form, with the states to tick."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from crossproof.kit.columns import Column, columns, words
from crossproof.rulebooks.model import Rulebook

if TYPE_CHECKING:
    from jinja2 import Environment

_ON_TOP = ("recordedBy", "eventDate", "locality", "habitat")  # once for the whole sheet
_IN_ROWS = 172.0  # millimetres of an A4 page, landscape, for the rows and what stands below them
_TICK, _TEXT = 2.75, 3.3  # a line of a state to tick, and of the text below
_LOOKS, _CARE = 88, 70  # signs of a line in the two columns below
_MOST, _FEWEST = 9, 4  # rows


def write_field_sheet(path: Path, book: Rulebook) -> None:
    """Write the field sheet of a group: one page of HTML, A4 landscape, that needs nothing else."""
    form = columns(book)
    top = [column for name in _ON_TOP for column in form if column.field == name]
    beside = [column for column in form if column.field not in _ON_TOP]
    cross, needs = _needs(book)
    text = (
        environment()
        .get_template("field_sheet.html.jinja")
        .render(
            book=book,
            top=top,
            columns=beside,
            looks=[column for column in form if column.is_of_the_plant],
            cross=cross,
            needs=needs,
            rows=_rows(beside, book),
            words=words(),
        )
    )
    path.write_text(text, encoding="utf-8")


def _rows(form: list[Column], book: Rulebook) -> int:
    """How many records have room on the page, under the looks and above the cautions."""
    ticked = [c.choices for c in form if c.choices and c.kind != "plant"]
    tallest = max(sum(1 + len(choice) // 24 for choice in choices) for choices in ticked)
    looks = sum(1 + len(c.heading + c.look) // _LOOKS for c in form if c.is_of_the_plant) + 4
    care = sum(1 + len(caution) // _CARE for caution in book.cautions)
    below = 8 + _TEXT * max(looks, care)
    return max(_FEWEST, min(_MOST, int((_IN_ROWS - below) / (max(tallest, 4) * _TICK + 1.6))))


def _needs(book: Rulebook) -> tuple[str, tuple[str, ...]]:
    """The commonest cross that can be upheld, and what it needs."""
    for hybrid in sorted(book.hybrids, key=lambda h: h.tier):
        need = book.requirement(hybrid.id)
        if need and not need.never:
            return book.written(hybrid.id), need.all_of
    return "", ()


@cache
def environment() -> Environment:
    """The templates beside this module, with everything escaped."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    return Environment(
        loader=FileSystemLoader(Path(__file__).parent),
        autoescape=lambda name: name is None or ".html" in name,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
