"""Make the pictures of the tutorials, by the program itself.

    python docs/make_pictures.py

Needs Chromium, LibreOffice (`soffice`), `pdftoppm` and the test extra. Run it when a page, the form
or the letters look different; a test only asks that the pictures are there, small, and used.
"""

from __future__ import annotations

import re
import subprocess
import sys
import tempfile
from datetime import date
from pathlib import Path

import openpyxl
from PIL import Image

from crossproof.cli import main

HOME = Path(__file__).parent / "tutorials"
DEMO = Path(__file__).parents[1] / "demo_data"
WIDTH = 1000  # of a picture
_QUIET = (
    *("--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--hide-scrollbars"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
)


def shoot(page: Path, name: str, work: Path, size: tuple[int, int], top: int = 0) -> None:
    """A picture of the upper part of a page; `top` pixels are left out above."""
    shot = work / "shot.png"
    subprocess.run(
        [
            *("chromium", *_QUIET, f"--user-data-dir={work / 'profile'}"),
            *(f"--window-size={size[0]},{size[1] + top}", f"--screenshot={shot}", page.as_uri()),
        ],
        check=True,
        capture_output=True,
    )
    with Image.open(shot) as picture:
        keep(picture.crop((0, top, size[0], top + size[1])), name)


def keep(picture: Image.Image, name: str) -> None:
    """Keep a picture, small."""
    high = round(picture.height * WIDTH / picture.width)
    small = picture.convert("RGB").resize((WIDTH, high), Image.Resampling.LANCZOS)
    small.quantize(colors=64).save(HOME / "pictures" / name, optimize=True)


def form(work: Path) -> None:
    """The form, with the first two of Wren's records filled in."""
    path = work / "orchids.xlsx"
    main(["form", str(path)])
    book = openpyxl.load_workbook(path)
    sheet = book["Records"]
    headings = [cell.value for cell in sheet[3]]
    tutorial = (HOME / "prepare-an-upload.md").read_text(encoding="utf-8")
    block = re.search(r"```csv mine\.csv\n(.*?)```", tutorial, re.DOTALL)
    assert block is not None
    names, *rows = (line.split(",") for line in block[1].splitlines())
    for number, row in enumerate(rows[:2], start=4):
        for name, cell in zip(names, row, strict=True):
            day = [int(part) for part in cell.split("/")] if name == "Date" else []
            value = date(day[2], day[1], day[0]) if day else cell or None
            filled = sheet.cell(number, headings.index(name) + 1, value)
            if day:
                filled.number_format = "dd/mm/yyyy"
    # A picture of the columns that the story is about: the others are folded away.
    shown = {*names, "Flower"} - {"Comments", "Recorder"}
    for place, heading in enumerate(headings, start=1):
        letter = openpyxl.utils.get_column_letter(place)
        sheet.column_dimensions[letter].hidden = heading not in shown
        sheet.column_dimensions[letter].width = max(14, len(heading) + 3)
    sheet.column_dimensions["A"].width = 26
    sheet.page_setup.fitToWidth = 1
    sheet.print_area = f"A1:{openpyxl.utils.get_column_letter(len(headings))}9"
    for other in ("How to look", "Care"):
        del book[other]
    book.save(path)
    run = ["soffice", f"-env:UserInstallation={(work / 'office').as_uri()}", "--headless"]
    subprocess.run(
        [*run, "--convert-to", "pdf", "--outdir", work, path], check=True, capture_output=True
    )
    subprocess.run(
        [
            "pdftoppm",
            "-r",
            "130",
            "-f",
            "1",
            "-l",
            "1",
            "-png",
            work / "orchids.pdf",
            work / "form",
        ],
        check=True,
    )
    with Image.open(next(work.glob("form-*.png"))) as page:
        inked = page.convert("L").point(lambda light: 255 if light < 250 else 0)
        inked.paste(0, (0, page.height * 4 // 5, page.width, page.height))  # the foot of the page
        left, top, right, bottom = inked.getbbox() or (0, 0, page.width, page.height)
        keep(page.crop((left - 10, top - 10, right + 10, bottom + 10)), "form.png")


def make() -> None:
    (HOME / "pictures").mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        work = Path(folder)
        form(work)
        main(["form", str(work / "sheet.html")])
        shoot(work / "sheet.html", "field-sheet.png", work, (1240, 800))
        records = [str(DEMO / "fen_records.csv"), str(DEMO / "meadow_survey.xlsx")]
        main(["vet", *records, "--out", str(work / "vetted"), "--date", "2026-11-25"])
        shoot(work / "vetted" / "report.html", "report.png", work, (1300, 1000))
        main(["letters", str(work / "vetted"), "--out", str(work / "letters")])
        letter = next((work / "letters").glob("mab-thornley-*.html"))
        shoot(letter, "letter.png", work, (1000, 1150))
        main(["audit", str(DEMO / "old_cards.csv"), "--out", str(work / "audited")])
        shoot(work / "audited" / "report.html", "audit.png", work, (1300, 1000))


if __name__ == "__main__":
    sys.exit(make())
