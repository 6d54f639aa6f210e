"""The field sheet fits on one page of A4, as a browser prints it."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from crossproof.kit.field_sheet import write_field_sheet
from crossproof.rulebooks.load import shipped
from crossproof.rulebooks.model import Rulebook

CHROMIUM = shutil.which("chromium")
QUIET = (
    *("--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--no-pdf-header-footer"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
)


@pytest.mark.skipif(CHROMIUM is None, reason="Chromium is not installed")
@pytest.mark.parametrize("book", shipped(), ids=lambda book: book.id)
def test_one_page_of_a4_landscape(tmp_path: Path, book: Rulebook) -> None:
    page, printed = tmp_path / "sheet.html", tmp_path / "sheet.pdf"
    write_field_sheet(page, book)
    subprocess.run(
        [
            *(str(CHROMIUM), *QUIET, f"--user-data-dir={tmp_path / 'profile'}"),
            *(f"--print-to-pdf={printed}", page.as_uri()),
        ],
        check=True,
        capture_output=True,
        timeout=60,
    )
    pdf = printed.read_bytes()
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf)) == 1
    width, high = map(float, re.findall(rb"/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]", pdf)[0])
    assert (round(width), round(high)) == (842, 595)  # ISO 216, in points, on its side
    assert page.read_text(encoding="utf-8").count('<th scope="row">') >= 4
