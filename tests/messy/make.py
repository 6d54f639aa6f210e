"""Make the messy files beside this script: one table as different people and programs save it.

The text files need the standard library alone; the rest is written by

    pip install xlsxwriter xlwt msoffcrypto-tool && python tests/messy/make.py

All people and places are invented.
"""

from __future__ import annotations

import codecs
import csv
import io
import zipfile
from datetime import date
from pathlib import Path
from xml.sax.saxutils import escape

HERE = Path(__file__).parent
HEADINGS = ["Species", "Grid Ref.", "Date", "Recorder", "Comments", "Leaves", "No. of plants"]
ROWS = [
    [
        "D. × grandis",
        "SU 123 456",
        "2019-06-14",
        "A. Fennimore",
        "by the ditch",
        "ring spots",
        "12",
    ],
    [
        "D. praetermissa",
        "SU1246",
        "2019-06-15",
        "Zoë Marlow",
        'the "lower" meadow',
        "unmarked",
        "3",
    ],
    ["D. fuchsii", "SU12", "2019-06-15", "Zoë Marlow", "two plants,\none in bud", "spotted", "2"],
    ["Dactylorhiza × transiens", "", "2019-07-01", "R. Holm", "peat; 51° north", "", "1"],
    ["D. incarnata", "SU 999 001", "2019-06-20", "R. Holm", "a | b, c; d", "unmarked", "40"],
]
TITLES = [["Hollow Fen survey, 2019", *[""] * 6], [""] * 7]


def text(delimiter: str = ",", rows: list[list[str]] | None = None, end: str = "\r\n") -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, lineterminator=end).writerows(rows or [HEADINGS, *ROWS])
    return out.getvalue()


def delimited() -> dict[str, bytes]:
    table = [HEADINGS, *ROWS]
    wide = [[*row, "", ""] for row in table]
    blanks = [[""] * 9] * 3
    spaced = "\r\n".join(
        ", ".join('"' + cell.replace('"', '""') + '"' for cell in row) for row in table
    )
    return {
        "comma.csv": text().encode(),
        "semicolon.csv": text(";").encode(),
        "tab.tsv": text("\t").encode(),
        "pipe.txt": text("|").encode(),
        "bom.csv": codecs.BOM_UTF8 + text().encode(),
        "utf16_le_bom.csv": codecs.BOM_UTF16_LE + text("\t").encode("utf-16-le"),
        "utf16_be_bom.csv": codecs.BOM_UTF16_BE + text().encode("utf-16-be"),
        "utf16_le.csv": text().encode("utf-16-le"),
        "utf16_be.csv": text(";").encode("utf-16-be"),
        "windows_1252.csv": text(";").encode("cp1252"),
        "unix_lines.csv": text(end="\n").encode(),
        "titles.csv": text(rows=[*TITLES, *table]).encode(),
        "trailing.csv": text(rows=[*wide, *blanks]).encode(),
        "declared_separator.csv": ("sep=;\r\n" + text(";")).encode(),
        "spaces_after_commas.csv": spaced.encode(),
        "no_last_line_end.csv": text().rstrip("\r\n").encode(),
        "wrong_suffix.xls": text("\t").encode(),
        "damaged.csv": text().encode().decode("cp1252").encode(),
        "twice_damaged.csv": text()
        .encode()
        .decode("latin-1")
        .encode()
        .decode("cp1252", "ignore")
        .encode(),
        "half_and_half.csv": (text(rows=[HEADINGS, *ROWS[:2]]).encode())
        + text(rows=ROWS[2:]).encode("cp1252"),
        "entities.csv": text().replace("×", "&times;").encode("ascii", "xmlcharrefreplace"),
    }


def xlsx() -> None:
    import xlsxwriter

    with xlsxwriter.Workbook(HERE / "book.xlsx") as book:
        day = book.add_format({"num_format": "dd/mm/yyyy"})
        readme = book.add_worksheet("Read me")
        readme.write(0, 0, "Please fill in the next sheet")
        sheet = book.add_worksheet("Records 2019")
        sheet.write(0, 1, "Hollow Fen survey, 2019")
        sheet.write_row(3, 1, HEADINGS)
        for r, row in enumerate(ROWS[:4], start=4):
            for c, cell in enumerate(row, start=1):
                if c == 3:
                    sheet.write_datetime(r, c, date.fromisoformat(cell), day)
                elif c == 7:
                    sheet.write_formula(r, c, f"=2*{cell}/2", None, int(cell))
                else:
                    sheet.write_string(r, c, cell)
        book.add_worksheet("Empty")
        more = book.add_worksheet("More")
        more.write_row(0, 0, HEADINGS)
        more.write_row(2, 0, ROWS[4])
        more.write_number(2, 6, 40)
        lists = book.add_worksheet("Lists")
        lists.write_column(0, 0, ["Species", "D. fuchsii", "D. maculata"])
        lists.hide()


def xls() -> None:
    import xlwt

    book = xlwt.Workbook()
    sheet = book.add_sheet("Records")
    day = xlwt.easyxf(num_format_str="DD/MM/YYYY")
    for r, row in enumerate([HEADINGS, *ROWS]):
        for c, cell in enumerate(row):
            if r and c == 2:
                sheet.write(r, c, date.fromisoformat(cell), day)
            else:
                sheet.write(r, c, int(cell) if r and c == 6 else cell)
    book.save(str(HERE / "book.xls"))


def ods() -> None:
    """A minimal OpenDocument spreadsheet (ISO/IEC 26300)."""

    def cell(value: str, column: int, heading: bool) -> str:
        words = "".join(f"<text:p>{escape(line)}</text:p>" for line in value.split("\n"))
        kind = 'office:value-type="string"'
        if column == 2 and not heading:
            kind = f'office:value-type="date" office:date-value="{value}"'
        if column == 6 and not heading:
            kind = f'office:value-type="float" office:value="{value}"'
        return (
            f"<table:table-cell {kind}>{words}</table:table-cell>"
            if value
            else ("<table:table-cell/>")
        )

    rows = "".join(
        "<table:table-row>"
        + "".join(cell(value, c, not r) for c, value in enumerate(row))
        + "</table:table-row>"
        for r, row in enumerate([HEADINGS, *ROWS])
    )
    urn = "urn:oasis:names:tc:opendocument:xmlns"
    content = (
        f'<?xml version="1.0" encoding="UTF-8"?><office:document-content '
        f'xmlns:office="{urn}:office:1.0" xmlns:table="{urn}:table:1.0" '
        f'xmlns:text="{urn}:text:1.0" office:version="1.2"><office:body><office:spreadsheet>'
        f'<table:table table:name="Records">{rows}</table:table></office:spreadsheet>'
        "</office:body></office:document-content>"
    )
    kind = "application/vnd.oasis.opendocument.spreadsheet"
    manifest = (
        f'<?xml version="1.0" encoding="UTF-8"?><manifest:manifest '
        f'xmlns:manifest="{urn}:manifest:1.0"><manifest:file-entry manifest:full-path="/" '
        f'manifest:media-type="{kind}"/></manifest:manifest>'
    )
    with zipfile.ZipFile(HERE / "book.ods", "w", zipfile.ZIP_DEFLATED) as out:
        out.writestr("mimetype", kind, zipfile.ZIP_STORED)
        out.writestr("content.xml", content)
        out.writestr("META-INF/manifest.xml", manifest)


def locked() -> None:
    import msoffcrypto
    from msoffcrypto.format.ooxml import OOXMLFile

    assert msoffcrypto
    with (HERE / "book.xlsx").open("rb") as plain, (HERE / "locked.xlsx").open("wb") as out:
        OOXMLFile(plain).encrypt("fen", out)


def main() -> None:
    for name, content in delimited().items():
        (HERE / name).write_bytes(content)
    xlsx()
    xls()
    ods()
    locked()


if __name__ == "__main__":
    main()
