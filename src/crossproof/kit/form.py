"""A recording form for one group, as a workbook that `vet` reads back without a mapping."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from itertools import groupby
from pathlib import Path
from typing import Any

from crossproof.kit.columns import Column, columns, needed, words
from crossproof.kit.example import example
from crossproof.rulebooks.model import Rulebook

ROWS = 500  # ready to be filled in
HEADING = 2  # the row of the headings, from 0: a title and the bands stand above
INK, SOFT, LINE = "#1b2420", "#4a5650", "#c3cabf"
BANDS = {"what": "#e6ead9", "where": "#dfe7ee", "plant": "#d8e6d2", "around": "#ece4ee"}
WANTED = "#f6dca8"


def write_form(path: Path, book: Rulebook) -> None:
    """Write the form of a group: records, how to look, care, and a hidden sheet of lists.

    The same rulebook gives the same bytes.
    """
    import xlsxwriter

    form, said = columns(book), words()
    with xlsxwriter.Workbook(
        path, {"strings_to_formulas": False, "strings_to_urls": False}
    ) as made:
        title = said["title"].format(title=book.title)
        issued = date.fromisoformat(book.issued)
        made.set_properties(
            {"title": title, "created": datetime(issued.year, issued.month, issued.day)}
        )
        made.set_size(24_000, 14_000)
        draw = _Formats(made)
        names = said["sheets"]
        sheets = {
            key: made.add_worksheet(names[key]) for key in ("records", "look", "care", "lists")
        }
        lists = _lists(sheets["lists"], form, needed(book), names["lists"])
        _records(sheets["records"], form, title, draw, lists)
        _look(sheets["look"], form, example(book, form), draw)
        _care(sheets["care"], book, draw)


class _Formats:
    """The looks of cells, each made once."""

    def __init__(self, book: Any) -> None:
        self._book = book
        self._made: dict[tuple[tuple[str, object], ...], Any] = {}

    def __call__(self, **look: object) -> Any:
        base: dict[str, object] = {"font_name": "Calibri", "font_size": 11, "font_color": INK}
        whole = {**base, "valign": "vcenter", **look}
        key = tuple(sorted(whole.items()))
        if key not in self._made:
            self._made[key] = self._book.add_format(whole)
        return self._made[key]


def _lists(
    sheet: Any, form: Sequence[Column], wants: Mapping[str, tuple[str, ...]], name: str
) -> Mapping[tuple[str, str], str]:
    """Write the lists to choose from, and the hybrids that need each column; where each stands.

    Excel holds a list of its own to 255 signs and parts it at commas, which titles of states have.
    """
    where: dict[tuple[str, str], str] = {}
    kept = [("choices", c.field, c.choices) for c in form if c.choices]
    kept += [("needed", field, hybrids) for field, hybrids in wants.items()]
    for place, (what, field, values) in enumerate(kept):
        sheet.write_column(0, place, values)
        letter = _letter(place)
        where[what, field] = f"'{name}'!${letter}$1:${letter}${len(values)}"
    sheet.hide()
    return where


def _records(
    sheet: Any,
    form: Sequence[Column],
    title: str,
    draw: _Formats,
    lists: Mapping[tuple[str, str], str],
) -> None:
    sheet.set_row(0, 44)
    sheet.set_row(1, 18)
    sheet.set_row(HEADING, 32)
    for row in range(HEADING + 1, HEADING + 1 + ROWS):
        sheet.set_row(row, 20)
    text = (draw(bold=True, font_size=14), title, draw(font_color=SOFT), "\n" + words()["hint"])
    sheet.merge_range(0, 0, 0, len(form) - 1, "", draw(text_wrap=True))
    sheet.write_rich_string(0, 0, *text, draw(text_wrap=True))
    for place, (band, group) in _bands(form):
        look = draw(bold=True, font_size=10, font_color=SOFT, bg_color=BANDS[band])
        label = words()["bands"][band]
        if len(group) > 1:
            sheet.merge_range(1, place, 1, place + len(group) - 1, label, look)
        else:
            sheet.write(1, place, label, look)
    for place, column in enumerate(form):
        _column(sheet, place, column, draw, lists)
    last = HEADING + ROWS
    sheet.freeze_panes(HEADING + 1, 1)
    sheet.set_landscape()
    sheet.set_paper(9)  # A4
    sheet.fit_to_pages(2, 0)
    sheet.set_margins(0.4, 0.4, 0.5, 0.5)
    sheet.repeat_rows(1, HEADING)
    sheet.repeat_columns(0)
    sheet.print_area(0, 0, HEADING + 24, len(form) - 1)
    sheet.set_footer("&L&8&F&R&8&P / &N")
    lined = draw(bottom=4, bottom_color=LINE)
    sheet.conditional_format(
        HEADING + 1,
        0,
        last,
        len(form) - 1,
        {"type": "formula", "criteria": "=TRUE", "format": lined},
    )
    sheet.set_selection(HEADING + 1, 0, HEADING + 1, 0)


def _bands(form: Sequence[Column]) -> Iterator[tuple[int, tuple[str, list[Column]]]]:
    place = 0
    for band, group in groupby(form, key=lambda column: column.band):
        own = list(group)
        yield place, (band, own)
        place += len(own)


def _column(
    sheet: Any,
    place: int,
    column: Column,
    draw: _Formats,
    lists: Mapping[tuple[str, str], str],
) -> None:
    first, last = HEADING + 1, HEADING + ROWS
    day = {"num_format": "dd/mm/yyyy"} if column.kind == "date" else {}
    look = draw(align="left", text_wrap=column.width >= 20, **day)
    sheet.set_column(place, place, column.width, look)
    head = draw(bold=True, text_wrap=True, bg_color=BANDS[column.band], bottom=2, bottom_color=SOFT)
    sheet.write_string(HEADING, place, column.heading, head)
    size = {"x_scale": 2.2, "y_scale": max(1.0, len(column.look) / 110), "font_size": 10}
    sheet.write_comment(HEADING, place, column.look, {"author": "", **size, "color": "#fafaf5"})
    if check := _check(column, place, lists):
        sheet.data_validation(first, place, last, place, check)
    if wanted := lists.get(("needed", column.field)):
        cell = f"{_letter(place)}{first + 1}"
        bare = f'OR({cell}="",{cell}="{words()["unseen"]}")'
        rule = f"=AND(COUNTIF({wanted},$A{first + 1})>0,{bare})"
        look = draw(bg_color=WANTED)
        sheet.conditional_format(
            first, place, last, place, {"type": "formula", "criteria": rule, "format": look}
        )


def _check(
    column: Column, place: int, lists: Mapping[tuple[str, str], str]
) -> Mapping[str, object] | None:
    """The check of a column's cells. It warns, and lets people keep their own words."""
    if column.kind in ("text",):
        return None
    cell = f"{_letter(place)}{HEADING + 2}"
    if column.kind == "plant":
        return {
            "validate": "list",
            "source": f"={lists['choices', column.field]}",
            "show_error": False,
        }
    title, text = (words()["checks"][column.kind][k].format(unit=column.unit) for k in (0, 1))
    told = {"error_type": "warning", "error_title": title[:32], "error_message": text[:255]}
    rules: dict[str, dict[str, object]] = {
        "date": {
            "validate": "date",
            "criteria": "between",
            "minimum": date(1900, 1, 1),
            "maximum": "=TODAY()",
        },
        "grid": {"validate": "custom", "value": grid_rule(cell)},
        "number": {"validate": "decimal", "criteria": ">=", "value": 0},
        "count": {"validate": "integer", "criteria": ">=", "value": 1},
    }
    offered = lists.get(("choices", column.field))
    rule = rules.get(column.kind) or {"validate": "list", "source": f"={offered}"}
    return {**rule, **told}


def grid_rule(cell: str) -> str:
    """A formula: one letter (Irish) or two (British), then an even number of figures.

    With an even number of signs there are two letters, with an odd one there is one. Figures are
    told by reading them as a number and writing them again. A check may have 255 signs in Excel.
    """
    bare = f'SUBSTITUTE({cell}," ","")'
    figures = f"MID({bare},3-MOD(LEN({bare}),2),10)"
    return (
        f'=IFERROR(AND(LEN({bare})>2,ISERR(--LEFT({cell})),--(1&{figures})&""=1&{figures}),FALSE)'
    )


def _look(sheet: Any, form: Sequence[Column], shown: Mapping[str, str], draw: _Formats) -> None:
    """How to look, column by column, with an example that stands across the page.

    Across, so that it is no table of records: nobody, `vet` neither, takes it for one.
    """
    said = words()["look"]
    wide = (24, 34, 90)
    for place, width in enumerate(wide):
        sheet.set_column(place, place, width)
    sheet.hide_gridlines(2)
    sheet.set_row(0, 28)
    sheet.write(0, 0, said["title"], draw(bold=True, font_size=14))
    sheet.write(1, 0, said["hint"], draw(font_color=SOFT))
    head = draw(bold=True, bottom=2, bottom_color=SOFT)
    sheet.write_row(HEADING, 0, said["headings"], head)
    for number, column in enumerate(form):
        row = HEADING + 1 + number
        # With the letter of its column a heading is none: this sheet names no plant.
        label = f"{_letter(number)} · {column.heading}"
        line = {"bottom": 4, "bottom_color": LINE, "text_wrap": True}
        sheet.write_string(row, 0, label, draw(bold=True, bg_color=BANDS[column.band], **line))
        sheet.write_string(row, 1, shown[column.field], draw(italic=True, **line))
        sheet.write_string(row, 2, column.look, draw(**line))
        sheet.set_row(
            row, 16 * (1 + max(len(column.look) // 88, len(shown[column.field]) // 32)) + 6
        )
    _printed(sheet, HEADING + len(form), len(wide) - 1)


def _care(sheet: Any, book: Rulebook, draw: _Formats) -> None:
    sheet.set_column(0, 0, 110)
    sheet.hide_gridlines(2)
    sheet.set_row(0, 28)
    sheet.write(0, 0, words()["care"]["title"], draw(bold=True, font_size=14))
    for row, caution in enumerate(book.cautions, start=1):
        sheet.write_string(
            row, 0, caution, draw(text_wrap=True, font_size=12, bottom=4, bottom_color=LINE)
        )
        sheet.set_row(row, 17 * (1 + len(caution) // 100) + 8)
    _printed(sheet, len(book.cautions), 0)


def _printed(sheet: Any, rows: int, last: int) -> None:
    sheet.set_landscape()
    sheet.set_paper(9)
    sheet.fit_to_pages(1, 1)
    sheet.print_area(0, 0, rows, last)


def _letter(place: int) -> str:
    from xlsxwriter.utility import xl_col_to_name

    name: str = xl_col_to_name(place)
    return name
